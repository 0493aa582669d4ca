using System.Globalization;
using System.Text;

namespace Bellwire.Circuits;

/// <summary>
/// A netlist as text for SPICE3-like simulators (Quarles 1989), so that another program can judge. What SPICE has no part
/// for – regulators, op-amps, lamps, ideal windings – is written as behavioural sources with the same formulas.
/// </summary>
public sealed class SpiceText
{
    private readonly StringBuilder _lines = new();
    private readonly Dictionary<string, string> _nodes = new() { [Netlist.Ground] = "0" };
    private readonly Func<string, int, double?>? _initial;
    private string _device = "";
    private string? _swept;
    private int _parts, _states;

    private SpiceText(Func<string, int, double?>? initial) => _initial = initial;

    /// <summary>The netlist without title, analyses and end.</summary>
    /// <param name="from">Capacitors and coils start as at the start of this period; null for none.</param>
    /// <param name="swept">The source that a frequency sweep moves, at an amplitude of one.</param>
    /// <returns>The lines, and for each node its SPICE name.</returns>
    public static (string Lines, IReadOnlyDictionary<string, string> Nodes) Write(Netlist netlist, SteadyState? from = null, string? swept = null)
    {
        var text = new SpiceText(from is null ? null : from.InitialOf) { _swept = swept };
        foreach (var node in netlist.Nodes) text.Node(node);
        foreach (var d in netlist.Devices)
        {
            (text._device, text._parts, text._states) = (d.Name, 0, 0);
            d.Export(text);
        }
        return (text._lines.ToString(), text._nodes);
    }

    /// <summary>The SPICE name of the voltage source inside a source or winding of the netlist, for its current.</summary>
    public static string SourceName(string device) => "v" + Clean(device);

    internal string Node(string name) => _nodes.TryGetValue(name, out var n) ? n : _nodes[name] = $"n{_nodes.Count}";

    /// <summary>A node inside the part being written.</summary>
    internal string Inner(string stem) => $"x_{Clean(_device)}_{stem}";

    internal void R(string a, string b, double ohms) => Line($"r{Next()} {a} {b} {N(ohms)}");

    internal void C(string a, string b, double farads) => Line($"c{Next()} {a} {b} {N(farads)}{Start()}");

    internal void L(string a, string b, double henries) => Line($"l{Next()} {a} {b} {N(henries)}{Start()}");

    internal void V(string a, string b, Waveform w, bool main = false) => Line($"v{(main ? Clean(_device) : Next())} {a} {b} {Source(w)}");

    internal void I(string a, string b, Waveform w) => Line($"i{Next()} {a} {b} {Source(w)}");

    /// <summary>A current from a to b by a formula.</summary>
    internal void B(string a, string b, string formula) => Line($"b{Next()} {a} {b} i={formula}");

    internal void Model(char kind, string nodes, string type, string values)
    {
        var name = Next();
        Line($"{kind}{name} {nodes} m{name}{(kind == 'm' ? " w=100u l=100u" : "")}");
        Line($".model m{name} {type}({values})");
    }

    internal void Line(FormattableString line) => _lines.AppendLine(line.ToString(CultureInfo.InvariantCulture));

    internal static string N(double v) => v.ToString("R", CultureInfo.InvariantCulture);

    internal string Next() => $"{Clean(_device)}_{++_parts}";

    // States are counted in the order of Install, which Export keeps.
    private string Start() => _initial?.Invoke(_device, _states++) is { } v ? $" ic={N(v)}" : "";

    private static string Clean(string name) => string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) ? c : '_')).ToLowerInvariant();

    private string Source(Waveform w) => Shape(w) + (_device == _swept ? " ac 1" : "");

    private static string Shape(Waveform w) => w switch
    {
        Steady s => $"dc {N(s.Value)}",
        Sine s => $"dc {N(s.Offset)} sin({N(s.Offset)} {N(s.Peak)} {N(s.Hertz)} 0 0 {N(s.PhaseDegrees)})",
        Step s => $"dc {N(s.From)} pulse({N(s.From)} {N(s.To)} {N(s.AtSeconds)} {N(s.RiseSeconds)} 1u 1e6)",
        _ => throw new ArgumentException($"A source of kind {w.GetType().Name} has no SPICE text.", nameof(w)),
    };
}
