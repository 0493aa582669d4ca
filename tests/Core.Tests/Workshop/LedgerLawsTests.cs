using System.Collections.Immutable;
using Bellwire.Workshop;
using CsCheck;

namespace Core.Tests.Workshop;

/// <summary>Random acts over two jobs, a mule and a shelf: whatever the laws let through, the ledger adds up.</summary>
public class LedgerLawsTests
{
    private static readonly string[] Jobs = ["J1", "J2"];
    private static readonly string[] Systems = ["set1", "set2", "mule"];
    private static readonly string[] Positions = ["amplifier", "supply", "tuner"];
    private static readonly string[] PieceIds = ["a1", "a2", "b1", "b2", "s1", "s2", "s3"];
    private static Gen<string> AnyOf(string[] of) => Gen.Int[0, of.Length - 1].Select(i => of[i]);
    private static readonly long Samples = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1" ? 20_000 : 400;

    private static readonly Gen<Act> AnyAct = Gen.Select(Gen.Int[0, 13], AnyOf(Jobs), AnyOf(Systems), AnyOf(Positions), AnyOf(PieceIds), Gen.Int[0, 99])
        .Select<(int, string, string, string, string, int), Act>((t) => t switch
        {
            (0 or 1, var j, var y, var p, var x, _) => new Fitted(j, x, y, p),
            (2 or 3, var j, var y, var p, var x, var n) => new Pulled(j, x, y, p, n % 2 == 0 ? "shelf" : null),
            (4, var j, var y, var p, var x, var n) => new HookUpRepaired(j, y, ImmutableDictionary<string, string>.Empty.SetItem(p, x).SetItem(Positions[n % 3], PieceIds[n % 7])),
            (5, var j, _, _, var x, _) => new Lent(x, j),
            (6, _, _, _, var x, _) => new Returned(x, "shelf"),
            (7, var j, _, _, var x, _) => new PackedPiece(j, x),
            (8, var j, _, _, _, var n) => new CartonClosed(j, n % 2 == 0 ? "reason" : null),
            (9, var j, _, _, var x, var n) => new OwnershipMoved(x, n % 2 == 0 ? Party.Shop : Party.OwnerOf(j), Law.WaysOfOwnership[n % 4], n % 3 == 0 ? null : "word-" + j),
            (10, _, _, _, var x, var n) => new PieceMoved(x, n % 2 == 0 ? "window sill" : "shelf B2"),
            (11, var j, _, _, _, var n) => new HardwareCounted(j, "screw", n % 3, null, null),
            (12, var j, _, _, _, var n) => new PackedHardware(j, "screw", n % 3, n % 5 == 0 ? "one sheared off" : null),
            (_, _, _, _, _, var n) => new Struck("e" + (n % 40 + 1), "slip"),
        });

    private static ShopWorld Start()
    {
        var w = new ShopWorld();
        foreach (var j in Jobs) w.Must(new JobOpened(j, new("p"), null, null, ShopWorld.Outline));
        foreach (var x in PieceIds)
        {
            var (owner, job) = x[0] switch { 'a' => ("owner:J1", "J1"), 'b' => ("owner:J2", "J2"), _ => (Party.Shop, (string?)null) };
            w.Must(new PieceRecorded(x, "amplifier", x, owner, job, job is null ? "shelf" : "bench", null, null));
        }
        w.Must(new SystemSetUp("set1", "J1", null, ImmutableDictionary<string, string>.Empty.Add("amplifier", "a1").Add("supply", "a2")));
        w.Must(new SystemSetUp("set2", "J2", null, ImmutableDictionary<string, string>.Empty.Add("amplifier", "b1")));
        w.Must(new SystemSetUp("mule", null, null, ImmutableDictionary<string, string>.Empty));
        foreach (var j in Jobs) w.Must(new OwnerWord(j, "anything", true, "letter", null, null, null), "word-" + j);
        return w;
    }

