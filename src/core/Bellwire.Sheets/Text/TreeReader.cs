using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace Bellwire.Sheets.Text;

/// <summary>YAML text → tree. Bounded in size, depth and count, aliases refused: no text makes it hang or grow.</summary>
internal sealed class TreeReader(Complaints complaints)
{
    public const int LongestText = 1 << 20;
    public const int DeepestLevel = 24;
    public const int MostNodes = 50_000;
    private int nodes;
    private bool stopped;

    /// <summary>The root map, or null when nothing could be made of the text (a complaint then says why).</summary>
    public MapNode? Read(string text)
    {
        if (text.Length > LongestText)
        {
            complaints.Add(new(1, 1), "", $"The sheet is {text.Length} characters long; at most {LongestText} are read.");
            return null;
        }

        try
        {
            var parser = new Parser(new Scanner(new StringReader(text), skipComments: true));
            if (!parser.MoveNext()) return Nothing(new(1, 1));
            while (parser.Current is StreamStart or DocumentStart) parser.MoveNext();
            if (parser.Current is null or StreamEnd or DocumentEnd) return Nothing(new(1, 1));
            var root = ReadNode(parser, "", 0);
            if (stopped) return null;
            if (parser.Current is DocumentEnd) parser.MoveNext();
            if (parser.Current is DocumentStart second)
                complaints.Add(At(second), "", "A second document begins here; a sheet is one document.");
            return root switch
            {
                MapNode map => map,
                null => null,
                Scalar { IsEmpty: true } s => Nothing(s.At),
                _ => Refuse(root.At, $"Expected a map of keys such as 'bellwire: 1', found {root.What}."),
            };
        }
        catch (YamlException e)
        {
            return Refuse(new((int)Math.Max(1, e.Start.Line), (int)Math.Max(1, e.Start.Column)), $"Not YAML: {e.Message.TrimEnd('.')}.");
        }
        catch (Exception e) when (e is InvalidOperationException or ArgumentException or IndexOutOfRangeException or FormatException or NullReferenceException or KeyNotFoundException)
        {
            // The scanner lets a few of its own slips out on damaged text; a person should see a complaint, not a crash.
            return Refuse(new(1, 1), $"Not YAML: the text cannot be split into keys and values ({e.GetType().Name}).");
        }
    }

    private MapNode? Nothing(Mark at) => Refuse(at, "The sheet is empty. Expected 'bellwire: 1' and what follows.");

    private MapNode? Refuse(Mark at, string message)
    {
        complaints.Add(at, "", message);
        return null;
    }

    private static Mark At(ParsingEvent e) => new((int)Math.Max(1, e.Start.Line), (int)Math.Max(1, e.Start.Column));

    private Node? Stop(Mark at, string path, string message)
    {
        stopped = true;
        complaints.Add(at, path, message);
        return null;
    }

    // Leaves the parser on the event after the node.
    private Node? ReadNode(Parser parser, string path, int level)
    {
        var e = parser.Current!;
        if (++nodes > MostNodes) return Stop(At(e), path, $"More than {MostNodes} values; the rest is not read.");
        if (level > DeepestLevel) return Stop(At(e), path, $"Nested more than {DeepestLevel} levels deep.");
        switch (e)
        {
            case YamlDotNet.Core.Events.Scalar s:
                parser.MoveNext();
                return new Scalar(At(s), s.Value, s.Style is ScalarStyle.SingleQuoted or ScalarStyle.DoubleQuoted, s.Start.Line == s.End.Line);
            case AnchorAlias a:
                complaints.Add(At(a), path, $"Aliases ('*{a.Value}') are not part of format 1: write the value out.");
                parser.MoveNext();
                return new Scalar(At(a), "", false, true);
            case SequenceStart start:
                return ReadList(parser, path, level, At(start));
            case MappingStart start:
                return ReadMap(parser, path, level, At(start));
            default:
                return Stop(At(e), path, "Expected a value here.");
        }
    }

    private ListNode? ReadList(Parser parser, string path, int level, Mark at)
    {
        var items = new List<Node>();
        parser.MoveNext();
        while (parser.Current is not SequenceEnd)
        {
            if (ReadNode(parser, $"{path}[{items.Count + 1}]", level + 1) is not { } item) return null;
            items.Add(item);
        }

        parser.MoveNext();
        return new ListNode(at, items);
    }

    private MapNode? ReadMap(Parser parser, string path, int level, Mark at)
    {
        var entries = new List<(Scalar, Node)>();
        var first = new Dictionary<string, Mark>(StringComparer.Ordinal);
        parser.MoveNext();
        while (parser.Current is not MappingEnd)
        {
            var key = ReadNode(parser, path, level + 1);
            if (key is null) return null;
            var name = key as Scalar;
            if (name is null) complaints.Add(key.At, path, $"A key must be a name, found {key.What}.");
            var inner = path.Length == 0 ? name?.Value ?? "" : $"{path}.{name?.Value}";
            if (ReadNode(parser, inner, level + 1) is not { } value) return null;
            if (name is null) continue;
            if (first.TryGetValue(name.Value, out var before))
            {
                complaints.Add(name.At, inner, $"Key '{Scalar.Clip(name.Value)}' stands twice; first on line {before.Line}.");
                continue;
            }

            first.Add(name.Value, name.At);
            entries.Add((name, value));
        }

        parser.MoveNext();
        return new MapNode(at, entries);
    }
}
