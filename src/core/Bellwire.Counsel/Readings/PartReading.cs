using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What of a part was read.</summary>
public enum PartMeasure { Ohms, Farads, SeriesOhms }

/// <summary>
/// A part of a circuit read by itself: <c>R12 4k7</c>, <c>C1 310uF</c>, <c>C1 esr 2.4</c>. With one leg lifted the part alone decides. As it sits, other
/// ways run past it: ohms may read lower and never higher, capacitances higher and never lower than the part has.
/// </summary>
public sealed class PartReading
{
    /// <summary>Circumstance of a reading: how the part was held.</summary>
    public const string Lead = "lead", Lifted = "lifted";

    /// <summary>Ends the name of a capacitor whose series resistance was read.</summary>
    public const string SeriesEnd = "-esr";

    private const int Draws = 24;

    /// <summary>Share of readings that mean nothing; and how often something else runs past a part that sits in its circuit (estimates).</summary>
    private const double Outlier = 0.01, Beside = 0.5;

    /// <summary>What the part may read, and which of these each state means: in most states nothing is wrong with it.</summary>
    private readonly List<double[]> _values = [];
    private readonly Dictionary<string, int> _valuesOf = [];
    private readonly Dictionary<string, double[]> _alone = [];
    private readonly Device _part;

    private PartReading(CircuitSpec circuit, Device part, PartMeasure measure)
    {
        (Circuit, _part, Measure) = (circuit, part, measure);
        var sets = CircuitStates.Singles(circuit).Concat(CircuitStates.Pairs(circuit)).Prepend((State: Reasoning.Target.OfTroubles.Good, Faults: [])).ToList();
        var known = new Dictionary<string, int>();
        foreach (var state in sets.GroupBy(s => s.State))
        {
            ImmutableArray<ImmutableArray<Fault>> mine = [.. state.Select(s => (ImmutableArray<Fault>)[.. s.Faults.Where(f => f.Part == part.Name)])];
            var key = string.Join('|', mine.Select(m => string.Join(';', m)));
            if (!known.TryGetValue(key, out var at))
            {
                known[key] = at = _values.Count;
                _values.Add([.. mine.SelectMany(Alone)]);
            }
            _valuesOf[state.Key] = at;
        }
        Target = new([.. circuit.Troubles.Select(t => new Trouble(t.Words, t.When))], circuit.Beyond, [.. sets.Skip(1).Select(s => s.State).Distinct()]);
    }

    public CircuitSpec Circuit { get; }
    public PartMeasure Measure { get; }

    /// <summary>"resistor R12, 4.7 kΩ".</summary>
    public string Words => PartWords.Of(_part);

    public Target.OfTroubles Target { get; }

    /// <summary>The part a reading names, in any case of letters; null when the sheet's circuits have none that can be read by itself.</summary>
    /// <param name="quantity">ohm or farad; null asks for whatever fits.</param>
    public static PartReading? Of(TypeSheet sheet, string point, string? quantity) =>
        Find(sheet, point, quantity) is var (circuit, part, measure) ? new(circuit, part, measure) : null;

    /// <summary>The name as the circuit writes it and what a bare number means there; null when no part is meant.</summary>
    public static (string Point, string Quantity)? Named(TypeSheet sheet, string point) =>
        Find(sheet, point, null) is var (_, part, measure) ? (measure == PartMeasure.SeriesOhms ? part.Name + SeriesEnd : part.Name, measure == PartMeasure.Farads ? "farad" : "ohm") : null;

    /// <summary>The name of a reading as one says it: "C1, series resistance".</summary>
    public static string Said(string point)
    {
        ArgumentNullException.ThrowIfNull(point);
        return point.EndsWith(SeriesEnd, StringComparison.Ordinal) ? $"{point[..^SeriesEnd.Length]}, series resistance" : point;
    }

