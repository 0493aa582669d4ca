using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>Looks are worth the doubt they take away (common practice, no source: reseat before replace, measure before replace).</summary>
public class DoubtTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    [Fact]
    public void A_connector_under_suspicion_is_reseated_before_its_piece_is_swapped()
    {
        // The chime is silent, its generator and its button input were tried and found good: its connector is left.
        var advice = Advise([Heard("fn-chime-1", "dead"), Heard("fn-chime-2", "dead"), Heard("chime-generator", "good"), Heard("look-chime-input", "good")]);
        var moves = advice.Moves.SelectMany(b => b.Moves).ToList();
        var reseat = moves.Find(m => m.Kind == "reseat" && m.Swaps[0].Position == "chime");
        var swap = moves.Find(m => m.Kind == "swap" && m.Swaps[0].Position == "chime");
        Assert.NotNull(reseat);
        Assert.True(swap is null || reseat.Score > swap.Score, $"reseat {reseat.Score}, swap {swap?.Score}");
    }

    [Fact]
    public void What_the_mule_may_have_of_its_own_is_no_reason_to_look_at_it()
    {
        // A set that gave every function: whatever is asked of the mule tells of the mule.
        var advice = Advise([.. Sheet.Functions.Select(f => Sheet.Checks.First(c => c.Id == f.Check)).Where(c => c.TargetKind == "signal").Select(c => Heard(c.Id, c.Outcomes[0]))]);
        Assert.All(advice.Moves.SelectMany(b => b.Moves).Where(m => m.System == "mule"), m => Assert.True(m.Score < 1, $"{m.Words}: {m.Score}"));
        Assert.DoesNotContain(advice.Moves, b => b.Id == "mend");
    }

    [Fact]
    public void Every_move_spares_no_more_than_all_the_doubt_there_is_and_scores_by_its_minutes()
    {
        var advice = Advise([Heard("fn-aux", "dead"), Heard("fn-chime-1", "good")]);
        foreach (var move in advice.Moves.Where(b => b.Id != "mend").SelectMany(b => b.Moves))
        {
            Assert.InRange(move.SavesMinutes, 0, 600);
            // Only the chance of a loss can make a score smaller than minutes saved over minutes spent.
            Assert.True(move.Score <= (move.SavesMinutes + move.AvertsMinutes) / Math.Max(0.5, move.Minutes) + 1e-9);
        }
        Assert.Contains(advice.Moves.SelectMany(b => b.Moves), m => m.SavesMinutes > m.Minutes);
    }

    private static Checked Heard(string check, string outcome) =>
        new("case", "set", check, outcome, Sheet.Checks.First(c => c.Id == check).Throws, None, null);

    private static Advice Advise(ImmutableArray<Act> acts)
    {
        var owned = Sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToList();
        ImmutableArray<Act> all =
        [
            new JobOpened("case", new Personal("owner"), Sheet.Id, Sheet.Hash, new SetOutline(Sheet.Era, Sheet.Feed, 3, 2, [])),
            .. owned.Select(p => new PieceRecorded(CaseBuilder.PieceAt("case", p.Id), p.Kind, p.Name, "owner:case", "case", "bench", null, null)),
            new SystemSetUp("mule", null, Sheet.Id, None), new Unpowered("case", "mule"),
            new SystemSetUp("set", "case", Sheet.Id, owned.ToImmutableDictionary(p => p.Id, p => CaseBuilder.PieceAt("case", p.Id))),
            .. acts,
        ];
        var entries = all.Select((a, i) => new Entry(i + 1, $"e{i + 1}", DateTimeOffset.UnixEpoch.AddMinutes(i), null, null, ["case"], [], a, "", "")).ToList();
        return Counsellor.Advise(Replay.Of(entries), "case", Sheet, _ => null);
    }
}