    [Fact]
    public void A_piece_is_in_exactly_one_place_and_position() => Check(w =>
    {
        var sitting = w.State.Systems.Values.SelectMany(y => y.Pieces.Select(p => (y.Id, p.Key, p.Value))).ToList();
        Assert.Equal(sitting.Count, sitting.Select(t => t.Value).Distinct().Count());
        foreach (var piece in w.State.Pieces.Values)
        {
            var seats = sitting.Where(t => t.Value == piece.Id).ToList();
            if (piece.Where.System is null) Assert.Empty(seats);
            else Assert.Equal((piece.Where.System, piece.Where.Position!, piece.Id), Assert.Single(seats));
        }
    });

    [Fact]
    public void Ownership_changes_only_by_an_entry_that_names_a_word_or_a_gift_of_the_shop() => Check(w =>
    {
        foreach (var piece in w.State.Pieces.Values)
        {
            var recorded = (PieceRecorded)w.Recorded.First(e => e.Act is PieceRecorded r && r.Piece == piece.Id).Act;
            var moves = w.State.Effective.Select(e => e.Act).OfType<OwnershipMoved>().Where(m => m.Piece == piece.Id && m.How != "scrap").ToList();
            Assert.Equal(moves.Count == 0 ? recorded.Owner : moves[^1].To, piece.Owner);
            var owner = recorded.Owner;
            foreach (var move in moves)
            {
                if (owner != Party.Shop || move.How is not "gift") Assert.NotNull(move.WordEntry);
                owner = move.To;
            }
        }
    });

    [Fact]
    public void Replay_from_the_start_gives_the_state_that_grew_entry_by_entry() => Check(w =>
    {
        var again = Replay.Of(w.Recorded);
        Assert.Equal(w.State.Pieces.OrderBy(p => p.Key), again.Pieces.OrderBy(p => p.Key));
        foreach (var (id, system) in again.Systems) Assert.Equal(system.Pieces.OrderBy(p => p.Key), w.State.Systems[id].Pieces.OrderBy(p => p.Key));
        Assert.Equal(again.Effective.Select(e => e.Id), w.State.Effective.Select(e => e.Id));
    });

    [Fact]
    public void No_closed_carton_holds_a_piece_of_the_shop_or_of_a_stranger() => Check(w =>
    {
        foreach (var job in Jobs.Where(j => w.State.Jobs[j].CartonClosed))
        {
            Assert.Empty(Reconciliation.Of(w.State, job).ShopPiecesInside);
            Assert.DoesNotContain(w.State.Pieces.Values, p => p.Packed && p.Owner == Party.Shop);
        }
    });

    [Fact]
    public void A_plain_model_that_shares_nothing_with_the_replay_agrees() => Check(w =>
    {
        var model = PlainLedger.Of(w.Recorded);
        foreach (var piece in w.State.Pieces.Values)
        {
            Assert.Equal(model.Place[piece.Id], piece.Where.System is { } y ? $"{y}/{piece.Where.Position}" : piece.Where.Place);
            Assert.Equal(model.Owner[piece.Id], piece.Owner);
            Assert.Equal(model.Packed.Contains(piece.Id), piece.Packed);
        }
    });

    [Fact]
    public void What_is_packed_is_in_its_own_set_or_loose_and_a_closed_box_without_a_reason_adds_up() => Check(w =>
    {
        foreach (var piece in w.State.Pieces.Values.Where(p => p.Packed && p.Where.System is not null))
            Assert.Equal(piece.Owner, Party.OwnerOf(w.State.Systems[piece.Where.System!].Job!));
        foreach (var close in w.State.Effective.Select(e => e.Act).OfType<CartonClosed>().Where(c => c.OverrideReason is null))
            Assert.Empty(Reconciliation.Of(w.State, close.Job).Hardware.Where(h => h.Packed != h.Came && h.Reason is null));
    });

    /// <summary>One act in six is late: it says which entry it belongs after.</summary>
    private static void Check(Action<ShopWorld> law) =>
        Gen.Select(AnyAct, Gen.Int[0, 5], Gen.Int[10, 60]).Array[1, 60].Sample(acts =>
        {
            var w = Start();
            foreach (var (act, late, after) in acts) w.Do(act, after: late == 0 && act is not Struck ? after : null);
            law(w);
        }, iter: Samples);
}
