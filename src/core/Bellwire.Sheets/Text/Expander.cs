using System.Collections.Immutable;
using System.Text.RegularExpressions;

namespace Bellwire.Sheets.Text;

/// <summary>Writes out repeated entries (<c>run-&lt;room&gt;</c>) and drops those whose <c>only</c> or <c>except</c> does not fit.</summary>
internal sealed partial class Expander(IReadOnlyDictionary<string, int> repeat, IReadOnlySet<string> features, Complaints complaints)
{
    public const int MostNodes = 200_000;
    private int nodes;
    private bool stopped;

    /// <summary>Names that stand in the text but not in this set: rules and lists skip them.</summary>
    public HashSet<string> Dropped { get; } = new(StringComparer.Ordinal);

    public MapNode? Expand(MapNode root)
    {
        var result = (MapNode)Walk(root, ImmutableDictionary<string, int>.Empty, "");
        return stopped ? null : result;
    }

    /// <summary>The first index named in the text that is repeated and not in <paramref name="bound"/>; null when there is none.</summary>
    public static string? Unbound(string text, IReadOnlyDictionary<string, int> repeat, IReadOnlyDictionary<string, int>? bound = null)
    {
        for (var from = text.IndexOf('<'); from >= 0; from = text.IndexOf('<', from + 1))
        {
            var to = text.IndexOf('>', from);
            if (to < 0) return null;
            var name = text[(from + 1)..to];
            if (repeat.ContainsKey(name) && bound?.ContainsKey(name) != true) return name;
        }

        return null;
    }

    public static string Bind(string text, IReadOnlyDictionary<string, int> bound)
    {
        if (!text.Contains('<', StringComparison.Ordinal)) return text;
        foreach (var (name, value) in bound) text = text.Replace($"<{name}>", value.ToString(), StringComparison.Ordinal);
        return text;
    }

    private Node Walk(Node node, ImmutableDictionary<string, int> bound, string path)
    {
        if (++nodes > MostNodes)
        {
            if (!stopped) complaints.Add(node.At, path, $"Written out, the sheet has more than {MostNodes} values. Repeat less.");
            stopped = true;
        }

        if (stopped) return node;
        switch (node)
        {
            case Scalar s:
                return s.With(Bind(s.Value, bound));
            case ListNode list:
                var items = new List<Node>();
                foreach (var item in list.Items)
                {
                    if (!Stands(item)) continue;
                    foreach (var b in item is not Scalar text ? [bound] : Bindings(text.Value, bound))
                        items.Add(Walk(item, b, path));
                }

                return new ListNode(list.At, items);
            default:
                var map = (MapNode)node;
                var entries = new List<(Scalar, Node)>();
                foreach (var (key, value) in map.Entries)
                {
                    if (path.Length > 0 && key.Value is "only" or "except") continue;
                    var stands = Stands(value);
                    foreach (var b in Bindings(key.Value, bound))
                    {
                        var name = Bind(key.Value, b);
                        if (stands) entries.Add((key.With(name), Walk(value, b, path + "." + name)));
                        else Dropped.Add(name);
                    }
                }

                return new MapNode(map.At, entries);
        }
    }

    private IEnumerable<ImmutableDictionary<string, int>> Bindings(string text, ImmutableDictionary<string, int> bound)
    {
        // "any run-<room>.wire open" speaks of all rooms at once and stays one sentence.
        if (Unbound(Quantified().Replace(text, " "), repeat, bound) is not { } index)
        {
            yield return bound;
            yield break;
        }

        for (var i = 1; i <= repeat[index]; i++)
            foreach (var inner in Bindings(text, bound.SetItem(index, i)))
                yield return inner;
    }

    [GeneratedRegex(@"\b(any|every)\s+\S+")]
    private static partial Regex Quantified();

    private bool Stands(Node value)
    {
        if (value is not MapNode map) return true;
        return (map["only"] is not { } only || Listed(only).Any(Fits)) && (map["except"] is not { } except || !Listed(except).Any(Fits));
    }

    private bool Fits(Scalar s)
    {
        if (features.Contains(s.Value)) return true;
        if (!Outline.Eras.Contains(s.Value) && !Outline.Feeds.Contains(s.Value) && !known.Contains(s.Value))
            complaints.Add(s.At, "only", $"Unknown feature {s.What}. Expected an era, a feed or one of 'has'.", Nearest.To(s.Value, Outline.Eras.Concat(Outline.Feeds).Concat(known)));
        return false;
    }

    private readonly HashSet<string> known = [.. Outline.Features, .. features];

    private static IEnumerable<Scalar> Listed(Node node) => node switch
    {
        Scalar s => [s],
        ListNode l => l.Items.OfType<Scalar>(),
        _ => [],
    };
}
