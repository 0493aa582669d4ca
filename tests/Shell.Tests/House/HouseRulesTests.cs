using System.Text.RegularExpressions;

namespace Shell.Tests;

/// <summary>The house rules that a machine can keep.</summary>
public partial class HouseRulesTests
{
    private static readonly string[] Endings = [".cs", ".razor", ".yaml", ".md", ".css", ".js", ".sh", ".sql", ".csproj", ".props"];

    private static IEnumerable<(string Path, string Text)> Sources(params string[] endings) =>
        from folder in new[] { "src", "tests", "perf", "sheets", "docs", "reference" }
        let root = Path.Combine(ArrowTests.Root, folder)
        where Directory.Exists(root)
        from file in Directory.EnumerateFiles(root, "*", SearchOption.AllDirectories)
        let relative = Path.GetRelativePath(ArrowTests.Root, file).Replace('\\', '/')
        where endings.Contains(Path.GetExtension(file)) && !Built().IsMatch(relative) && !relative.EndsWith("HouseRulesTests.cs", StringComparison.Ordinal)
        select (relative, File.ReadAllText(file));

    [Fact]
    public void Nothing_is_left_unfinished() => Assert.Empty(Hits(Unfinished(), Endings));

    [Fact]
    public void Nothing_speaks_of_how_the_work_was_made() => Assert.Empty(Hits(Making(), Endings));

    [Fact]
    public void No_address_of_a_package_registry_is_written_down() => Assert.Empty(Hits(Registry(), Endings));

    [Fact]
    public void Sql_stands_only_in_the_store() =>
        Assert.DoesNotContain(Hits(Sql(), ".cs", ".razor"), h => h.StartsWith("src/", StringComparison.Ordinal) && !h.StartsWith("src/shell/Bellwire.Store/", StringComparison.Ordinal));

    [Fact]
    public void Pages_ask_nothing_of_other_machines() =>
        Assert.DoesNotContain(Hits(Elsewhere(), ".razor", ".css", ".js"), h => h.StartsWith("src/shell/", StringComparison.Ordinal));

    [Fact]
    public void Files_stay_short()
    {
        var lengths = Sources(".cs", ".razor").Where(f => f.Path.StartsWith("src/", StringComparison.Ordinal))
            .Select(f => (f.Path, Lines: f.Text.Count(c => c == '\n'))).OrderBy(f => f.Lines).ToList();
        Assert.True(lengths[lengths.Count / 2].Lines < 120, $"The median source file has {lengths[lengths.Count / 2].Lines} lines; 120 is the limit.");
        var longOnes = lengths.Where(f => f.Lines > 400).Select(f => $"{f.Path}: {f.Lines}").ToList();
        Assert.True(longOnes.Count <= lengths.Count / 20, "Too many files over 400 lines: " + string.Join(", ", longOnes));
    }

    private static IEnumerable<string> Hits(Regex rule, params string[] endings) =>
        from source in Sources(endings)
        from Match match in rule.Matches(source.Text)
        select $"{source.Path}: {match.Value}";

    [GeneratedRegex(@"(^|/)(bin|obj|lib|node_modules)/")] private static partial Regex Built();
    [GeneratedRegex(@"NotImplementedException|\bTODO\b|\bFIXME\b|\bHACK\b|\bXXX\b|Skip\s*=\s*""")] private static partial Regex Unfinished();
    [GeneratedRegex(@"\b(this|our) session\b|issue tracker|\bissue #?\d+", RegexOptions.IgnoreCase)] private static partial Regex Making();
    [GeneratedRegex(@"https?://[^ ""']*(nuget|npmjs|pypi|debian)\.")] private static partial Regex Registry();
    [GeneratedRegex(@"\b(INSERT INTO|SELECT [\w*, ]+ FROM|CREATE TABLE|DELETE FROM)\b")] private static partial Regex Sql();
    [GeneratedRegex(@"(src|href|url|fetch)\s*[=(:]\s*[""']?https?://", RegexOptions.IgnoreCase)] private static partial Regex Elsewhere();
}
