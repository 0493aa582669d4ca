using Bellwire.Counsel.Papers;
using Bellwire.Papers;

namespace Shell.Tests.Papers;

/// <summary>Every paper, word for word, of one mended set: a changed word is a changed paper and wants a second look.
/// BELLWIRE_REWRITE=1 writes them anew.</summary>
public class GoldenPaperTests
{
    private static readonly PaperFacts Facts = Journal.Mended().Facts("j");

    public static TheoryData<string> Kinds => [.. PaperKinds.All.Select(k => k.Id)];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void It_reads_as_it_was_last_looked_at(string kind)
    {
        var now = MarkdownPaper.Of(PaperKinds.Find(kind)!.Compose(Facts)).ReplaceLineEndings("\n");
        var file = Path.Combine(ArrowTests.Root, "tests", "Shell.Tests", "Papers", "golden", kind + ".md");
        if (Environment.GetEnvironmentVariable("BELLWIRE_REWRITE") == "1") File.WriteAllText(file, now);
        Assert.True(File.Exists(file), $"There is no {file}: run once with BELLWIRE_REWRITE=1 and read it.");
        Assert.Equal(File.ReadAllText(file).ReplaceLineEndings("\n"), now);
    }
}
