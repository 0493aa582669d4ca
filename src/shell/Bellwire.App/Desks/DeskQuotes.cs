using Bellwire.Counsel;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Everything the page Quote shows of one job.</summary>
public sealed record QuoteSight(ShopTerms Terms, PriceSpread Spread, QuoteProposal Proposal, Agreement Agreement, JobClock Clock);

/// <summary>Money, as the tape stands.</summary>
public sealed partial class Desk
{
    /// <summary>Null while the tape contradicts itself: nothing can be priced.</summary>
    public QuoteSight? Quote(string job)
    {
        var thought = Think(job);
        if (sights.TryGetValue(job, out var known) && ReferenceEquals(known.Advice, thought.Advice) && known.Head == Head) return known.Sight;
        var sight = Price(job, thought);
        sights[job] = (thought.Advice, Head, sight);
        return sight;
    }

    private readonly System.Collections.Concurrent.ConcurrentDictionary<string, (Advice Advice, long Head, QuoteSight? Sight)> sights = new(StringComparer.Ordinal);

    /// <summary>Whose turn it is on a job, and with what in the hand.</summary>
    public TodayTurn Turn(string job) => Job(job).Ending is not null ? new(job, "", "", "", 900)
        : TodayTurn.Of(State, Glance(job), Advice(job), SheetOf(job), Agreement.Of(State, job), Agreement.Of(State, job).Ceiling is null ? null : Quote(job)?.Clock, Today);

    private QuoteSight? Price(string job, Thought thought)
    {
        if (thought.Weighed.Weighing.Posterior is null) return null;
        var (state, sheet) = (State, SheetOf(job));
        var terms = new ShopTerms();
        var spread = PriceSpread.Of(state, job, sheet, thought.Weighed, terms, PriceSpread.Looks(thought.Weighed, thought.Advice));
        var agreement = Agreement.Of(state, job);
        var own = terms.For(state, job);
        return new(own, spread, QuoteProposal.Of(state, job, sheet, thought.Weighed, terms, spread), agreement, JobClock.Of(Job(job).Minutes, spread, own, agreement.Ceiling));
    }

    /// <summary>The money this job is reckoned in.</summary>
    public string MoneyOf(string job) => new ShopTerms().For(State, job).Currency;

    /// <summary>What sits in the owner's set and is the shop's: each may stay, as a sale.</summary>
    public IReadOnlyList<(PieceState Piece, PieceState? Core, bool Last)> MayStay(string job) =>
        [.. State.Pieces.Values.Where(p => p is { Owner: Party.Shop, Gone: false } && p.LentTo == job).OrderBy(p => p.Id, StringComparer.Ordinal)
            .Select(p => (p, PiecesOf(job).FirstOrDefault(c => c.Kind == p.Kind && c.Where.System is null && !c.Packed), Law.LastReference(State, p)))];

    /// <summary>Shop's pieces that were chosen to go in, and for what.</summary>
    public IEnumerable<(string What, string With)> ChosenWith(string job) =>
        State.TapeOf(job).Select(e => e.Act).OfType<WayChosen>().GroupBy(w => w.What).Select(g => g.Last()).Where(w => w.With is not null && w.Way != Ways.Mend).Select(w => (w.What, w.With!));

    public string SuspectName(string job, string key) => State.Pieces.TryGetValue(key, out var piece) ? piece.Name : Advice(job).Suspects.FirstOrDefault(s => s.Key == key)?.Name ?? key;
}
