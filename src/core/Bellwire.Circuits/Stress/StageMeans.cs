namespace Bellwire.Circuits;

/// <summary>Mean watts and RMS amperes of parts over the stages of a run: a stage lasts from one part giving way to the next.</summary>
internal sealed class StageMeans
{
    private sealed class Sums(int pins)
    {
        public double Seconds, Joules;
        public readonly double[] Squares = new double[pins];
    }

    private readonly Dictionary<string, Sums> _now = [];
    private readonly Dictionary<string, List<(double Seconds, double Watts, double Amperes)>> _stages = [];

    /// <param name="whole">Which parts have not given way yet; the others bear nothing that says anything.</param>
    public void Add(Transient t, Netlist circuit, double seconds, Func<string, bool> whole)
    {
        foreach (var d in circuit.Devices.Where(d => whole(d.Name) && (d.Ratings?.Watts ?? Stress.MostAmperes(d)) is not null))
        {
            if (!_now.TryGetValue(d.Name, out var sums)) _now[d.Name] = sums = new(d.Nodes.Length);
            sums.Seconds += seconds;
            if (d.Ratings?.Watts is not null) sums.Joules += t.Watts(d.Name).Mean * seconds;
            if (Stress.MostAmperes(d) is not null)
                for (var pin = 0; pin < sums.Squares.Length; pin++) sums.Squares[pin] += Math.Pow(t.Amperes(d.Name, pin).Rms, 2) * seconds;
        }
    }

    /// <summary>A part has given way: what comes now is another circuit.</summary>
    public void Close()
    {
        foreach (var (part, sums) in _now.Where(n => n.Value.Seconds > 0))
        {
            if (!_stages.TryGetValue(part, out var stages)) _stages[part] = stages = [];
            stages.Add((sums.Seconds, sums.Joules / sums.Seconds, Math.Sqrt(sums.Squares.Max() / sums.Seconds)));
        }
        _now.Clear();
    }

    /// <summary>The worst stage of each part against what it bears, worst first.</summary>
    /// <param name="least">Shorter stages count only where a part has no longer one: a mean over a part of a swing says little, s.</param>
    public IEnumerable<Overload> Worst(Netlist circuit, double least)
    {
        Close();
        var all = new List<Overload>();
        foreach (var d in circuit.Devices)
        {
            if (!_stages.TryGetValue(d.Name, out var stages)) continue;
            var counted = stages.Where(s => s.Seconds >= Math.Min(least, stages.Max(x => x.Seconds))).ToList();
            if (Stress.MostAmperes(d) is { } most) all.Add(new(d.Name, Strain.Amperes, counted.Max(s => s.Amperes), most));
            if (d.Ratings?.Watts is { } watts) all.Add(new(d.Name, Strain.Watts, counted.Max(s => s.Watts), watts));
        }
        return all.OrderByDescending(o => o.Ratio);
    }
}
