using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Judging from the owner's words. What travels and what stays: common practice, no source.</summary>
public class AfarTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");

    private static (ShopWorld World, Weighed Weighed) Told(params (string Check, string Outcome)[] told)
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("o"), Sheet.Id, Sheet.Hash, ShopWorld.Outline));
        foreach (var (check, outcome) in told) w.Must(new OwnerTold("J", check, outcome, null));
        return (w, Counsellor.Weigh(w.State, "J", Sheet));
    }

    [Fact]
    public void A_dead_set_travels_and_the_house_stays()
    {
        var (w, weighed) = Told(("told-life", "dead"));
        var send = Afar.WhatToSend(w.State, "J", Sheet, weighed);
        Assert.Contains(send, s => s.Position == "supply" && s.Send);
        Assert.DoesNotContain(send, s => s.Position.StartsWith("run-", StringComparison.Ordinal) && s.Send);
        Assert.DoesNotContain(send, s => s.Position == "station-1" && s.Send);
    }

    [Fact]
    public void Questions_come_best_first_and_none_twice()
    {
        var (w, weighed) = Told(("told-life", "dead"));
        var questions = Afar.NextQuestions(w.State, "J", Sheet, weighed, 8);
        Assert.NotEmpty(questions);
        Assert.DoesNotContain(questions, q => q.Check == "told-life");
        Assert.Equal(questions.OrderByDescending(q => q.SavesMinutes).Select(q => q.Check), questions.Select(q => q.Check));
        Assert.All(questions, q => Assert.Equal(1, q.Changes.Sum(c => c.P), 1e-6));
    }

    [Fact]
    public void The_price_band_is_ordered_and_says_how_much_it_covers()
    {
        var (w, weighed) = Told(("told-hum", "buzz"));
        var price = Afar.Price(w.State, Sheet, weighed)!;
        Assert.True(price.P10 <= price.P50 && price.P50 <= price.P90);
        Assert.InRange(price.Covered, 0.05, 1);
    }

    [Fact]
    public void Smoke_and_tingle_come_before_every_question()
    {
        Assert.StartsWith("Switch off at the breaker", Afar.Danger(["there was Smoke from it"]));
        Assert.Null(Afar.Danger(["the clock runs slow"]));
    }

    /// <summary>A fee at the border is paid for every parcel: what was worth its freight within the country may not be across it.</summary>
    [Fact]
    public void Across_a_border_it_takes_more_suspicion_to_send()
    {
        var (w, weighed) = Told(("told-life", "dead"));
        var (near, far) = (Afar.WhatToSend(w.State, "J", Sheet, weighed).First(l => l.Position == "supply"), Afar.WhatToSend(w.State, "J", Sheet, weighed, acrossBorder: true).First(l => l.Position == "supply"));
        Assert.DoesNotContain("border", near.Sums, StringComparison.Ordinal);
        Assert.True(!far.Send || far.Sums.Contains("50 EUR of it at the border", StringComparison.Ordinal), far.Sums);
        // Declared at next to nothing, no set is worth its freight.
        w.Must(new TermsSet("J", "EUR", 0, 24, 10, 0));
        var cheap = Afar.WhatToSend(w.State, "J", Sheet, Counsellor.Weigh(w.State, "J", Sheet));
        Assert.DoesNotContain(cheap, l => l.Send && l.Position == "supply");
    }

    [Fact]
    public void A_wet_door_station_comes_along_and_a_sound_one_stays()
    {
        var (w, weighed) = Told(("fn-door-talk-1", "dead"), ("fn-door-listen-1", "dead"));
        w.Must(new CauseTold("J", "water", true, null));
        var lines = Afar.WhatToSend(w.State, "J", Sheet, Counsellor.Weigh(w.State, "J", Sheet));
        var (one, two) = (lines.Single(l => l.Position == "door-1"), lines.Single(l => l.Position == "door-2"));
        Assert.True(one.Send, one.Why + one.Sums);
        Assert.False(two.Send && !one.Send);
        Assert.Contains("parcel of its own later", one.Sums, StringComparison.Ordinal);
        Assert.NotNull(weighed.Weighing.Posterior);
    }

    /// <summary>By hand: ten jobs' worth of the sheet, and what was closed here.</summary>
    [Fact]
    public void The_share_without_a_parcel_goes_from_the_sheets_odds_to_the_shops_own()
    {
        var w = new ShopWorld();
        var start = ParcelShare.Of(w.State, Sheet);
        Assert.InRange(start.BySheet, 0.02, 0.8);
        Assert.Equal(start.BySheet, start.Share, 1e-12);
        for (var i = 0; i < 5; i++)
        {
            w.Must(new JobOpened("K" + i, new("o"), Sheet.Id, Sheet.Hash, ShopWorld.Outline));
            w.Must(new JobClosed("K" + i, i == 4 ? "abandoned" : "no fault found", null));
        }
        var then = ParcelShare.Of(w.State, Sheet);
        Assert.Equal((4, 4), (then.Closed, then.Without));
        Assert.Equal((10 * start.BySheet + 4) / 14, then.Share, 1e-12);
    }

    [Fact]
    public void A_question_spares_nothing_when_nothing_hangs_on_its_answer()
    {
        var (w, weighed) = Told(("told-life", "dead"));
        var all = Afar.NextQuestions(w.State, "J", Sheet, weighed, 50);
        Assert.All(all, q => Assert.InRange(q.SavesMinutes, 0.5, 600));
        Assert.True(all.Length < Sheet.Checks.Count(c => c.Owner), "some questions are not worth the owner's time");
    }
}
