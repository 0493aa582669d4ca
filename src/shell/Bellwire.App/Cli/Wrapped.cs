namespace Bellwire.App.Cli;

/// <summary>Lines broken between words at the width of the terminal; 80 columns when there is none.</summary>
internal static class Wrapped
{
    private const int WithoutTerminal = 80, Narrowest = 30;

    /// <summary>Columns a line may take. The last one stays free: some terminals break there by themselves.</summary>
    public static int Width
    {
        get
        {
            if (Console.IsOutputRedirected) return WithoutTerminal;
            try { return Math.Max(Narrowest, Console.WindowWidth - 1); }
            catch (IOException) { return WithoutTerminal; }
        }
    }

    /// <summary>Breaks one line; what follows is set in by <paramref name="indent"/> blanks. A word longer than a line stays whole.</summary>
    public static IEnumerable<string> Lines(string text, int width, int indent)
    {
        var lead = text.Length - text.TrimStart(' ').Length;
        var line = text[..lead];
        var empty = true;
        foreach (var word in text[lead..].Split(' '))
        {
            if (!empty && line.Length + 1 + word.Length > width)
            {
                yield return line.TrimEnd();
                line = new string(' ', indent);
                empty = true;
            }
            line += empty ? word : " " + word;
            empty = false;
        }
        yield return line.TrimEnd();
    }
}
