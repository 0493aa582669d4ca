using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Circuits.Shapes;
using Bellwire.Counsel.Mends;

namespace Bellwire.Counsel;

/// <summary>A supply as somebody at the bench tells it in ten minutes: its shape, the transformer as read, the markings of its parts.</summary>
public static class SupplyAsked
{
    public const int Stages = 3;

    private static readonly ChoiceAsk Rectifier = new("rectifier", "Rectifier", ("centre-tap", "two diodes on a centre tap"), ("bridge", "bridge"), ("half-wave", "half wave"), ("dual-from-tap", "bridge and tap: two rails"), ("doubler", "doubler"));
    private static readonly NumberAsk Open = new("open", "AC of the winding, nothing connected", "V", 1, 1000) { Required = true, Hint = "From the tap to one end, where there is a tap." };
    private static readonly NumberAsk Line = new("line", "Line", "V", 50, 300) { Usual = 120 };
    private static readonly NumberAsk Hertz = new("hertz", "Line frequency", "Hz", 40, 70) { Usual = 60 };
    private static readonly NumberAsk Primary = new("primary", "Ohms of the primary", "Ω", 0.01, 20_000);
    private static readonly NumberAsk Secondary = new("secondary", "Ohms of the secondary", "Ω", 0.001, 2000) { Hint = "Of one half, where there is a tap. Ohms, or the VA of the label." };
    private static readonly NumberAsk Va = new("va", "VA of the label", "VA", 1, 2000);
    private static readonly NumberAsk Regulation = new("regulation", "Regulation", "%", 1, 60) { Hint = "Empty: usual for the VA." };
    private static readonly ChoiceAsk FuseIn = new("fusein", "Fuse", ("", "none"), ("tap", "in the tap"), ("secondary", "between winding and rectifier"), ("line", "in the line"));
    private static readonly NumberAsk Fuse = new("fuse", "Its rating", "A", 0.01, 30);
    private static readonly TextAsk Diodes = new("diodes", "Marking of the diodes") { Hint = "Such as 1N4002; empty: a usual 1 A type." };
    private static readonly NumberAsk Reservoir = new("reservoir", "Reservoir", "F", 1e-9, 1) { Prefix = "µ", Required = true };
    private static readonly NumberAsk Working = new("working", "Its working volts", "V", 1, 1000);
    private static readonly ChoiceAsk Ground = new("ground", "Chassis", ("minus", "is the minus"), ("plus", "is the plus"));
    private static readonly NumberAsk RawLoad = new("rawload", "DC drawn from raw itself", "A", 1e-6, 50) { Hint = "Amplifier at idle, lamps." };

    private sealed record StageAsks(ChoiceAsk Kind, TextAsk Mark, NumberAsk Ohms, NumberAsk Out, NumberAsk Load);

    private static readonly StageAsks[] StageOf = [.. Enumerable.Range(1, Stages).Select(k => new StageAsks(
        new($"kind{k}", $"Stage {k}", ("", "none"), ("regulator", "three-terminal regulator"), ("pass", "zener and pass transistor"), ("zener", "resistor and zener"), ("rc", "resistor and second reservoir")),
        new($"mark{k}", $"Marking, stage {k}") { Hint = k == 1 ? "7812; for a zener 1N4742A or its volts" : null },
        new($"ohms{k}", $"Resistor, stage {k}", "Ω", 0.1, 1e6) { Hint = k == 1 ? "Not for a regulator." : null },
        new($"out{k}", $"Capacitor behind it, stage {k}", "F", 1e-9, 1) { Prefix = "µ" },
        new($"load{k}", $"DC drawn there, stage {k}", "A", 1e-6, 50)))];

    public static ImmutableArray<Ask> Asks { get; } =
        [Rectifier, Open, Line, Hertz, Primary, Secondary, Va, Regulation, FuseIn, Fuse, Diodes, Reservoir, Working, Ground, RawLoad, .. StageOf.SelectMany(s => new Ask[] { s.Kind, s.Mark, s.Ohms, s.Out, s.Load })];

