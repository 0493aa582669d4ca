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
        Assert.Equal(questions.OrderByDescending(q => q.InformationBits).Select(q => q.Check), questions.Select(q => q.Check));
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
}
