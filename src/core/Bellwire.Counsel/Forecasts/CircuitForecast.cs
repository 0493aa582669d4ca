using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>How far a forecast has come.</summary>
public readonly record struct ForecastProgress(int Done, int Of, string Words);

/// <summary>What is expected at a point in one state of the circuit, in the point's unit.</summary>
/// <param name="Low">Nine in ten specimens read between this and <paramref name="High"/>.</param>
public sealed record ExpectedReading(string Point, double Mean, double Low, double High)
{
    /// <summary>The mean of each thing the state may be; one when it is one thing.</summary>
    public ImmutableArray<double> Means { get; init; } = [];
}

/// <summary>A reading that counts.</summary>
/// <param name="Value">In the point's unit, polarity as on the sheet.</param>
public readonly record struct PointReading(string Point, double Value);

/// <summary>A reading weighed by a circuit.</summary>
/// <param name="Likelihood">For each state of the circuit's target: P(the reading, to within the meter's uncertainty | state, the readings before).</param>
/// <param name="Outcomes">That, and bins over all that could be read there.</param>
/// <param name="Alike">How many readings that the meter tells apart each of them holds.</param>
public sealed record WeighedReading(ImmutableDictionary<string, double> Likelihood, ImmutableArray<ImmutableDictionary<string, double>> Outcomes, ImmutableArray<double> Alike);

/// <summary>What one circuit of a sheet would read at its points in every state it tells apart: healthy, each trouble, each pair of troubles,
/// over tolerance draws common to all. Immutable once built.</summary>
public sealed class CircuitForecast
{
    /// <summary>Tolerance draws for single troubles; pairs have half as many.</summary>
    public const int Draws = 48;

    /// <summary>Share of readings that mean nothing: wrong point, wrong range, slip (estimate).</summary>
    private const double Outlier = 0.01;

    private readonly Dictionary<string, Specimens[]> _states;
    private readonly Dictionary<string, int> _points;
    private readonly (double Low, double High)[] _span;
    private readonly PointScale[] _scales;
    private readonly ConcurrentDictionary<string, WeighedReading> _known = new();

    private CircuitForecast(CircuitSpec spec, Dictionary<string, Specimens[]> states, (double, double)[] span, PointScale[] scales, Target.OfTroubles target, ImmutableArray<string> unsolved, FaultTable singles, ImmutableArray<string> stateOf)
    {
        (Singles, StateOf) = (singles, stateOf);
        (Spec, _states, _span, _scales, Target, Unsolved) = (spec, states, span, scales, target, unsolved);
        _points = spec.Points.Select((p, i) => (p.Point, i)).ToDictionary(x => x.Point, x => x.i);
    }

    public CircuitSpec Spec { get; }

    /// <summary>What a reading asks of the hook-up.</summary>
    public Target.OfTroubles Target { get; }

    /// <summary>The healthy circuit and every single trouble, a row for each thing it may be. The sheet's points come first, then every other node.</summary>
    public FaultTable Singles { get; }

    /// <summary>The state each row of <see cref="Singles"/> belongs to.</summary>
    public ImmutableArray<string> StateOf { get; }

    /// <summary>Rows of <see cref="Singles"/> that no point of the sheet tells apart, and the node that would split them; null when none would.</summary>
    public ImmutableArray<(ImmutableArray<int> Rows, TestPoint? Splits, int Into)> Alike() =>
        [.. Likeness.Classes(Singles, first: Spec.Points.Length).Select(c => Likeness.Splitter(Singles, c) is { } s ? (c, (TestPoint?)s.Point, s.Parts) : (c, null, 1))];

    /// <summary>States for which the circuit found no solution; they count as beyond it.</summary>
    public ImmutableArray<string> Unsolved { get; }

    /// <summary>"good" and the troubles, alone and in pairs, that were solved.</summary>
    public IEnumerable<string> States => Target.States.Where(_states.ContainsKey);

