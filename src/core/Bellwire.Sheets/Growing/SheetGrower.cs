using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Bellwire.Sheets.Growing;

/// <summary>A sheet's text with something put into it, or why not. Exactly one of the two is set.</summary>
public sealed record Grown(string? Text, string? Why)
{
    public static Grown Refused(string why) => new(null, why);
}

/// <summary>One thing to put into a sheet.</summary>
/// <param name="Section">points, hardware, terminals, pieces or positions.</param>
/// <param name="Id">Letters, digits, - and _.</param>
/// <param name="Fields">In the order they are written; a number is written bare, anything else quoted where it needs to be.</param>
public sealed record Growth(string Section, string Id, ImmutableArray<(string Key, object Value)> Fields);

/// <summary>Puts entries into a sheet's text without touching anything else: comments, order and spacing stay. What comes out is read again
/// as a sheet before anybody gets it.</summary>
public static partial class SheetGrower
{
    /// <summary>Sections that may grow.</summary>
    public static ImmutableArray<string> Sections { get; } = ["points", "hardware", "terminals", "pieces", "positions"];

    /// <summary>Adds the entries, or renews fields of those that stand there already on one line.</summary>
    public static Grown Grow(string text, params IEnumerable<Growth> growths)
    {
        ArgumentNullException.ThrowIfNull(text);
        var lines = text.ReplaceLineEndings("\n").Split('\n').ToList();
        foreach (var growth in growths)
        {
            if (!Sections.Contains(growth.Section)) return Grown.Refused($"“{growth.Section}” is not a part that grows: {string.Join(", ", Sections)}.");
            if (Put(lines, growth) is { } why) return Grown.Refused(why);
        }
        var grown = string.Join('\n', lines);
        var read = SheetReader.Read(grown, "the grown sheet");
        return read.IsGood ? new(grown, null) : Grown.Refused("Not taken into the sheet: " + string.Join("; ", read.Lines("line").Take(3)));
    }

    /// <summary>The block model as the beginning of a family's own sheet: its own id and title, cut to the set.</summary>
    public static Grown NewFamily(string id, string title, Outline outline)
    {
        ArgumentNullException.ThrowIfNull(outline);
        var text = ShippedSheets.Texts.Single(t => t.FileName == ShippedSheets.GenericFile).Text.ReplaceLineEndings("\n");
        text = Head(text, "id", id);
        text = Head(text, "title", Scalar(title));
        text = Head(text, "era", outline.Era);
        text = Head(text, "feed", outline.Feed);
        text = Head(text, "has", $"[{string.Join(", ", outline.Has)}]");
        text = Head(text, "repeat", string.Create(CultureInfo.InvariantCulture, $"{{room: {outline.Rooms}, door: {outline.Doors}}}"));
        var read = SheetReader.Read(text, id + ".yaml");
        return read.IsGood ? new(text, null) : Grown.Refused("No family came of it: " + string.Join("; ", read.Lines(id).Take(3)));
    }

    /// <summary>A name of one's own as an id: "U3 pin 5" → "u3-pin-5".</summary>
    public static string IdOf(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var id = Odd().Replace(name.Trim().ToLowerInvariant(), "-").Trim('-');
        return id.Length > 60 ? id[..60].Trim('-') : id;
    }

    private static string Head(string text, string key, string value) => Regex.Replace(text, $"^{key}:.*$", $"{key}: {value.Replace("$", "$$", StringComparison.Ordinal)}", RegexOptions.Multiline);

