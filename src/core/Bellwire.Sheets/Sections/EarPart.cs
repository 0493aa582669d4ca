using System.Collections.Immutable;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>The part of a check that says which measure of a recording answers it: <c>ear</c>, <c>hears</c>, <c>limits</c>.</summary>
/// <param name="Hears">Verdict → outcome.</param>
/// <param name="Limits">Of a response.</param>
internal sealed record EarPart(string? Measure, ImmutableDictionary<string, string> Hears, ImmutableArray<ResponseLimit> Limits)
{
    public bool IsNumber => Measure is not null && EarMeasures.Numbers.ContainsKey(Measure);

    public static EarPart Read(Fields f, ImmutableArray<string> outcomes)
    {
        var named = f.Name("ear");
        if (named is not null && !EarMeasures.All.Contains(named.Value))
            f.Complaints.Add(named.At, $"{f.Path}.ear", $"Unknown measure {named.What}. Expected one of: {string.Join(", ", EarMeasures.All)}.", Nearest.To(named.Value, EarMeasures.All));
        var hears = Verdicts(f, named, outcomes);
        var limits = ReadLimits(f, named?.Value == "response");
        if (named?.Value == "response" && limits is { Length: 0 }) f.Complaints.Add(named.At, $"{f.Path}.ear", "A response needs 'limits' to be held against: [[from Hz, to Hz, lowest dB, highest dB], …].");
        return new(named is not null && EarMeasures.All.Contains(named.Value) ? named.Value : null, hears, limits ?? []);
    }

    private static ImmutableDictionary<string, string> Verdicts(Fields f, Scalar? named, ImmutableArray<string> outcomes)
    {
        var (hears, path) = (ImmutableDictionary<string, string>.Empty, $"{f.Path}.hears");
        var verdicts = named is null ? [] : EarMeasures.Verdicts.GetValueOrDefault(named.Value, []);
        var entries = f.Map("hears");
        if (named is not null && !EarMeasures.All.Contains(named.Value)) return hears; // said already
        foreach (var (verdict, node) in entries)
        {
            var outcome = (node as Scalar)?.Value ?? "";
            if (named is null) f.Complaints.Add(verdict.At, path, "'hears' needs an 'ear' that ends in a word: hum, response or sound.");
            else if (!verdicts.Contains(verdict.Value)) f.Complaints.Add(verdict.At, path, verdicts.IsEmpty ? $"The ear's '{named.Value}' is a number: 'bands' say what it means." : $"Unknown verdict {verdict.What} of {named.Value}. It has: {string.Join(", ", verdicts)}.", Nearest.To(verdict.Value, verdicts));
            else if (!outcomes.Contains(outcome)) { if (outcomes.Length > 0) f.Complaints.Add(node.At, path, $"Unknown outcome {node.What}. There are: {string.Join(", ", outcomes)}.", Nearest.To(outcome, outcomes)); }
            else hears = hears.SetItem(verdict.Value, outcome);
        }
        if (!verdicts.IsEmpty && entries.Count == 0) f.Complaints.Add(f.At, f.Path, $"The ear's '{named!.Value}' ends in a word: say by 'hears' which outcome each of {string.Join(", ", verdicts)} is.");
        return hears;
    }

    /// <returns>Null when some were there and none was right: that has been said.</returns>
    private static ImmutableArray<ResponseLimit>? ReadLimits(Fields f, bool wanted)
    {
        var path = $"{f.Path}.limits";
        if (f.Node("limits") is not { } node) return [];
        if (!wanted) { f.Complaints.Add(node.At, path, "'limits' belong to the ear's 'response'."); return []; }
        if (node is not ListNode { Items.Count: > 0 } list) { f.Complaints.Add(node.At, path, $"Expected a list of [from Hz, to Hz, lowest dB, highest dB], found {node.What}."); return null; }
        var limits = ImmutableArray.CreateBuilder<ResponseLimit>();
        foreach (var item in list.Items)
        {
            if (item is not ListNode { Items.Count: 4 } four) { f.Complaints.Add(item.At, path, $"Expected four numbers, [from Hz, to Hz, lowest dB, highest dB], found {item.What}."); continue; }
            if (f.AsNumber(four.Items[0], path, 10, 90_000) is not { } from || f.AsNumber(four.Items[1], path, 10, 90_000) is not { } to) continue;
            if (f.AsNumber(four.Items[2], path, -100, 100) is not { } low || f.AsNumber(four.Items[3], path, -100, 100) is not { } high) continue;
            if (from >= to || low >= high) f.Complaints.Add(item.At, path, $"Expected the lower limit first, found {Fields.Show(from >= to ? from : low)} and {Fields.Show(from >= to ? to : high)}.");
            else limits.Add(new(from, to, low, high));
        }
        return limits.Count == 0 ? null : limits.ToImmutable();
    }
}
