using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Core.Tests.Workshop;

/// <summary>Trust that several jobs had a hand in (odds by hand, Bayes' rule), revision letters, reservations, donors.</summary>
public class ShelfTests
{
    private static double Odds(double p) => p / (1 - p);
    private static double Back(double odds) => odds / (1 + odds);

    private static ShopWorld World()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new JobOpened("J2", new("p2"), null, null, ShopWorld.Outline));
        return w;
    }

    [Fact]
    public void Each_job_hands_on_a_factor_and_leaves_its_own_out_when_it_weighs_again()
    {
        var w = World();
        w.Must(new TrustHandedOn("ampS", "J1", 0.97, 0.90, "marginal"));
        w.Must(new TrustHandedOn("ampS", "J2", 0.97, 0.99, "marginal"));
        double first = Odds(0.90) / Odds(0.97), second = Odds(0.99) / Odds(0.97);
        Assert.Equal(Back(Odds(0.97) * first * second), w.State.Pieces["ampS"].Trust!.Value, 1e-12);
        Assert.Equal(Back(Odds(0.97) * second), TrustLedger.Of(w.State, "ampS", "J1", 0.97)!.Value, 1e-12);
        Assert.Equal(Back(Odds(0.97) * first), TrustLedger.Of(w.State, "ampS", "J2", 0.97)!.Value, 1e-12);
        // The same job again: its later word replaces its earlier one.
        w.Must(new TrustHandedOn("ampS", "J1", 0.97, 0.80, "marginal"));
        Assert.Equal(Back(Odds(0.80) * second), w.State.Pieces["ampS"].Trust!.Value, 1e-12);
        // Proved by the shop itself: everything before is replaced.
        w.Must(new TrustHandedOn("ampS", null, 0.5, 0.98, "proved"));
        Assert.Equal((0.98, true), (Math.Round(w.State.Pieces["ampS"].Trust!.Value, 12), w.State.Pieces["ampS"].KnownGood));
    }

    [Fact]
    public void Striking_what_was_handed_on_gives_the_old_trust_back()
    {
        var w = World();
        w.Must(new TrustHandedOn("ampS", "J1", 0.97, 0.4, "marginal"), "handed");
        Assert.False(w.State.Pieces["ampS"].KnownGood);
        w.Must(new Struck("handed", "slip"));
        Assert.Equal((0.97, true), (w.State.Pieces["ampS"].Trust, w.State.Pieces["ampS"].KnownGood));
    }

    [Fact]
    public void The_letter_on_the_piece_that_sat_there_decides_what_fits()
    {
        var w = World();
        w.Must(new RevisionNoted("amp1", "B", []));
        w.Must(new RevisionNoted("ampS", "D", ["C"]));
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null));
        var no = w.Refused(new Fitted("J1", "ampS", "set1", "amplifier"));
        Assert.Contains("revision D", no.Why);
        Assert.True(no.Overridable);
        w.Must(new RevisionNoted("ampS", "D", ["B", "C"]));
        w.Must(new Fitted("J1", "ampS", "set1", "amplifier"));
    }

    [Fact]
    public void What_is_reserved_for_one_job_does_not_go_to_another()
    {
        var w = World();
        w.Must(new Reserved("ampS", "J2", "promised"));
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null));
        Assert.Contains("reserved for job J2 (promised)", w.Refused(new Fitted("J1", "ampS", "set1", "amplifier")).Why);
        Assert.Contains("reserved", w.Refused(new Lent("ampS", "J1")).Why);
        w.Must(new PieceRecorded("ampT", "amplifier", "Amplifier", Party.Shop, null, "shelf", null, null, true));
        w.Must(new OwnerWord("J1", "it", true, "letter", null, null, null), "yes");
        Assert.Contains("reserved", w.Refused(new Exchanged("J1", "ampS", null, "returned", "yes", 1, "EUR", null, null)).Why);
        w.Must(new Reserved("ampS", null, null));
        w.Must(new Lent("ampS", "J1"));
    }

    [Fact]
    public void A_donor_gives_each_of_its_pieces_once()
    {
        var w = World();
        w.Must(new DonorKept("D1", "Carcass from the attic", "small", "cellar", ImmutableDictionary<string, string>.Empty.Add("amplifier", "amplifier").Add("supply", "supply")));
        w.Must(new PieceRecorded("d-amp", "amplifier", "Amplifier", Party.Shop, null, "shelf", null, null));
        Assert.Contains("held a supply", w.Refused(new TakenOut("D1", "supply", "d-amp")).Why);
        w.Must(new TakenOut("D1", "amplifier", "d-amp"));
        Assert.Equal(["supply"], w.State.Donors["D1"].Left.Keys);
        Assert.Equal(("donor", "D1"), (w.State.CardOf("d-amp").Origin, w.State.CardOf("d-amp").Donor));
        w.Must(new PieceRecorded("d-amp2", "amplifier", "Amplifier", Party.Shop, null, "shelf", null, null));
        Assert.Contains("empty", w.Refused(new TakenOut("D1", "amplifier", "d-amp2")).Why);
    }

    [Fact]
    public void A_comeback_is_linked_to_an_older_job()
    {
        var w = World();
        Assert.Contains("younger", w.Refused(new ComebackOf("J1", "J2")).Why);
        w.Must(new ComebackOf("J2", "J1"));
        Assert.Equal("J1", w.State.Comebacks["J2"]);
    }
}
