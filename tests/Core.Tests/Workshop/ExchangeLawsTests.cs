using System.Collections.Immutable;
using Bellwire.Workshop;
using CsCheck;

namespace Core.Tests.Workshop;

/// <summary>Lending and exchange over two open jobs of one family: whatever the laws let through, nobody loses a piece without a word.</summary>
public class ExchangeLawsTests
{
    private static readonly string[] Jobs = ["J1", "J2"], Pieces = ["a1", "a2", "b1", "b2", "s1", "s2", "s3"], Positions = ["amplifier", "supply"];
    private static readonly long Samples = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1" ? 20_000 : 400;
    private static Gen<string> AnyOf(string[] of) => Gen.Int[0, of.Length - 1].Select(i => of[i]);

    private static readonly Gen<Act> AnyAct = Gen.Select(Gen.Int[0, 10], AnyOf(Jobs), AnyOf(Positions), AnyOf(Pieces), AnyOf(Pieces), Gen.Int[0, 99])
        .Select<(int, string, string, string, string, int), Act>(t => t switch
        {
            (0, var j, _, var x, _, _) => new Lent(x, j),
            (1, var j, var p, var x, _, _) => new Fitted(j, x, "set" + j[1], p),
            (2 or 3, var j, var p, var x, _, var n) => new Pulled(j, x, "set" + j[1], p, n % 2 == 0 ? "shelf" : null),
            (4, _, _, var x, _, _) => new Returned(x, "shelf"),
            (5 or 6 or 7, var j, _, var x, var c, var n) => new Exchanged(j, x, n % 4 == 0 ? null : c, Law.CoreFates[n % 3], n % 5 == 0 ? "tied-" + j : "word-" + j, 60, "EUR", "SN" + n, null, n % 2 == 0 ? "owner begs for it" : null),
            (8, var j, _, var x, _, _) => new PackedPiece(j, x),
            (9, var j, _, _, _, _) => new CartonClosed(j, "in haste"),
            (_, _, _, _, _, var n) => new Struck("e" + (n % 50 + 1), "slip"),
        });

    private static ShopWorld Start()
    {
        var w = new ShopWorld();
        foreach (var j in Jobs) w.Must(new JobOpened(j, new("p"), null, null, ShopWorld.Outline));
        foreach (var x in Pieces)
        {
            var (owner, job) = x[0] switch { 'a' => ("owner:J1", "J1"), 'b' => ("owner:J2", "J2"), _ => (Party.Shop, (string?)null) };
            w.Must(new PieceRecorded(x, "amplifier", x, owner, job, job is null ? "shelf" : "bench", null, null, x == "s1", null));
        }
        w.Must(new SystemSetUp("set1", "J1", null, ImmutableDictionary<string, string>.Empty.Add("amplifier", "a1")));
        w.Must(new SystemSetUp("set2", "J2", null, ImmutableDictionary<string, string>.Empty.Add("amplifier", "b1")));
        foreach (var j in Jobs)
        {
            w.Must(new OwnerWord(j, "anything", true, "letter", null, null, null), "word-" + j);
            w.Must(new OwnerWord(j, "that one", true, "telephone", 60, "EUR", null), "tied-" + j);
            w.Must(new WordTied(j, "tied-" + j, null, [], ["s2", j == "J1" ? "a1" : "b1"]));
        }
        return w;
    }

    private static void Check(Action<ShopWorld> law) => AnyAct.Array[1, 60].Sample(acts =>
    {
        var w = Start();
        foreach (var act in acts) w.Do(act);
        law(w);
    }, iter: Samples);

    [Fact]
    public void A_piece_has_the_owner_its_exchanges_gave_it_and_sits_in_one_place() => Check(w =>
    {
        foreach (var piece in w.State.Pieces.Values)
        {
            // A plain walk over the exchanges that stand, sharing nothing with the replay.
            var owner = piece.Id[0] switch { 'a' => "owner:J1", 'b' => "owner:J2", _ => Party.Shop };
            foreach (var x in w.State.Effective.Select(e => e.Act).OfType<Exchanged>())
            {
                if (x.Piece == piece.Id) owner = "owner:" + x.Job;
                if (x.Core == piece.Id && x.CoreFate == "kept") owner = Party.Shop;
            }
            Assert.Equal(owner, piece.Owner);
            var seats = w.State.Systems.Values.SelectMany(y => y.Pieces).Count(p => p.Value == piece.Id);
            Assert.Equal(piece.Where.System is null ? 0 : 1, seats);
            Assert.True(piece.LentTo is null || piece.Owner == Party.Shop, "only the shop's own is ever lent");
            Assert.True(!piece.Gone || piece.Where.Place == "scrapped");
        }
    });

