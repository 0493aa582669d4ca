using System.Text;
using Bellwire.Counsel;
using Bellwire.Counsel.Papers;
using Bellwire.Papers;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Papers: written from the journal when they are asked for, kept as sent when they go out.</summary>
public sealed partial class Desk
{
    /// <summary>The paper of that kind, or null when there is no such kind.</summary>
    public Paper? PaperOf(string job, string kind) => PaperKinds.Find(kind)?.Compose(Facts(job));

    public PaperFacts Facts(string job)
    {
        var thought = Think(job);
        return new(State, job, SheetOf(job), thought.Weighed, thought.Advice, p => shop.Read(p), Today, HeadHash) { Good = GoodSets(job) };
    }

    /// <summary>What proved sets of the same family read.</summary>
    public GoodSetChart GoodSets(string job) => GoodSetChart.For(State, job, SheetOf);

    public PaperPicture? Picture(string hash)
    {
        using var file = shop.Files.Open(hash);
        if (file is null) return null;
        using var bytes = new MemoryStream();
        file.CopyTo(bytes);
        var all = bytes.ToArray();
        return MediaTypeOf(all.AsSpan(0, Math.Min(12, all.Length))) is { } type ? new(type, all) : null;
    }

    public string HtmlOf(Paper paper, PaperSize size) => HtmlPaper.Whole(paper, size, Picture);

    public IEnumerable<(Entry Entry, PaperSent Paper)> SentPapers(string job) =>
        State.TapeOf(job).Where(e => e.Act is PaperSent).Select(e => (e, (PaperSent)e.Act)).Reverse();

    /// <summary>Keeps the paper to the byte, then says on the tape that it went out.</summary>
    internal async Task<PaperSent> Send(string job, Paper paper, PaperSize size, string channel, CancellationToken stop)
    {
        using var bytes = new MemoryStream(Encoding.UTF8.GetBytes(HtmlOf(paper, size)));
        var hash = await shop.Files.Keep(bytes, stop);
        return new(job, paper.Kind, hash, "text/html", channel, Head, paper.Sum?.Amount, paper.Sum?.Currency);
    }
}