    /// <param name="progress">Told after each row.</param>
    /// <param name="tables">Where the tables are looked for first; null: nowhere.</param>
    /// <exception cref="OperationCanceledException">Cancelled between two solutions.</exception>
    public static CircuitForecast Build(CircuitSpec spec, IReadOnlyList<PointSpec> points, IProgress<ForecastProgress>? progress = null, CancellationToken cancel = default, TableCache? tables = null)
    {
        ArgumentNullException.ThrowIfNull(spec);
        ArgumentNullException.ThrowIfNull(points);
        var probes = spec.Points.Select(p => new TestPoint(p.Point, p.Node, p.Against)).ToImmutableArray();
        var (singles, pairs) = (CircuitStates.Singles(spec).ToList(), CircuitStates.Pairs(spec).ToList());
        var all = singles.Count + pairs.Count + 2;
        var circuit = Metered(spec);
        tables ??= new(inMemory: false);
        var nodes = spec.Netlist.Nodes.Where(n => n != Netlist.Ground && !probes.Any(p => p.Node == n && p.Against == Netlist.Ground)).Select(n => new TestPoint("node " + n, n));
        // Either lead of an ohmmeter may be the red one, and a junction reads so or so: what the points read the other way round stands after them.
        var turned = spec.Unpowered ? probes.Select(p => new TestPoint(p.Name + " turned", p.Against, p.Node)) : [];
        var first = tables.Get(circuit, probes.Concat(nodes).Concat(turned), singles.Select(s => s.Faults), new TableOptions { Draws = Draws, LineHertz = spec.LineHertz, Unpowered = spec.Unpowered }, Told(0), cancel);
        var second = tables.Get(circuit, probes.Concat(turned), pairs.Select(s => s.Faults), new TableOptions { Draws = Draws / 2, LineHertz = spec.LineHertz, Unpowered = spec.Unpowered }, Told(singles.Count + 1), cancel);

        var quantities = spec.Points.Select(p => QuantityOf(points.First(x => x.Id == p.Point).Quantity)).ToArray();
        var scales = quantities.Select(q => new PointScale(q == Quantity.Ohms)).ToArray();
        var rows = new List<(string State, double[][] Draws, double[][][] Ways)> { Row(Reasoning.Target.OfTroubles.Good, first, 0) };
        rows.AddRange(singles.Select((s, i) => Row(s.State, first, i + 1)));
        rows.AddRange(pairs.Select((s, i) => Row(s.State, second, i + 1)));
        var states = rows.GroupBy(r => r.State).Where(g => g.All(r => r.Draws.Length >= 8)).ToDictionary(g => g.Key, g => g.Select(r => new Specimens(r.Ways)).ToArray());
        var order = singles.Concat(pairs).Select(s => s.State).Distinct().ToList();
        var seen = rows.Where(r => states.ContainsKey(r.State)).SelectMany(r => r.Ways).SelectMany(d => d).ToList();
        var span = spec.Points.Select((_, j) =>
        {
            var (low, high) = seen.Count == 0 ? (0, 1) : (seen.Min(d => d[j]), seen.Max(d => d[j]));
            var room = Math.Max(0.1 * (high - low), 0.1);
            return (low - room, high + room);
        }).ToArray();
        var target = new Target.OfTroubles([.. spec.Troubles.Select(t => new Trouble(t.Words, t.When))], spec.Beyond, [.. order.Where(states.ContainsKey)]);
        return new(spec, states, span, scales, target, [.. order.Where(s => !states.ContainsKey(s))], first, [Reasoning.Target.OfTroubles.Good, .. singles.Select(s => s.State)]);

        IProgress<TableProgress>? Told(int before) => progress is null ? null : new Passing(p => progress.Report(new(before + p.Done, all, p.Fault)));

        (string State, double[][] Draws, double[][][] Ways) Row(string state, FaultTable table, int row)
        {
            var draws = Values(table.Rows[row], 0);
            if (!spec.Unpowered || draws.Length == 0) return (state, draws, [draws]);
            var ends = spec.Points.Select((_, j) => PointScale.RangeFor(first.Rows[0].At(j, Quantity.Ohms)?.Mean ?? 0)).ToArray();
            double[][] left = [.. draws.Select(d => d.Select((y, j) => y > ends[j] ? PointScale.End : y).ToArray())];
            return (state, draws, [draws, Values(table.Rows[row], table.Points.Length - spec.Points.Length), left]);
        }

        double[][] Values(FaultRow row, int from)
        {
            var solved = row.Values(0, Quantity.Direct).Length;
            var draws = new double[solved][];
            for (var k = 0; k < solved; k++)
                draws[k] = [.. spec.Points.Select((p, j) => scales[j].In(row.Values(from + j, quantities[j])[k] / p.Ohms))];
            return draws;
        }
    }