    private static (CircuitSpec Circuit, Device Part, PartMeasure Measure)? Find(TypeSheet sheet, string point, string? quantity)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(point);
        var series = point.EndsWith(SeriesEnd, StringComparison.OrdinalIgnoreCase);
        var name = series ? point[..^SeriesEnd.Length] : point;
        if (quantity is not (null or "ohm" or "farad")) return null; // volts across a part tell of more than the part
        // Where two circuits share a part, the one that knows a trouble of it.
        var found = from c in sheet.Circuits
                    from d in c.Netlist.Devices
                    where d.Name.Equals(name, StringComparison.OrdinalIgnoreCase) && d is Resistor or Capacitor or Fuse or Inductor or Speaker or Diode or Zener or SeleniumStack
                    orderby c.Troubles.Any(t => t.Variants.Any(v => v.Any(f => f.Part == d.Name))) ? 0 : 1
                    select (c, d);
        if (found.Cast<(CircuitSpec, Device)?>().FirstOrDefault() is not var (circuit, part)) return null;
        if (part is not Capacitor && (series || quantity == "farad")) return null;
        return (circuit, part, series ? PartMeasure.SeriesOhms : part is Capacitor && quantity is null or "farad" ? PartMeasure.Farads : PartMeasure.Ohms);
    }

    /// <summary>How likely the reading is in each state of the circuit.</summary>
    /// <param name="value">Ω or F; infinite for OL.</param>
    public WeighedReading Weigh(double value, bool lifted)
    {
        var (low, high) = Scale;
        var at = In(value);
        var slit = Uncertainty(at);
        var states = Target.States;
        // A hill at either end has half of itself beyond it.
        return Slits.Of(states, at, slit, (low - 0.5, high + 0.2), y =>
        {
            var each = _values.Select(v => Density(v, y, lifted)).ToArray();
            return [.. states.Select(s => _valuesOf.TryGetValue(s, out var k) ? each[k] : 1 / (high - low))];
        });
    }

    /// <summary>Decades of the scale.</summary>
    private (double Low, double High) Scale => Measure == PartMeasure.Farads ? (-13, 0) : (Ohmic.In(0), PointScale.End);

    private static readonly PointScale Ohmic = new(Decades: true);

    private double In(double value) => Measure == PartMeasure.Farads ? Math.Clamp(value <= 0 ? -13 : Math.Log10(value), -13, 0) : Ohmic.In(value);

    // Ohmmeters as elsewhere; meters of capacitance and series resistance 5 % and 10 % (common practice, no source).
    private double Uncertainty(double y) => Measure switch
    {
        PartMeasure.Farads => Math.Log10(1.05),
        PartMeasure.SeriesOhms => Math.Log10(1.1),
        _ => Ohmic.Uncertainty(y, Scale),
    };

    /// <summary>p per decade.</summary>
    private double Density(double[] values, double y, bool lifted)
    {
        var (low, high) = Scale;
        var sum = 0.0;
        foreach (var v in values)
        {
            // A junction on ohms reads what the meter's range makes of it: anything but a short.
            if (double.IsNaN(v)) { sum += y > 3 ? 1 / (high - 3) : 1e-6; continue; }
            var sigma = Uncertainty(v);
            var alone = Math.Exp(-0.5 * Math.Pow((y - v) / sigma, 2)) / (sigma * Math.Sqrt(2 * Math.PI));
            if (lifted) { sum += alone; continue; }
            var (from, to) = Measure == PartMeasure.Farads ? (v, high) : (low, v);
            sum += (1 - Beside) * alone + (to - from < 0.05 ? Beside * alone : y >= from && y <= to ? Beside / (to - from) : 0);
        }
        return (1 - Outlier) * sum / values.Length + Outlier / (high - low);
    }

    /// <summary>What the part alone reads with faults of its own, draw by draw, on the scale; NaN for a junction on ohms.</summary>
    private double[] Alone(ImmutableArray<Fault> faults)
    {
        var key = string.Join(';', faults);
        return _alone.TryGetValue(key, out var known) ? known : _alone[key] = [.. Enumerable.Range(0, Draws).Select(Drawn)];

        double Drawn(int draw)
        {
            var bare = new Netlist(_part.Moved(0, "leg").Moved(1, Netlist.Ground).Drawn(new(1, draw, _part.Name))).Faulted(faults);
            return Measure switch
            {
                PartMeasure.Ohms when bare[_part.Name] is Diode or Zener or SeleniumStack && bare.Devices.Length == 1 => double.NaN,
                PartMeasure.Ohms => In(Ohmmeter.Read(bare, "leg").Value?.Ohms ?? double.PositiveInfinity),
                // A capacitor that is open or shorted is a capacitor no longer.
                PartMeasure.Farads => bare[_part.Name] is Capacitor c ? In(c.Farads) : Scale.Low,
                _ => bare[_part.Name] switch { Capacitor c => In(c.SeriesOhms), Resistor r => In(r.Ohms), _ => Scale.High },
            };
        }
    }
}
