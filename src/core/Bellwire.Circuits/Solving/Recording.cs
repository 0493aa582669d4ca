namespace Bellwire.Circuits.Solving;

/// <summary>What was solved at each start, middle and end of the steps, for waves and for the next pass over the same times.</summary>
internal sealed class Recording(Assembly assembly, bool amperes)
{
    private readonly List<double> _times = [];
    private readonly List<double[]> _unknowns = [], _amperes = [];

    public Assembly Assembly { get; } = assembly;
    public int Points => _times.Count;
    public double Time(int point) => _times[point];
    public double[] Unknowns(int point) => _unknowns[point];

    public void Start(double t, Stepper s) => Add(t, s.Equations.X, s.Equations, null);

    public void Step(double t, double h, Stepper s)
    {
        Add(t + Stepper.Gamma * h, s.Middle, s.Equations, s.MiddleAmperes);
        Add(t + h, s.Equations.X, s.Equations, null);
    }

    public Wave Volts(int node, int against)
    {
        var values = new double[_times.Count];
        for (var k = 0; k < values.Length; k++) values[k] = _unknowns[k][node] - _unknowns[k][against];
        return new([.. _times], values);
    }

    public Wave Amperes(Device device, int pin)
    {
        if (pin < 0 || pin >= device.Nodes.Length) throw new ArgumentOutOfRangeException(nameof(pin), pin, $"{device.Name} has pins 0 to {device.Nodes.Length - 1}.");
        var values = new double[_times.Count];
        for (var k = 0; k < values.Length; k++) values[k] = PinCurrents.Into(Assembly, device.Name, pin, _unknowns[k], _amperes[k]);
        return new([.. _times], values);
    }

    public Wave Watts(Device device)
    {
        Wave? sum = null;
        for (var pin = 0; pin < device.Nodes.Length; pin++)
        {
            var part = Volts(Assembly.IndexOf(device.Nodes[pin]), Assembly.Count).With(Amperes(device, pin), (v, i) => v * i);
            sum = sum is null ? part : sum.With(part, (a, b) => a + b);
        }
        return sum!;
    }

    private void Add(double t, double[] x, Equations e, double[]? kept)
    {
        _times.Add(t);
        _unknowns.Add((double[])x.Clone());
        if (!amperes) return;
        var i = new double[Assembly.Branches.Length];
        if (kept is not null) kept.CopyTo(i, 0);
        else for (var k = 0; k < i.Length; k++) i[k] = e.Current(k);
        _amperes.Add(i);
    }
}
