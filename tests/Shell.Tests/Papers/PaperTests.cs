using Bellwire.Counsel.Papers;
using Bellwire.Papers;
using Bellwire.Workshop;

namespace Shell.Tests.Papers;

/// <summary>What must stand on each paper, and what must not (common practice, no source).</summary>
public class PaperTests
{
    private static readonly PaperFacts Facts = Journal.Mended().Facts("j");
    private static string Md(string kind) => MarkdownPaper.Of(PaperKinds.Find(kind)!.Compose(Facts));

    [Fact]
    public void Every_kind_is_there_once_and_writes_a_page_that_needs_nothing_beside_itself()
    {
        Assert.Equal(["send", "came", "quote", "test", "report", "invoice", "packing", "border", "refit", "labels", "story"], PaperKinds.All.Select(k => k.Id));
        foreach (var kind in PaperKinds.All)
        {
            var html = HtmlPaper.Whole(kind.Compose(Facts), PaperSize.Letter, _ => null);
            Assert.Contains("size: letter", html);
            Assert.DoesNotContain("<script", html);
            Assert.DoesNotContain("http", html);
            Assert.DoesNotContain("<loudly>", html);
            foreach (System.Text.RegularExpressions.Match link in System.Text.RegularExpressions.Regex.Matches(html, @"(src|href|url)\s*[=(]\s*""?([^"")\s]*)")) Assert.StartsWith("data:", link.Groups[2].Value);
        }
    }

    [Fact]
    public void The_same_tape_gives_the_same_paper() =>
        Assert.All(PaperKinds.All, k => Assert.Equal(HtmlPaper.Leaf(k.Compose(Facts), _ => null), HtmlPaper.Leaf(k.Compose(Journal.Mended().Facts("j")), _ => null)));

    [Fact]
    public void The_bench_s_own_notes_go_on_no_paper() => Assert.All(PaperKinds.All, k => Assert.DoesNotContain("nuisance", Md(k.Id)));

    [Theory]
    [InlineData("came", "serial 4711", "Chime module", "Face screw: 1 of 4", "Orla Pennigton", "High Street 9", "The Quiet Bench")]
    [InlineData("test", "4.1 V pp high", "0.7 V pp", "118 V line", "the lamp was lent out", "by owner’s word", "before a change", "Local codes")]
    [InlineData("report", "It hums \\<loudly\\> & long", "Reservoir dry, in the supply board", "the lamp was lent out", "Not tried here", "foreign supply reached these wires", "Local codes")]
    [InlineData("packing", "Supply board", "| Face screw | 3 | 3 |", "the lamp was lent out")]
    [InlineData("border", "serial 4711", "Not for sale", "the broker or the customs office decides")]
    [InlineData("refit", "foreign supply reached these wires", "Transformer landed alone", "10 kΩ", "Local codes", "room station of 45 ohm")]
    [InlineData("send", "breaker", "An electrician looks first", "Take cells and cassettes out")]
    public void It_says(string kind, params string[] words) => Assert.All(words, w => Assert.Contains(w, Md(kind)));

    [Fact]
    public void An_invoice_adds_up()
    {
        // Two hours at 80 and one part of 4.50: net 164.50; 8.1 % of it is 13.32 (rounded half to even from 13.3245); together 177.82.
        var bill = Bill.Of(Facts, 80);
        Assert.Equal((164.50m, 13.32m, new Money(177.82m, "CHF")), (bill.Net, bill.Tax, bill.Total));
        Assert.Contains("**177.82 CHF**", Md("invoice"));
    }

    [Fact]
    public void A_quote_is_never_given_from_a_story()
    {
        var j = new Journal();
        j.Must(new JobOpened("s", j.Text("o", "Somebody"), Journal.Sheet.Id, Journal.Sheet.Hash, new("microprocessor", "centre-tapped", 3, 2, [])), new OwnerTold("s", "told-hum", "buzz", null));
        var paper = PaperKinds.Find("quote")!.Compose(j.Facts("s"));
        Assert.Null(paper.Sum);
        Assert.DoesNotContain("EUR", MarkdownPaper.Of(paper));
    }

    [Fact]
    public void A_set_returned_unsafe_says_so_before_anything_else()
    {
        var j = Journal.Mended();
        j.Must(new JobClosed("j", "returned unsafe", "owner fetches it"));
        var blocks = PaperKinds.Find("refit")!.Compose(j.Facts("j", weigh: false)).Blocks;
        Assert.Contains("not safe", Assert.IsType<Block.Caution>(blocks[0]).Text);
    }

    [Fact]
    public void Labels_hold_a_code_for_every_piece_and_the_shelf_only_the_shop_s_own()
    {
        var j = Journal.Mended();
        j.Must(new PieceRecorded("S-1", "amp", "Power amplifier", Party.Shop, null, "shelf A1", null, null, true, 0.97));
        Assert.Equal(["j-supply"], Tags(PaperKinds.Find("labels")!.Compose(j.Facts("j", weigh: false))));
        Assert.Equal(["S-1"], Tags(ShelfLabels.Compose(j.State, null)));
        static IEnumerable<string> Tags(Paper paper) => paper.Blocks.OfType<Block.Tags>().SelectMany(t => t.Items).Select(t => t.Code);
    }

    [Theory]
    [InlineData("currency", "eur"), InlineData("tax-percent", "101"), InlineData("tax-percent", "NaN"), InlineData("hourly-rate", "-1"), InlineData("logo", "abc"), InlineData("colour", "red")]
    public void A_shop_s_detail_out_of_range_is_refused(string item, string value) => Assert.False(new Journal().Try(new ShopDetailSet(item, value)));
}
