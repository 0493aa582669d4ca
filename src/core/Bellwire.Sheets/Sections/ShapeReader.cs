using System.Collections.Immutable;
using System.Text.RegularExpressions;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;
using Bellwire.Quantities;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Reads a supply told by its shape: rectifier, transformer as read, fuse, reservoir, stages by their markings, loads.</summary>
internal sealed partial class ShapeReader(Complaints complaints) : ShapeFields(complaints)
{
    private static readonly Dictionary<string, RectifierKind> Rectifiers = new(StringComparer.Ordinal)
    {
        ["half-wave"] = RectifierKind.HalfWave, ["centre-tap"] = RectifierKind.CentreTap, ["bridge"] = RectifierKind.Bridge,
        ["dual-from-tap"] = RectifierKind.DualFromTap, ["doubler"] = RectifierKind.Doubler,
    };

    private static readonly Dictionary<string, FusePlace> Fuses = new(StringComparer.Ordinal) { ["line"] = FusePlace.Line, ["secondary"] = FusePlace.Secondary, ["tap"] = FusePlace.Tap };
    private static readonly string[] StageKinds = ["regulator", "zener", "pass", "rc"];

    /// <summary>The supply, or null after complaints.</summary>
    public SupplyCircuit? Read(Fields f)
    {
        var kind = f.OneOf("rectifier", [.. Rectifiers.Keys], required: true);
        var transformer = Transformer(Sub(f, "transformer"));
        var reservoir = Capacitor(f, "reservoir", required: true);
        var diodes = f.Name("diodes") is { } d ? Rectifier(d, f) : new Silicon();
        var fuse = FuseAsRead.Absent;
        if (f.Node("fuse") is not null && Sub(f, "fuse") is { } g)
        {
            var place = g.OneOf("in", [.. Fuses.Keys], required: true);
            var amperes = Value(g, "is", "A", required: true);
            g.Done();
            if (place is not null && amperes is { } a) fuse = new(Fuses[place], a);
        }
        var stages = f.Entries("stages").Select(s => Stage(s.Id, s.Of)).ToList();
        var loads = f.Map("loads").Select(l => Load(l.Key, l.Value, f)).ToList();
        var negative = f.Flag("negative") ?? false;
        f.Done();
        if (Wrong || kind is null || transformer is null || reservoir is null || diodes is null || stages.Contains(null) || loads.Contains(null)) return null;
        var built = new SupplyShape(Rectifiers[kind], transformer, reservoir)
        {
            Diodes = diodes, Fuse = fuse, Stages = [.. stages!], Loads = [.. loads!], Negative = negative,
        }.Build();
        return Judged(f, built);
    }

    private TransformerAsRead? Transformer(Fields? f)
    {
        if (f is null) return null;
        var open = Value(f, "open-volts", "V", required: true);
        var read = new TransformerAsRead(open ?? 1)
        {
            LineVolts = Value(f, "line", "V") ?? 120, LineHertz = Value(f, "hertz", "Hz") ?? 60, LineTolerance = Value(f, "line-tolerance", "%") / 100 ?? 0.05,
            PrimaryOhms = Value(f, "primary", "Ω"), SecondaryOhms = Value(f, "secondary", "Ω"), VoltAmperes = Value(f, "va", "VA"), RegulationPercent = Value(f, "regulation", "%"),
        };
        f.Done();
        return open is null ? null : read;
    }

    private Stage? Stage(string rail, Fields f)
    {
        var kinds = StageKinds.Where(k => f.Node(k) is not null).ToList();
        var kind = kinds.Contains("pass") ? "pass" : kinds.FirstOrDefault();
        var (output, from) = (Capacitor(f, "out", false), f.Text("from") ?? SupplyShape.Raw);
        Stage? stage = null;
        switch (kind)
        {
            case "regulator" when f.Name("regulator") is { } mark:
                if (Markings.Regulator(mark.Value) is { } known) stage = known.For(rail);
                else if (Engineering.Parse(mark.Value, "V", "", out _) is { } volts) stage = new SeriesRegulator(rail, Math.Abs(volts), Value(f, "dropout", "V") ?? 2, Value(f, "limit", "A") ?? 2.2);
                else Say<Stage>(mark.At, f.Path, $"Unknown regulator {mark.What}. Write its marking, such as 7812, or its volts and, if they are known, 'dropout' and 'limit'.");
                break;
            case "rc" when f.Name("rc") is { } r:
                if (Ohms(r, f) is { } ohms && output is not null) stage = new RcPi(rail, ohms, output.Farads);
                else if (output is null) Say<Stage>(f.At, f.Path, "An rc stage has its second capacitor under 'out'.");
                break;
            case "zener" or "pass":
                var zener = f.Name("zener", required: true) is { } z ? Zener(z, f) : null;
                var bias = Value(f, "ohms", "Ω", required: true);
                TransistorAsRead? pass = null;
                if (kind == "pass" && f.Name("pass") is { } q)
                    pass = q.Value is "npn" or "pnp" ? new() : Markings.Transistor(q.Value)?.Part ?? Say<TransistorAsRead>(q.At, f.Path, $"Unknown transistor {q.What}. Write its marking, or npn or pnp.");
                if (zener is not null && bias is { } b) stage = kind == "zener" ? new ZenerShunt(rail, b, zener) : pass is null ? null : new PassTransistor(rail, b, zener) { Transistor = pass };
                break;
            default: Say<Stage>(f.At, f.Path, $"Which kind of stage? Expected one of: {string.Join(", ", StageKinds)}."); break;
        }
        f.Done();
        if (stage is null) Wrong = true;
        return stage is null ? null : stage with { From = from, Output = output ?? stage.Output };
    }

    private ZenerAsRead? Zener(Scalar z, Fields f) => Markings.Zener(z.Value)
        ?? (Engineering.Parse(z.Value, "V", "", out _) is { } volts ? new ZenerAsRead(volts) : Say<ZenerAsRead>(z.At, f.Path, $"Unknown zener {z.What}. Write its marking, such as 1N4742A, or its volts."));

    private RectifierPart? Rectifier(Scalar d, Fields f)
    {
        if (Markings.Diode(d.Value) is { } known) return known;
        var selenium = SeleniumWords().Match(d.Value);
        return selenium.Success && Engineering.Parse(selenium.Groups[2].Value, "A", "", out _) is { } amperes
            ? new Selenium(int.Parse(selenium.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture), amperes)
            : Say<RectifierPart>(d.At, $"{f.Path}.diodes", $"Unknown diode {d.What}. Write its marking, such as 1N4002, or 'selenium 4 plates 1 A'.");
    }

    private RailLoad? Load(Scalar rail, Node node, Fields f)
    {
        var text = (node as Scalar)?.Value ?? "";
        if (Engineering.Parse(text, "A", "", out _) is { } amperes && text.TrimEnd().EndsWith('A')) return new(rail.Value) { Amperes = amperes };
        if (Engineering.Parse(text, "Ω", "", out _) is { } ohms) return new(rail.Value) { Ohms = ohms };
        return Say<RailLoad>(node.At, $"{f.Path}.loads.{rail.Value}", $"Expected ohms or amperes such as '150 ohm' or '0.2 A', found {node.What}.");
    }

    [GeneratedRegex(@"^selenium (\d{1,2}) plates?,? (\S+ ?A)$")]
    private static partial Regex SeleniumWords();
}