    /// <summary>The supply, or by field what is wrong; and its description as a sheet's circuit holds it.</summary>
    public static (SupplyCircuit? Supply, ImmutableDictionary<string, string> Wrong, string Sheet) Read(Func<string, string?> typed)
    {
        var (g, wrong) = Given.Read(Asks, typed);
        if (wrong.Count > 0) return (null, wrong, "");
        if (g[Primary] is null && g[Secondary] is null && g[Va] is null) return (null, wrong.Add(Secondary.Id, "Type the ohms of the secondary (or primary), or the VA of the label."), "");
        var sheet = new StringBuilder("shape:\n");
        var say = wrong.ToBuilder();
        var transformer = new TransformerAsRead(g.Need(Open)) { LineVolts = g[Line]!.Value, LineHertz = g[Hertz]!.Value, PrimaryOhms = g[Primary], SecondaryOhms = g[Secondary], VoltAmperes = g[Va], RegulationPercent = g[Regulation] };
        Add($"  rectifier: {g[Rectifier]}");
        Add($"  transformer: {{open-volts: {transformer.OpenVolts:R} V, line: {transformer.LineVolts:R} V, hertz: {transformer.LineHertz:R} Hz{Maybe(", primary", g[Primary], "ohm")}{Maybe(", secondary", g[Secondary], "ohm")}{Maybe(", va", g[Va], "VA")}{Maybe(", regulation", g[Regulation], "%")}}}");
        var fuse = FuseAsRead.Absent;
        if (g[FuseIn].Length > 0)
        {
            if (g[Fuse] is { } amperes) fuse = new(g[FuseIn] switch { "tap" => FusePlace.Tap, "line" => FusePlace.Line, _ => FusePlace.Secondary }, amperes);
            else say[Fuse.Id] = "Type what the fuse is marked with, such as 1 A.";
            Add($"  fuse: {{in: {g[FuseIn]}, is: {g[Fuse]:R} A}}");
        }
        var diodes = new Silicon();
        if (g.Has(Diodes))
        {
            if (Markings.Diode(g[Diodes]) is { } known) diodes = known;
            else say[Diodes.Id] = $"“{g[Diodes]}” is no marking known here; leave it empty for a usual 1 A type.";
            Add($"  diodes: {g[Diodes]}");
        }
        Add($"  reservoir: {{is: {Farads(g.Need(Reservoir))}{Maybe(", volts", g[Working], "V")}}}");
        var stages = new List<Stage>();
        var loads = new List<RailLoad>();
        if (g[RawLoad] is { } raw) loads.Add(new(SupplyShape.Raw) { Amperes = raw });
        var told = new StringBuilder();
        for (var k = 0; k < Stages; k++)
            if (g[StageOf[k].Kind].Length > 0 && One(StageOf[k], g, $"rail-{k + 1}", say, told) is { } stage)
            {
                stages.Add(stage with { Output = g[StageOf[k].Out] is { } farads ? new CapacitorAsRead(farads) : stage.Output });
                if (g[StageOf[k].Load] is { } drawn) loads.Add(new(stage.Rail) { Amperes = drawn });
            }
        if (told.Length > 0) sheet.Append("  stages:\n").Append(told);
        if (loads.Count > 0) Add($"  loads: {{{string.Join(", ", loads.Select(l => FormattableString.Invariant($"{l.Rail}: {l.Amperes:R} A")))}}}");
        if (g[Ground] == "plus") sheet.AppendLine("  negative: true");
        if (say.Count > 0) return (null, say.ToImmutable(), "");
        var built = new SupplyShape(g[Rectifier] switch { "bridge" => RectifierKind.Bridge, "half-wave" => RectifierKind.HalfWave, "dual-from-tap" => RectifierKind.DualFromTap, "doubler" => RectifierKind.Doubler, _ => RectifierKind.CentreTap },
            transformer, new(g.Need(Reservoir)) { WorkingVolts = g[Working] })
        { Fuse = fuse, Diodes = diodes, Stages = [.. stages], Loads = [.. loads], Negative = g[Ground] == "plus" }.Build();
        foreach (var c in built.Complaints) say.TryAdd(FieldOf(c.Field), c.Words);
        return (built.Value, say.ToImmutable(), built.Value is null ? "" : sheet.ToString());

        void Add(FormattableString line) => sheet.AppendLine(line.ToString(CultureInfo.InvariantCulture));
    }