    [Fact]
    public void Every_exchange_stands_on_a_yes_of_that_owner_about_those_pieces() => Check(w =>
    {
        foreach (var x in w.State.Effective.Select(e => e.Act).OfType<Exchanged>())
        {
            var word = w.State.Words[x.Word];
            Assert.True(word.Yes && word.Job == x.Job);
            if (w.State.Ties.TryGetValue(x.Word, out var tie)) Assert.All(x.CoreFate == "returned" ? [x.Piece] : x.OfPieces, p => Assert.Contains(p, tie.Pieces));
        }
    });

    [Fact]
    public void No_closed_carton_holds_a_piece_of_the_shop_and_the_last_reference_leaves_only_with_a_reason() => Check(w =>
    {
        foreach (var job in Jobs.Where(j => w.State.Jobs[j].CartonClosed)) Assert.Empty(Reconciliation.Of(w.State, job).ShopPiecesInside);
        Assert.All(w.State.Effective.Select(e => e.Act).OfType<Exchanged>().Where(x => x.Piece == "s1"), x => Assert.NotNull(x.OverrideReason));
    });

    [Fact]
    public void A_swap_that_stays_is_a_sale_and_its_core_can_be_kept()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null));
        w.Must(new Fitted("J1", "ampS", "set1", "amplifier"));
        w.Must(new OwnerWord("J1", "the amplifier stays", true, "telephone", 60, "EUR", null), "yes");
        w.Must(new WordTied("J1", "yes", null, [], ["ampS", "amp1"]));
        var no = w.Refused(new Exchanged("J1", "ampS", "amp1", "kept", "yes", 60, "EUR", "SN 12", "SN 7"));
        Assert.Contains("was your reference: none left", no.Why);
        Assert.True(no.Overridable);
        w.Must(new Exchanged("J1", "ampS", "amp1", "kept", "yes", 60, "EUR", "SN 12", "SN 7", "another is promised"));
        Assert.Equal(("owner:J1", (string?)null, "green dot, SN 12"), (w.State.Pieces["ampS"].Owner, w.State.Pieces["ampS"].LentTo, w.State.Pieces["ampS"].Marks));
        Assert.Equal((Party.Shop, false, "SN 7"), (w.State.Pieces["amp1"].Owner, w.State.Pieces["amp1"].KnownGood, w.State.Pieces["amp1"].Marks));
        w.Must(new PackedPiece("J1", "ampS"));
        w.Must(new PackedPiece("J1", "sup1"));
        w.Must(new CartonClosed("J1", null));
    }

    [Fact]
    public void A_later_extra_needs_a_new_word()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new PieceRecorded("supS", "supply", "Supply", Party.Shop, null, Places.Shelf, null, null));
        w.Must(new OwnerWord("J1", "the amplifier", true, "telephone", 60, "EUR", null), "yes");
        w.Must(new WordTied("J1", "yes", null, [], ["ampS"]));
        Assert.Contains("a new one is needed", w.Refused(new Exchanged("J1", "supS", "sup1", "returned", "yes", 90, "EUR", null, null)).Why);
        Assert.Contains("a new one is needed", w.Refused(new OwnershipMoved("supS", "owner:J1", "sale", "yes")).Why);
        w.Must(new OwnerWord("J1", "the supply too", true, "letter", 90, "EUR", null), "more");
        w.Must(new Exchanged("J1", "supS", "sup1", "returned", "more", 90, "EUR", null, null));
    }

    [Fact]
    public void A_quote_adds_up_and_its_ceiling_is_no_floor()
    {
        var w = ShopWorld.WithOneJob();
        ImmutableArray<QuoteLine> lines = [new("Mending the amplifier", "labour", 50, "amp1"), new("Amplifier circuit", "part", 10, "amp1")];
        Assert.Contains("add up to 60", w.Refused(new QuoteGiven("J1", lines, 61, [], 80, "EUR", null)).Why);
        Assert.Contains("below the flat price", w.Refused(new QuoteGiven("J1", lines, 60, [], 59, "EUR", null)).Why);
        w.Must(new QuoteGiven("J1", lines, 60, [new("x1", "Supply", 40, "sup1")], 110, "EUR", null), "quote");
        w.Must(new OwnerWord("J1", "the quote", true, "telephone", 60, "EUR", null), "yes");
        Assert.Contains("no extra x9", w.Refused(new WordTied("J1", "yes", "quote", ["x9"], [])).Why);
        w.Must(new WordTied("J1", "yes", "quote", ["x1"], ["amp1", "sup1"]));
        Assert.Contains("on it: strike", w.Refused(new Struck("yes", "slip")).Why);
    }
}