    /// <summary>What a hand meter on volts puts across the nodes it reads (common practice, no source).</summary>
    private const double MeterOhms = 10e6;

    /// <summary>The circuit with a meter at every point read in volts: without it, a node that hangs on an insulation alone reads as if it were driven.</summary>
    private static Netlist Metered(CircuitSpec spec) => spec.Unpowered ? spec.Netlist
        : spec.Netlist.With([.. spec.Points.Where(p => p.Ohms == 1).DistinctBy(p => (p.Node, p.Against)).Select(p => new Resistor("meter#" + p.Point, p.Node, p.Against, MeterOhms))]);

    private sealed class Passing(Action<TableProgress> on) : IProgress<TableProgress>
    {
        public void Report(TableProgress value) => on(value);
    }

    /// <summary>What is expected at each point in a state; empty for a state this circuit says nothing of.</summary>
    public ImmutableArray<ExpectedReading> At(string state)
    {
        if (!_states.TryGetValue(state, out var rows)) return [];
        return [.. Spec.Points.Select((p, j) => Between(j, [.. rows.SelectMany(r => r.Column(j).Select(v => (v, 1.0)))]) with { Means = Told(j, rows.SelectMany(r => r.Means(j))) })];
    }

    /// <summary>Ways of reading ohms that come to the same within a few in a hundred are told once.</summary>
    private ImmutableArray<double> Told(int point, IEnumerable<double> means)
    {
        var told = new List<double>();
        foreach (var m in means)
            if (!_scales[point].Decades || !told.Any(t => Math.Abs(t - m) < 0.015)) told.Add(m);
        return [.. told.Select(_scales[point].Out)];
    }

    /// <summary>What is expected at each point when it is not known which state stands.</summary>
    /// <param name="chances">State → probability; states this circuit says nothing of are left out.</param>
    public ImmutableArray<ExpectedReading> Mixed(IReadOnlyDictionary<string, double> chances)
    {
        ArgumentNullException.ThrowIfNull(chances);
        var known = chances.Where(c => c.Value > 1e-4 && _states.ContainsKey(c.Key)).ToList();
        if (known.Count == 0) return [];
        return [.. Spec.Points.Select((p, j) => Between(j, [.. known.SelectMany(c => _states[c.Key].SelectMany(r =>
        {
            var column = r.Column(j).ToArray();
            return column.Select(v => (v, c.Value / column.Length / _states[c.Key].Length));
        }))]))];
    }

    private ExpectedReading Between(int point, (double Value, double Weight)[] all)
    {
        var scale = _scales[point];
        var total = all.Sum(v => v.Weight);
        Array.Sort(all, (x, y) => x.Value.CompareTo(y.Value));
        // Between 0.3 Ω and OL no mean means anything; half of the specimens read less than the median.
        var mean = scale.Decades ? scale.Out(At(0.5)) : all.Sum(v => v.Value * v.Weight) / total;
        return new(Spec.Points[point].Point, mean, scale.Out(At(0.05)), scale.Out(At(0.95))) { Means = [mean] };

        double At(double share)
        {
            var sum = 0.0;
            foreach (var (value, weight) in all)
                if ((sum += weight) >= share * total) return value;
            return all[^1].Value;
        }
    }