    private static Stage? One(StageAsks asks, Given g, string rail, ImmutableDictionary<string, string>.Builder say, StringBuilder told)
    {
        var (kind, mark, ohms) = (g[asks.Kind], g[asks.Mark], g[asks.Ohms]);
        if (kind != "regulator" && ohms is null) say[asks.Ohms.Id] = "Type the resistor, such as 220 Ω.";
        if (kind == "rc" && g[asks.Out] is null) say[asks.Out.Id] = "Type the second reservoir, such as 470 µF.";
        var output = g[asks.Out] is { } farads ? $", out: {Farads(farads)}" : "";
        var r = ohms?.ToString("R", CultureInfo.InvariantCulture) ?? "";
        switch (kind)
        {
            case "regulator":
                var volts = Quantities.Engineering.Parse(mark, "V", "", out _);
                var stage = Markings.Regulator(mark)?.For(rail) ?? (volts is { } v ? new SeriesRegulator(rail, Math.Abs(v)) : null);
                if (stage is null) say[asks.Mark.Id] = "Type the marking, such as 7812, or the volts it holds.";
                told.AppendLine(CultureInfo.InvariantCulture, $"    {rail}: {{regulator: {mark}{output}}}");
                return stage;
            case "rc":
                told.AppendLine(CultureInfo.InvariantCulture, $"    {rail}: {{rc: {r} ohm{output}}}");
                return ohms is { } o && g[asks.Out] is { } second ? new RcPi(rail, o, second) : null;
            default:
                var zener = Markings.Zener(mark) ?? (Quantities.Engineering.Parse(mark, "V", "", out _) is { } z and > 0 ? new ZenerAsRead(z) : null);
                if (zener is null) say[asks.Mark.Id] = "Type the zener’s marking, such as 1N4742A, or its volts.";
                told.AppendLine(CultureInfo.InvariantCulture, $"    {rail}: {{{(kind == "pass" ? "pass: npn, " : "")}zener: {mark}, ohms: {r} ohm{output}}}");
                return zener is null || ohms is not { } bias ? null : kind == "pass" ? new PassTransistor(rail, bias, zener) : new ZenerShunt(rail, bias, zener);
        }
    }

    /// <summary>The field that a complaint of the shape belongs to.</summary>
    private static string FieldOf(string path) => path switch
    {
        _ when path.StartsWith("Stages[", StringComparison.Ordinal) && path.Length > 7 && path[7] is >= '0' and < '3' => $"kind{path[7] - '0' + 1}",
        _ when path.StartsWith("Fuse", StringComparison.Ordinal) => FuseIn.Id,
        _ when path.StartsWith("Reservoir", StringComparison.Ordinal) => Reservoir.Id,
        _ when path.StartsWith("Loads", StringComparison.Ordinal) => RawLoad.Id,
        "Transformer.SecondaryOhms" => Secondary.Id, "Transformer.PrimaryOhms" => Primary.Id, "Transformer.VoltAmperes" => Va.Id,
        _ when path.StartsWith("Transformer", StringComparison.Ordinal) => Open.Id,
        _ => Rectifier.Id,
    };

    private static string Maybe(string key, double? value, string unit) => value is { } v ? FormattableString.Invariant($"{key}: {v:R} {unit}") : "";

    private static string Farads(double farads) => FormattableString.Invariant($"{farads * 1e6:0.######} uF");
}
