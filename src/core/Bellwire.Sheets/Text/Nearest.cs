namespace Bellwire.Sheets.Text;

/// <summary>The valid name a misspelt one was probably meant to be.</summary>
public static class Nearest
{
    private const int LongestCompared = 64;

    /// <summary>The name of least edit distance (Levenshtein 1966), if at most a third of its length (at least 1, for short names 2); else null.</summary>
    public static string? To(string written, IEnumerable<string> names)
    {
        if (written.Length is 0 or > LongestCompared) return null;
        string? best = null;
        var least = int.MaxValue;
        foreach (var name in names)
        {
            if (name.Length > LongestCompared || Math.Abs(name.Length - written.Length) >= least) continue;
            var d = Distance(written, name);
            if (d < least) (best, least) = (name, d);
        }

        return best is not null && least <= Math.Max(2, best.Length / 3) && least < best.Length ? best : null;
    }

    /// <summary>Insertions, deletions and substitutions that turn one text into the other.</summary>
    public static int Distance(string a, string b)
    {
        var row = new int[b.Length + 1];
        for (var j = 0; j <= b.Length; j++) row[j] = j;
        for (var i = 1; i <= a.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var above = row[j];
                row[j] = Math.Min(Math.Min(row[j] + 1, row[j - 1] + 1), diagonal + (a[i - 1] == b[j - 1] ? 0 : 1));
                diagonal = above;
            }
        }

        return row[b.Length];
    }
}