    /// <summary>ln p of readings that belong together, per unit of each, in a state; "beyond" has the broad density.</summary>
    /// <param name="readings">Points of this circuit, none twice.</param>
    public double Log(string state, IReadOnlyList<PointReading> readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        if (readings.Count == 0) return 0;
        int[] points = [.. readings.Select(r => _points[r.Point])];
        return Log(state, points, [.. readings.Select(Scaled)]);
    }

    private double Scaled(PointReading r) => _scales[_points[r.Point]].In(r.Value);

    /// <param name="values">On the scales of their points.</param>
    private double Log(string state, int[] points, double[] values)
    {
        double[] meters = [.. points.Select((p, i) => _scales[p].Uncertainty(values[i], _span[p]))];
        var broad = points.Select(p => -Math.Log(_span[p].High - _span[p].Low)).ToArray();
        if (!_states.TryGetValue(state, out var rows)) return broad.Sum();
        // All sound; one that means nothing; none that means anything.
        var ways = new List<double> { points.Length * Math.Log(1 - Outlier) + Rows(rows, points, values, meters), points.Length * Math.Log(Outlier) + broad.Sum() };
        if (points.Length > 1)
            for (var j = 0; j < points.Length; j++)
                ways.Add(Math.Log(Outlier) + (points.Length - 1) * Math.Log(1 - Outlier) + broad[j] + Rows(rows, Without(points, j), Without(values, j), Without(meters, j)));
        return LogSum(ways);
    }

    /// <summary>How likely the last reading is in each state, given those before it, and how likely any other would have been there.</summary>
    public WeighedReading Weigh(IReadOnlyList<PointReading> before, PointReading last)
    {
        ArgumentNullException.ThrowIfNull(before);
        return _known.GetOrAdd(string.Join(' ', before.Append(last).Select(r => FormattableString.Invariant($"{r.Point}={r.Value:R}"))),
            _ => before.Any(r => r.Point == last.Point) ? Instead(before, last) : Reckon(before, last));
    }

    /// <summary>The same point read once more with nothing changed: the later reading stands in for the earlier, it is no second witness.</summary>
    private WeighedReading Instead(IReadOnlyList<PointReading> before, PointReading last)
    {
        PointReading[] after = [.. before.Where(r => r.Point != last.Point), last];
        var states = Target.States;
        var logs = states.Select(s => Log(s, after) - Log(s, before)).ToArray();
        var most = logs.Max();
        return new(states.Select((s, i) => (s, Math.Exp(logs[i] - most))).ToImmutableDictionary(x => x.s, x => x.Item2), [], []);
    }

    private WeighedReading Reckon(IReadOnlyList<PointReading> earlier, PointReading last)
    {
        var (point, at) = (_points[last.Point], Scaled(last));
        int[] points = [.. earlier.Select(r => _points[r.Point]), point];
        double[] before = [.. earlier.Select(Scaled)];
        var states = Target.States;
        var known = states.Select(s => Log(s, earlier)).ToArray();
        return Slits.Of(states, at, _scales[point].Uncertainty(at, _span[point]), _span[point], value => [.. states.Select((s, i) => Math.Exp(Log(s, points, [.. before, value]) - known[i]))]);
    }

    private static double Rows(Specimens[] rows, int[] points, double[] values, double[] meters) =>
        LogSum([.. rows.Select(r => r.Log(points, values, meters))]) - Math.Log(rows.Length);

    private static double LogSum(IReadOnlyList<double> logs)
    {
        var most = logs.Max();
        return double.IsNegativeInfinity(most) ? most : most + Math.Log(logs.Sum(l => Math.Exp(l - most)));
    }

    private static T[] Without<T>(T[] all, int at) => [.. all.Where((_, i) => i != at)];

    /// <summary>What of a table is read at a point of a quantity of the sheet.</summary>
    public static Quantity QuantityOf(string quantity) => quantity switch
    {
        "volt-ac" => Quantity.Alternating,
        "volt-ripple-pp" => Quantity.Ripple,
        "ohm" => Quantity.Ohms,
        _ => Quantity.Direct,
    };
}
