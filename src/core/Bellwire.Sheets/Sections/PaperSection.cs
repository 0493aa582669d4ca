using System.Collections.Immutable;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>What is counted, proved, connected and minded: hardware, proof, terminals, gates, cautions.</summary>
internal static class PaperSection
{
    private static readonly string[] Befores = ["power", "fit", "hands-in", "soak"];

    public static ImmutableArray<HardwareItem> Hardware(Fields root)
    {
        var list = ImmutableArray.CreateBuilder<HardwareItem>();
        foreach (var (id, f) in root.Entries("hardware"))
        {
            list.Add(new(id, f.Text("name", required: true) ?? id, f.Whole("count", 0, 10_000, required: true) ?? 0, f.Text("note")));
            f.Done();
        }

        return list.ToImmutable();
    }

    public static ImmutableArray<ProofStep> Proof(Fields root, IReadOnlyList<CheckSpec> checks, IReadOnlyList<PointSpec> points, Names names)
    {
        var list = ImmutableArray.CreateBuilder<ProofStep>();
        foreach (var (id, f) in root.Entries("proof"))
        {
            var check = f.Name("check");
            var point = f.Name("point");
            if (check is not null && checks.All(c => c.Id != check.Value) && !names.IsDropped(check.Value) && !names.IsDropped(check.Value.Replace("fn-", "", StringComparison.Ordinal)))
                f.Complaints.Add(check.At, f.Path, $"Unknown check {check.What}.", Nearest.To(check.Value, checks.Select(c => c.Id)));
            KnownPoint(point, f, points);
            list.Add(new(id, f.Text("words", required: true) ?? id, check?.Value, point?.Value, f.Number("low"), f.Number("high"), f.Text("unit"), f.Number("minutes", 0, 10_000) ?? 1));
            f.Done();
        }

        return list.ToImmutable();
    }

    public static ImmutableArray<TerminalSpec> Terminals(Fields root)
    {
        var list = ImmutableArray.CreateBuilder<TerminalSpec>();
        foreach (var (id, f) in root.Entries("terminals"))
        {
            list.Add(new(id, f.Text("words", required: true) ?? id, f.Text("carries", required: true) ?? "", f.Text("may-connect", required: true) ?? ""));
            f.Done();
        }

        return list.ToImmutable();
    }

    public static ImmutableArray<GateSpec> Gates(Fields root, IReadOnlyList<PointSpec> points, Names names)
    {
        var list = ImmutableArray.CreateBuilder<GateSpec>();
        foreach (var (id, f) in root.Entries("gates"))
        {
            var words = f.Text("words", required: true) ?? id;
            var before = f.OneOf("before", Befores, required: true) ?? "power";
            var point = f.Name("point");
            KnownPoint(point, f, points);
            var kinds = f.Names("pieces");
            foreach (var k in kinds.Where(k => !names.Kinds.ContainsKey(k.Value) && !names.IsDropped(k.Value)))
                f.Complaints.Add(k.At, f.Path, $"Unknown piece {k.What}.", Nearest.To(k.Value, names.Kinds.Keys));
            list.Add(new(id, words, before, point?.Value, f.Number("below"), f.Number("above"), [.. kinds.Where(k => names.Kinds.ContainsKey(k.Value)).Select(k => k.Value)], f.Flag("leakage") ?? false));
            f.Done();
        }

        return list.ToImmutable();
    }

    public static ImmutableArray<string> Cautions(Fields root)
    {
        var list = ImmutableArray.CreateBuilder<string>();
        foreach (var item in root.List("cautions"))
            if (item is Scalar s) list.Add(s.Value);
            else if (item is MapNode map && map["words"] is Scalar words) list.Add(words.Value);
            else if (item is MapNode { Entries: [(var key, Scalar value)] }) list.Add($"{key.Value}: {value.Value}");
            else root.Complaints.Add(item.At, "cautions", $"Expected a sentence, found {item.What}.");
        return list.ToImmutable();
    }

    private static void KnownPoint(Scalar? point, Fields f, IReadOnlyList<PointSpec> points)
    {
        if (point is not null && points.All(p => p.Id != point.Value))
            f.Complaints.Add(point.At, f.Path, $"Unknown point {point.What}.", Nearest.To(point.Value, points.Select(p => p.Id)));
    }
}
