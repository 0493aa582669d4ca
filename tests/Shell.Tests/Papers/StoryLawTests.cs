using System.Collections.Immutable;
using Bellwire.Counsel.Papers;
using Bellwire.Papers;
using Bellwire.Workshop;

namespace Shell.Tests.Papers;

/// <summary>The anonymised case story leaves nothing behind that anybody typed: 200 random jobs, 10,000 with BELLWIRE_DEEP=1.
/// Every field that takes free text holds a word nobody else uses; none of them may come out.</summary>
public class StoryLawTests
{
    [Fact]
    public void No_typed_word_name_or_label_is_left_in_a_story()
    {
        var deep = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1";
        for (var seed = 0; seed < (deep ? 10_000 : 200); seed++)
        {
            var (journal, job) = RandomJob(new Random(seed));
            var story = PaperKinds.Find("story")!.Compose(journal.Facts(job, weigh: seed % (deep ? 100 : 50) == 0));
            var html = HtmlPaper.Leaf(story, _ => new("image/png", [1, 2, 3]));
            foreach (var text in new[] { MarkdownPaper.Of(story), html })
            {
                Assert.False(text.Contains("Zq", StringComparison.OrdinalIgnoreCase), $"seed {seed}: …{Around(text)}…");
                Assert.DoesNotContain("2026", text);
                Assert.DoesNotContain("base64", text);
            }
        }
    }

    private static string Around(string text)
    {
        var at = text.IndexOf("Zq", StringComparison.OrdinalIgnoreCase);
        return text[Math.Max(0, at - 60)..Math.Min(text.Length, at + 40)];
    }

    private static (Journal, string) RandomJob(Random r)
    {
        var j = new Journal();
        var sheet = Journal.Sheet;
        var job = Zq();
        string Zq() => $"Zq{r.Next(100_000)}";
        T Any<T>(IReadOnlyList<T> list) => list[r.Next(list.Count)];
        Personal Words() => j.Text(Zq() + r.Next(), $"{Zq()} {Zq()}");
        j.Must(new JobOpened(job, Words(), sheet.Id, sheet.Hash, new("microprocessor", "centre-tapped", 3, 2, [])), new ShopDetailSet("name", Zq()), new Noted(job, Words()));
        var map = ImmutableDictionary<string, string>.Empty;
        foreach (var p in sheet.Positions.Where(p => !p.House && r.Next(3) > 0))
        {
            var id = Zq() + p.Id;
            j.Must(new PieceRecorded(id, p.Kind, Zq(), Party.OwnerOf(job), job, "bench " + Zq(), Zq(), Zq()));
            map = map.Add(p.Id, id);
        }
        j.Must(new PieceRecorded("Zqshop", "supply", Zq(), Party.Shop, null, "shelf " + Zq(), Zq(), Zq(), true), new SystemSetUp("set-" + job, job, sheet.Id, map));
        var set = "set-" + job;
        for (var i = r.Next(5, 25); i > 0; i--)
        {
            var check = Any(sheet.Checks);
            var fault = Any(sheet.Faults);
            var piece = map.IsEmpty ? null : Any([.. map.Values]);
            Act act = r.Next(19) switch
            {
                0 => new OwnerTold(job, check.Id, r.Next(4) == 0 ? Zq() : Any(check.Outcomes), Words()),
                1 => new CauseTold(job, r.Next(4) == 0 ? Zq() : Any(sheet.Family.Causes).Id, true, Words()),
                2 => new Noted(job, Words()),
                3 => new OwnerWord(job, Zq(), true, Zq(), 10, "EUR", Words()),
                4 => new Checked(job, set, r.Next(5) == 0 ? Zq() : check.Id, r.Next(5) == 0 ? Zq() : Any(check.Outcomes), Journal.None.Add(Zq(), Zq()), Journal.None.Add(Zq(), Zq()), 1, Words()),
                5 => new GridChecked(job, set, Journal.None.Add(check.Id, Any(check.Outcomes)).Add(Zq(), Zq()), Journal.None, 1),
                6 => new ReadingTaken(job, set, r.Next(3) == 0 ? Zq() : Any(sheet.Points).Id, r.Next(4) == 0 ? Zq() : "volt-dc", r.NextDouble() * 20, Zq(), Journal.None.Add("warmth", Zq()).Add("feed", Zq())),
                7 => new GateAnswered(job, set, Zq(), true, 1, Zq(), Zq()),
                8 => new Mended(job, piece, piece is null ? set : null, piece is null ? fault.Position ?? Zq() : null, r.Next(3) == 0 ? Zq() : fault.Site, r.Next(2) == 0 ? Zq() : fault.Words, 1, 5),
                9 when piece is not null => new PartUsed(job, piece, Zq(), 3, "EUR", Zq()),
                10 => new Proved(job, r.Next(3) == 0 ? Zq() : Any(sheet.Proof).Id, "shown", 1.5, Zq(), Zq()),
                11 => new Powered(job, set, Any(["line", "lamp", "limited", "off"]), 120, Zq()),
                12 => new HardwareCounted(job, Zq(), 3, 4, Zq()),
                13 => new PieceMissing(job, "other", Zq(), Zq()),
                14 => new Parked(job, null, Zq()),
                15 => new RunDescribed(job, Zq(), Zq(), Zq(), 22, 10),
                16 => new Photographed(job, piece, new string('a', 64), "image/jpeg", Words()),
                17 when map.FirstOrDefault() is { Key: not null } at => new Pulled(job, at.Value, set, at.Key, Zq()),
                _ => new Fitted(job, "Zqshop", set, Any(sheet.Positions).Id, Zq()),
            };
            j.Try(act);
        }
        if (r.Next(2) == 0) j.Try(new JobClosed(job, Any(Law.Endings), Zq()));
        return (j, job);
    }
}
