using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using static Core.Tests.Counsel.FurtherLookTests;

namespace Core.Tests.Counsel;

/// <summary>When to stop, in a sentence that carries its figures (common practice, no source: quote when it is known, prove instead of looking on, send home what is sound, ring before the money is gone).</summary>
public class StopsTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly Act[] Buzz = [new OwnerTold("J", "told-hum", "buzz", null)], Dry = [new Checked("J", "S", "esr-reservoir", "dry", None, None, 4)];
    private static readonly Act[] AllGood = [.. Sheet.Functions.Select(f => Sheet.Checks.First(c => c.Id == f.Check)).Where(c => c.TargetKind == "signal").Select(c => new Checked("J", "S", c.Id, c.Outcomes[0], c.Throws, None, null))];

    [Fact]
    public void A_fault_that_was_seen_is_mended_now_and_the_sentence_says_how_long_it_takes()
    {
        var stop = Said(Buzz, Dry).Single(s => s.Word == Stops.MendNow);
        var info = Sheet.Faults.Single(f => f is { Site: "reservoir", Mode: "dry" });
        Assert.Contains($"{info.MendMinutes.ToString(CultureInfo.InvariantCulture)} minutes to mend", stop.Because, StringComparison.Ordinal);
        Assert.Contains("that it is this", stop.Because, StringComparison.Ordinal);
    }

    [Fact]
    public void A_set_that_does_everything_is_proved()
    {
        var stops = Said([], AllGood);
        Assert.Contains("in 10 that the proof passes", stops.Single(s => s.Word == Stops.Prove).Because, StringComparison.Ordinal);
        Assert.DoesNotContain(stops, s => s.Word is Stops.MendNow or Stops.NotWorthIt);
    }

    [Fact]
    public void Dead_at_home_and_good_here_lies_in_the_house()
    {
        var stop = Said([new OwnerTold("J", "told-life", "dead", null)], AllGood).Single(s => s.Word == Stops.InTheHouse);
        Assert.Contains("no feed from the house", stop.Because, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_known_can_be_quoted_until_a_quote_is_agreed()
    {
        Assert.Contains("EUR", Said([], AllGood).Single(s => s.Word == Stops.EnoughToQuote).Because, StringComparison.Ordinal);
        Assert.DoesNotContain(Said([], [.. AllGood, .. Agreed(400)]), s => s.Word == Stops.EnoughToQuote);
        Assert.DoesNotContain(Said([new OwnerTold("J", "told-life", "dead", null)], []), s => s.Word == Stops.EnoughToQuote);
    }

    [Fact]
    public void Going_on_is_worth_it_until_it_costs_more_than_is_left_or_than_the_set_is_declared_at()
    {
        // The fixed work alone comes to more than 200: nothing is left of such a ceiling.
        var stop = Said(Buzz, [.. Dry, .. Agreed(200)]).Single(s => s.Word == Stops.NotWorthIt);
        Assert.Contains("0 EUR are left of the 200 EUR agreed", stop.Because, StringComparison.Ordinal);
        Assert.DoesNotContain(Said(Buzz, [.. Dry, .. Agreed(900)]), s => s.Word == Stops.NotWorthIt);
        Assert.Contains("declared at 20 EUR", Said(Buzz, [.. Dry, new TermsSet("J", "EUR", 0, 24, 20, 0)]).Single(s => s.Word == Stops.NotWorthIt).Because, StringComparison.Ordinal);
        Assert.DoesNotContain(Said(Buzz, [.. Dry, new TermsSet("J", "EUR", 0, 24, 800, 0)]), s => s.Word == Stops.NotWorthIt);
    }

    [Fact]
    public void While_looking_is_worth_it_nothing_is_said() =>
        Assert.Empty(Said([new OwnerTold("J", "told-life", "dead", null)], []).Where(s => s.Word is Stops.MendNow or Stops.Prove or Stops.InTheHouse));

    private static Act[] Agreed(decimal ceiling) =>
        [new QuoteGiven("J", [new QuoteLine("Work", "labour", ceiling, null)], ceiling, [], ceiling, "EUR", null), new OwnerWord("J", "the quote", true, "telephone", ceiling, "EUR", null), new WordTied("J", "the word before", "the quote before", [], [])];

    private static ImmutableArray<StopLine> Said(Act[] told, Act[] seen)
    {
        var (w, weighed, advice, ahead) = Look(told, seen);
        return Stops.Of(w.State, "J", Sheet, weighed, advice, PriceSpread.Of(w.State, "J", Sheet, weighed, new ShopTerms(), PriceSpread.Looks(weighed, advice)), ahead);
    }
}
