using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Causes, conditions and selectors: what surrounds the pieces.</summary>
internal static class ContextSection
{
    public const int MostCauses = 8;

    public static ImmutableArray<(string Name, ImmutableArray<string> Values)> BuiltIn { get; } =
    [
        ("feed", ["line", "lamp", "limited", "off"]),
        ("warmth", ["cold", "warm"]),
        ("weather", ["dry", "rain"]),
        ("place", ["bench", "home"]),
    ];

    public static ImmutableArray<CauseSpec> Causes(Fields root, Names names)
    {
        var causes = ImmutableArray.CreateBuilder<CauseSpec>();
        foreach (var (id, f) in root.Entries("causes"))
        {
            var name = f.Text("name", required: true) ?? id;
            var prior = f.Number("prior", 0, 1, required: true, belowHigh: true) ?? 0;
            f.Done();
            if (causes.Count == MostCauses) f.Complaints.Add(f.At, f.Path, $"More than {MostCauses} causes.");
            if (causes.Count >= MostCauses) continue;
            names.Causes[id] = prior;
            causes.Add(new(id, name, prior));
        }

        return causes.ToImmutable();
    }

    public static void Conditions(Fields root, Names names)
    {
        foreach (var (name, values) in BuiltIn) names.Conditions[name] = values;
        foreach (var (key, node) in root.Map("conditions"))
        {
            if (!root.CheckId(key, "conditions")) continue;
            var values = (node as ListNode)?.Items.OfType<Scalar>().Select(s => s.Value).Distinct().ToList() ?? [];
            if (values.Count < 2) root.Complaints.Add(node.At, $"conditions.{key.Value}", $"Expected a list of at least two words, the usual one first, found {node.What}.");
            else names.Conditions[key.Value] = values;
        }
    }

    public static ImmutableArray<SelectorSpec> Selectors(Fields root, Names names)
    {
        var selectors = ImmutableArray.CreateBuilder<SelectorSpec>();
        foreach (var (id, f) in root.Entries("selectors"))
        {
            var name = f.Text("name", required: true) ?? id;
            var throws = f.Names("throws", required: true).Select(t => t.Value).Distinct().ToImmutableArray();
            f.Done();
            if (throws.Length < 2 && f.Node("throws") is { } node) f.Complaints.Add(node.At, f.Path, "A selector has at least two throws.");
            names.Selectors[id] = throws;
            selectors.Add(new(id, name, throws));
        }

        return selectors.ToImmutable();
    }

    /// <summary>Circumstances and throws that a check asks for: each must be known.</summary>
    public static ImmutableDictionary<string, string> Settings(Fields f, string key, IReadOnlyDictionary<string, IReadOnlyList<string>> known, string noun, Names names)
    {
        var result = ImmutableDictionary.CreateBuilder<string, string>();
        foreach (var (name, node) in f.Map(key))
        {
            var path = $"{f.Path}.{key}.{name.Value}";
            if (!known.TryGetValue(name.Value, out var values))
            {
                if (!names.IsDropped(name.Value)) f.Complaints.Add(name.At, path, $"Unknown {noun} {name.What}.", Nearest.To(name.Value, known.Keys));
            }
            else if (node is not Scalar s || !values.Contains(s.Value))
                f.Complaints.Add(node.At, path, $"Unknown value {node.What} of {noun} {name.Value}. It has: {string.Join(", ", values)}.", Nearest.To((node as Scalar)?.Value ?? "", values));
            else result[name.Value] = s.Value;
        }

        return result.ToImmutable();
    }
}