    private static string? Put(List<string> lines, Growth g)
    {
        var entry = $"{g.Id}: {{{string.Join(", ", g.Fields.Select(f => $"{f.Key}: {Value(f.Value)}"))}}}";
        var head = lines.FindIndex(l => l.StartsWith(g.Section + ":", StringComparison.Ordinal));
        if (head < 0)
        {
            while (lines.Count > 0 && lines[^1].Trim().Length == 0) lines.RemoveAt(lines.Count - 1);
            lines.AddRange(["", g.Section + ":", "  " + entry, ""]);
            return null;
        }
        var rest = lines[head][(g.Section.Length + 1)..];
        if (EmptyFlow().Match(rest) is { Success: true } empty) lines[head] = g.Section + ":" + empty.Groups["comment"].Value;
        else if (!NothingBehind().IsMatch(rest)) return $"Line {head + 1}: {g.Section} stands on one line; write it one entry a line, and try again.";
        var end = head + 1;
        while (end < lines.Count && (lines[end].Length == 0 || lines[end][0] is ' ' or '#' or '\t')) end++;
        var body = lines.GetRange(head + 1, end - head - 1);
        var first = body.FirstOrDefault(l => l.Trim().Length > 0 && l[0] == ' ' && !l.TrimStart().StartsWith('#'));
        var indent = first is null ? "  " : first[..^first.TrimStart().Length];
        var there = body.FindIndex(l => l.StartsWith(indent + g.Id + ":", StringComparison.Ordinal));
        if (there >= 0) return Renew(lines, head + 1 + there, g);
        // Comments and blanks before the next part belong to that part.
        var last = end - 1;
        while (last > head && (lines[last].Trim().Length == 0 || lines[last][0] == '#')) last--;
        lines.Insert(last + 1, indent + entry);
        return null;
    }

    /// <summary>Renews fields of an entry written on one line; the other fields and the comment behind it stay.</summary>
    private static string? Renew(List<string> lines, int at, Growth g)
    {
        var line = lines[at];
        if (Close(line, line.IndexOf('{', StringComparison.Ordinal)) is not { } close) return $"Line {at + 1}: {g.Id} is not written on one line; change it by hand.";
        foreach (var (key, value) in g.Fields)
        {
            close = Close(line, line.IndexOf('{', StringComparison.Ordinal))!.Value;
            var found = Regex.Match(line[..close], $@"(?<=[{{,]\s*){Regex.Escape(key)}:\s*(?<value>""(?:[^""\\]|\\.)*""|'(?:[^']|'')*'|[^,{{}}\[\]]+|\[[^\]]*\])");
            line = found.Success ? line[..found.Groups["value"].Index] + Value(value) + line[(found.Groups["value"].Index + found.Groups["value"].Value.TrimEnd().Length)..]
                : line[..close] + $", {key}: {Value(value)}" + line[close..];
        }
        lines[at] = line;
        return null;
    }

    /// <summary>Where the brace opened at <paramref name="open"/> closes on this line; null when it does not.</summary>
    private static int? Close(string line, int open)
    {
        if (open < 0) return null;
        var (depth, quote) = (0, '\0');
        for (var i = open; i < line.Length; i++)
        {
            var c = line[i];
            if (quote != '\0') { if (c == '\\' && quote == '"') i++; else if (c == quote) quote = '\0'; }
            else if (c is '"' || (c is '\'' && line[i - 1] is ' ' or '[' or '{' or ',')) quote = c;
            else if (c is '{') depth++;
            else if (c is '}' && --depth == 0) return i;
        }
        return null;
    }

    private static string Value(object value) => value switch
    {
        double d when double.IsFinite(d) => d.ToString("0.######", CultureInfo.InvariantCulture),
        int i => i.ToString(CultureInfo.InvariantCulture),
        bool b => b ? "true" : "false",
        ImmutableArray<int> list => $"[{string.Join(", ", list)}]",
        string s => Scalar(s),
        _ => throw new ArgumentOutOfRangeException(nameof(value), value, "A field is a text, a finite number, yes or no, or a list of whole numbers."),
    };

    /// <summary>Bare where YAML reads it as the same text, quoted otherwise.</summary>
    private static string Scalar(string text)
    {
        var line = text.ReplaceLineEndings(" ").Trim();
        return Bare().IsMatch(line) && !Word().IsMatch(line) ? line : "\"" + string.Concat(line.Where(c => !char.IsControl(c))).Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal) + "\"";
    }

    [GeneratedRegex(@"[^a-z0-9_]+")] private static partial Regex Odd();
    [GeneratedRegex(@"^\s*(#.*)?$")] private static partial Regex NothingBehind();
    [GeneratedRegex(@"^\s*(\{\s*\}|\[\s*\])(?<comment>\s*(#.*)?)$")] private static partial Regex EmptyFlow();
    [GeneratedRegex(@"^[A-Za-z][A-Za-z0-9 ./()+-]*[A-Za-z0-9)]$|^[A-Za-z]$")] private static partial Regex Bare();
    [GeneratedRegex(@"^(true|false|yes|no|on|off|null|y|n)$", RegexOptions.IgnoreCase)] private static partial Regex Word();
}
