using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Quantities;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Reads one part of a circuit: <c>C1: {capacitor: [raw, common], is: 2200 uF, tolerance: 20 %}</c>. The kind is the key that holds the nodes.</summary>
internal sealed class PartReader(Fields part, string name)
{
    private const int MostWindings = 8;

    /// <summary>Kind → how many nodes it has (0: two for each winding), the unit of its main value ("" when it has none), and how it is made.</summary>
    private static readonly Dictionary<string, (int Pins, string Unit, Func<PartReader, string[], double, Device> Make)> Kinds = new(StringComparer.Ordinal)
    {
        ["resistor"] = (2, "Ω", (r, n, v) => new Resistor(r.Name, n[0], n[1], v, r.Share("tolerance") ?? 0)),
        ["capacitor"] = (2, "F", (r, n, v) => new Capacitor(r.Name, n[0], n[1], v, r.Value("esr", "Ω") ?? 0, r.Value("leak", "Ω") ?? double.PositiveInfinity, r.Share("tolerance") ?? 0)),
        ["inductor"] = (2, "H", (r, n, v) => new Inductor(r.Name, n[0], n[1], v, r.Value("ohms", "Ω") ?? 1)),
        ["diode"] = (2, "", (r, n, _) => new Diode(r.Name, n[0], n[1]) { SaturationSpread = 2 }),
        ["zener"] = (2, "V", (r, n, v) => new Zener(r.Name, n[0], n[1], v, r.Value("at", "A") ?? 5e-3, r.Value("ohms", "Ω") ?? 10, r.Share("tolerance") ?? 0)),
        ["selenium"] = (2, "A", (r, n, v) => new SeleniumStack(r.Name, n[0], n[1], r.Whole("plates") ?? 1, v)),
        ["npn"] = (3, "", (r, n, _) => new BipolarTransistor(r.Name, n[0], n[1], n[2], true, r.Plain("gain") ?? 100)),
        ["pnp"] = (3, "", (r, n, _) => new BipolarTransistor(r.Name, n[0], n[1], n[2], false, r.Plain("gain") ?? 100)),
        ["n-mosfet"] = (3, "", (r, n, _) => new Mosfet(r.Name, n[0], n[1], n[2], true, r.Value("threshold", "V") ?? 2)),
        ["p-mosfet"] = (3, "", (r, n, _) => new Mosfet(r.Name, n[0], n[1], n[2], false, r.Value("threshold", "V") ?? 2)),
        ["op-amp"] = (5, "", (r, n, _) => new OpAmp(r.Name, n[0], n[1], n[2], n[3], n[4])),
        ["regulator"] = (3, "V", (r, n, v) => r.Regulator(n, v)),
        ["fuse"] = (2, "A", (r, n, v) => new Fuse(r.Name, n[0], n[1], v, r.Value("ohms", "Ω") ?? 0.1)),
        ["switch"] = (2, "", (r, n, _) => new Switch(r.Name, n[0], n[1], r.Flag("closed") ?? true)),
        ["potentiometer"] = (3, "Ω", (r, n, v) => new Potentiometer(r.Name, n[0], n[1], n[2], v, r.Share("at") ?? 0.5)),
        ["lamp"] = (2, "V", (r, n, v) => new Lamp(r.Name, n[0], n[1], v, r.Value("watts", "W") ?? 1)),
        ["speaker"] = (2, "Ω", (r, n, v) => new Speaker(r.Name, n[0], n[1], 0.8 * v)),
        ["source"] = (2, "V", (r, n, v) => r.Source(n, v)),
        ["current"] = (2, "A", (r, n, v) => new CurrentSource(r.Name, n[0], n[1], v)),
        ["transformer"] = (0, "", (r, n, _) => r.Transformer(n)),
    };

    public static IEnumerable<string> Words => Kinds.Keys;

    private string Name => name;
    private bool wrong;

