using System.Globalization;

namespace Bellwire.App.Parts;

/// <summary>Small matters of wording that many pages share.</summary>
internal static class Plain
{
    public static string N(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    /// <summary>Letters, digits and dashes only: for ids in markup.</summary>
    public static string Slug(string text) => string.Concat(text.Select(c => char.IsAsciiLetterOrDigit(c) ? char.ToLowerInvariant(c) : '-'));

    public static string Megabytes(long bytes) => string.Create(CultureInfo.InvariantCulture, $"{bytes >> 20} MB");

    public static string Minutes(double minutes) => Bellwire.Quantities.Words.Minutes(minutes);

    /// <summary>How long ago, as one would say it.</summary>
    public static string Age(TimeSpan ago) => ago.TotalMinutes switch
    {
        < 2 => "just now",
        < 90 => $"{ago.TotalMinutes:0} minutes",
        < 36 * 60 => $"{ago.TotalHours:0} hours",
        < 14 * 24 * 60 => $"{ago.TotalDays:0} days",
        < 70 * 24 * 60 => $"{ago.TotalDays / 7:0} weeks",
        _ => $"{ago.TotalDays / 30.4:0} months",
    };

    public static string Upper(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>A name broken into at most <paramref name="lines"/> lines of about <paramref name="width"/> letters.</summary>
    public static IReadOnlyList<string> Wrap(string text, int width, int lines)
    {
        var all = new List<string>();
        var line = "";
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width) { all.Add(line); line = word; }
            else line = line.Length == 0 ? word : line + " " + word;
        }
        if (line.Length > 0) all.Add(line);
        if (all.Count > lines) { all = all[..lines]; all[^1] = Cut(all[^1] + " …", width); }
        return [.. all.Select(l => Cut(l, width + 2))];
    }

    private static string Cut(string text, int width) => text.Length <= width ? text : text[..(width - 1)].TrimEnd(' ', '…') + "…";
}
