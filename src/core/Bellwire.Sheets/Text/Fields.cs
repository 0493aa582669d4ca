using System.Globalization;

namespace Bellwire.Sheets.Text;

/// <summary>One entry of the sheet while it is being read: hands out values, complains of what is missing, odd or unknown.</summary>
internal sealed class Fields(MapNode? map, Mark at, string path, Complaints complaints)
{
    private readonly List<string> asked = [];

    public Mark At { get; } = at;
    public string Path { get; } = path;
    public Complaints Complaints { get; } = complaints;

    /// <summary>The entry's value as fields; complains when it is not a map.</summary>
    public static Fields Of(Scalar key, Node value, string path, Complaints complaints)
    {
        if (value is not MapNode && value is not Scalar { IsEmpty: true })
            complaints.Add(value.At, path, $"Expected a map, found {value.What}.");
        return new(value as MapNode, key.At, path, complaints);
    }

    public Node? Node(string key)
    {
        asked.Add(key);
        return map?[key] is { } node and not Scalar { IsEmpty: true } ? node : null;
    }

    public Scalar? Name(string key, bool required = false)
    {
        var node = Node(key);
        if (node is null && required) Missing(key);
        if (node is null or Scalar) return node as Scalar;
        Wrong(key, node, "a word");
        return null;
    }

    public string? Text(string key, bool required = false) => Name(key, required)?.Value;

    /// <summary>A number within limits; null when absent or wrong. Limits are inclusive unless said otherwise.</summary>
    public double? Number(string key, double low = double.NegativeInfinity, double high = double.PositiveInfinity, bool required = false, bool belowHigh = false)
    {
        var node = Node(key);
        if (node is null)
        {
            if (required) Missing(key);
            return null;
        }

        return AsNumber(node, $"{Path}.{key}", low, high, belowHigh);
    }

    public double? AsNumber(Node node, string where, double low, double high, bool belowHigh = false)
    {
        if (node is not Scalar s || !TryNumber(s.Value, out var value))
        {
            Complaints.Add(node.At, where, $"Expected a number, found {node.What}.");
            return null;
        }

        if (value >= low && (belowHigh ? value < high : value <= high)) return value;
        var range = (double.IsInfinity(low), double.IsInfinity(high)) switch
        {
            (false, false) => $"from {Show(low)} to {(belowHigh ? "below " : "")}{Show(high)}",
            (false, true) => $"of at least {Show(low)}",
            _ => $"of at most {Show(high)}",
        };
        Complaints.Add(node.At, where, $"Out of range: {Show(value)}. Expected a number {range}.");
        return null;
    }

    public int? Whole(string key, int low, int high, bool required = false)
    {
        var value = Number(key, low, high, required);
        if (value is null) return null;
        if (value == Math.Floor(value.Value)) return (int)value.Value;
        Complaints.Add(map![key]!.At, $"{Path}.{key}", $"Expected a whole number, found {Show(value.Value)}.");
        return null;
    }

    public bool? Flag(string key)
    {
        var s = Name(key);
        if (s is null) return null;
        if (s.Value is "true" or "yes") return true;
        if (s.Value is "false" or "no") return false;
        Complaints.Add(s.At, $"{Path}.{key}", $"Expected true or false, found {s.What}.");
        return null;
    }

    /// <summary>One of the listed words.</summary>
    public string? OneOf(string key, IReadOnlyList<string> words, bool required = false)
    {
        var s = Name(key, required);
        if (s is null || words.Contains(s.Value)) return s?.Value;
        Complaints.Add(s.At, $"{Path}.{key}", $"Unknown word {s.What}. Expected one of: {string.Join(", ", words)}.", Nearest.To(s.Value, words));
        return null;
    }

    /// <summary>A list of words, or a single word; empty when absent.</summary>
    public IReadOnlyList<Scalar> Names(string key, bool required = false)
    {
        var node = Node(key);
        if (node is null)
        {
            if (required) Missing(key);
            return [];
        }

        if (node is Scalar one) return [one];
        if (node is not ListNode list)
        {
            Wrong(key, node, "a list of words");
            return [];
        }

        foreach (var item in list.Items.Where(i => i is not Scalar))
            Complaints.Add(item.At, $"{Path}.{key}", $"Expected a word, found {item.What}.");
        return [.. list.Items.OfType<Scalar>()];
    }

    public IReadOnlyList<Node> List(string key, bool required = false)
    {
        var node = Node(key);
        if (node is null && required) Missing(key);
        if (node is null or ListNode) return (node as ListNode)?.Items ?? [];
        Wrong(key, node, "a list");
        return [];
    }

    public IReadOnlyList<(Scalar Key, Node Value)> Map(string key, bool required = false)
    {
        var node = Node(key);
        if (node is null && required) Missing(key);
        if (node is null or MapNode) return (node as MapNode)?.Entries ?? [];
        Wrong(key, node, "a map");
        return [];
    }

    /// <summary>Every entry of a map as fields of its own, ids checked.</summary>
    public IEnumerable<(string Id, Fields Of)> Entries(string key, bool required = false)
    {
        foreach (var (id, value) in Map(key, required))
            if (CheckId(id, $"{Path}.{key}".TrimStart('.')))
                yield return (id.Value, Fields.Of(id, value, $"{Path}.{key}.{id.Value}".TrimStart('.'), Complaints));
    }

    public bool CheckId(Scalar id, string where)
    {
        if (id.Value.Length is > 0 and <= 60 && id.Value.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_') && !Reserved.Contains(id.Value)) return true;
        Complaints.Add(id.At, where, Reserved.Contains(id.Value)
            ? $"'{id.Value}' is a word of the rule language and cannot be a name."
            : $"{id.What} is not a name. Use letters, digits, '-' and '_'.");
        return false;
    }

    public static IReadOnlySet<string> Reserved { get; } = new HashSet<string>(StringComparer.Ordinal)
    {
        "when", "and", "or", "not", "any", "every", "as", "upstream", "becomes", "in", "at", "is", "kills", "always", "empty", "faulty", "bad", "each", "time",
    };

    public void Missing(string key) => Complaints.Add(At, Path, $"Missing key '{key}'.");

    private void Wrong(string key, Node node, string wanted) => Complaints.Add(node.At, $"{Path}.{key}".TrimStart('.'), $"Expected {wanted}, found {node.What}.");

    /// <summary>To be called when all keys have been asked for: complains of the others.</summary>
    public void Done()
    {
        if (map is null) return;
        foreach (var (key, _) in map.Entries.Where(e => !asked.Contains(e.Key.Value)))
            Complaints.Add(key.At, $"{Path}.{Scalar.Clip(key.Value)}".TrimStart('.'), $"Unknown key {key.What}. Expected one of: {string.Join(", ", asked.Distinct())}.", Nearest.To(key.Value, asked));
    }

    public static string Show(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);

    /// <summary>A finite number; a sum of two (<c>3+2</c>) so that a repeated index can be shifted.</summary>
    public static bool TryNumber(string text, out double value)
    {
        const NumberStyles style = NumberStyles.Float;
        if (double.TryParse(text, style, CultureInfo.InvariantCulture, out value)) return double.IsFinite(value);
        var plus = text.IndexOf('+', 1 <= text.Length ? 1 : 0);
        if (plus > 0 && double.TryParse(text[..plus], style, CultureInfo.InvariantCulture, out var a) && double.TryParse(text[(plus + 1)..], style, CultureInfo.InvariantCulture, out var b))
        {
            value = a + b;
            return double.IsFinite(value);
        }

        return false;
    }
}