    /// <summary>The part, or null after a complaint.</summary>
    public Device? Read()
    {
        var named = Kinds.Keys.Where(k => part.Node(k) is not null).ToList();
        if (named.Count != 1)
        {
            part.Complaints.Add(part.At, part.Path, named.Count == 0 ? $"Which kind of part? Expected one of: {string.Join(", ", Kinds.Keys)}." : $"A part is of one kind; found {string.Join(" and ", named)}.");
            return null;
        }
        var (pins, unit, make) = Kinds[named[0]];
        var nodes = part.Names(named[0], required: true);
        if (nodes.Count < 2 || (pins > 0 && nodes.Count != pins) || (pins == 0 && nodes.Count % 2 != 0))
        {
            part.Complaints.Add(part.Node(named[0])!.At, part.Path, pins > 0 ? $"A {named[0]} has {pins} nodes, found {nodes.Count}." : $"A {named[0]} has two nodes for each winding, found {nodes.Count}.");
            return null;
        }
        var value = unit.Length == 0 ? 0 : Value("is", unit);
        if (value is null && !wrong) { part.Missing("is"); wrong = true; }
        Device? made = null;
        try { made = make(this, [.. nodes.Select(n => Node(n.Value))], value ?? 1); }
        catch (ArgumentException e) when (!wrong) { Complain(part.At, e.Message.Split(" (Parameter")[0]); }
        catch (ArgumentException) { }
        var ratings = Rated(named[0]);
        part.Done();
        return wrong || made is null ? null : made with { Ratings = ratings };
    }

    public static string Node(string written) => written == "common" ? Netlist.Ground : written;

    /// <summary>An amount in the base unit; null when absent or wrong.</summary>
    private double? Value(string key, string unit)
    {
        if (part.Name(key) is not { } s) return null;
        if (Engineering.Parse(s.Value, unit, "", out var why) is { } v) return v;
        Complain(s.At, why);
        return null;
    }

    private double? Share(string key) => Value(key, "%") / 100;
    private double? Plain(string key) => part.Number(key, 0);
    private int? Whole(string key) => part.Whole(key, 1, 100);
    private bool? Flag(string key) => part.Flag(key);

    private void Complain(Mark at, string words)
    {
        wrong = true;
        part.Complaints.Add(at, part.Path, words);
    }

    /// <summary>What the part may bear, as far as it is written; null when nothing is. A lamp's watts are what it is, not what it bears.</summary>
    private Ratings? Rated(string kind)
    {
        var rated = new Ratings(Above("volts", "V"), Above("amperes", "A"), kind == "lamp" ? null : Above("watts", "W"), Above("melts", "A2s"), Above("reverse", "V"), Above("joules", "J"));
        return rated == new Ratings() ? null : rated;
    }

    private double? Above(string key, string unit)
    {
        if (Value(key, unit) is not { } v) return null;
        if (v > 0) return v;
        Complain(part.Node(key)!.At, $"A rating is above 0, found {part.Node(key)!.What}.");
        return null;
    }

    private Regulator Regulator(string[] n, double volts) => new(name, n[0], n[1], n[2], Math.Abs(volts))
    {
        Negative = volts < 0, Tolerance = Share("tolerance") ?? 0.04, DropoutVolts = Value("dropout", "V") ?? 2, LimitAmperes = Value("limit", "A") ?? 2.2,
    };

    private VoltageSource Source(string[] n, double volts)
    {
        var (hertz, phase) = (Value("hertz", "Hz") ?? 0, part.Number("phase", -360, 360) ?? 0);
        return new(name, n[0], n[1], hertz > 0 ? new Sine(volts, hertz, phase) : new Steady(volts), Value("ohms", "Ω") ?? 0) { Tolerance = Share("tolerance") ?? 0 };
    }

    private Transformer Transformer(string[] nodes)
    {
        var windings = ImmutableArray.CreateBuilder<Winding>();
        foreach (var w in part.Names("windings", required: true).Take(MostWindings))
        {
            // "13.5 V 0.9 ohm": open-circuit volts, then the wire.
            var at = w.Value.IndexOf('V');
            double? volts = at > 0 ? Engineering.Parse(w.Value[..(at + 1)], "V", "", out _) : null, ohms = at > 0 ? Engineering.Parse(w.Value[(at + 1)..], "Ω", "", out _) : null;
            if (volts is null || ohms is null) { Complain(w.At, $"Expected a winding such as '13.5 V 0.9 ohm' – open-circuit volts, then the wire – found {w.What}."); return new(name, [.. nodes[..2]], [new(1, 1)]); }
            windings.Add(new(volts.Value, ohms.Value));
        }
        return new(name, [.. nodes], windings.ToImmutable(), Value("magnetising", "H") ?? double.PositiveInfinity);
    }
}
