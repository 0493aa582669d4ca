using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>How the tape came to what it makes of one suspect.</summary>
/// <param name="Before">P(faulty) before the first entry; <paramref name="Now"/> after the last.</param>
/// <param name="Entries">The entries that moved it by half a deciban or more, in order; all of them add up to the change.</param>
public sealed record ExplainedSuspect(string Site, string Name, double Before, double Now, ImmutableArray<ExplainedEntry> Entries);

/// <param name="Decibans">10·log10 of the change of its odds when the entry came.</param>
public sealed record ExplainedEntry(string Entry, long Number, string Words, double Decibans, string Weight);

/// <summary>For a move: what each outcome would change.</summary>
public sealed record ExplainedMove(string Words, double Minutes, ImmutableArray<OutcomeLine> Outcomes);

/// <summary>Where the advice on a job comes from.</summary>
public sealed record Explanation(string Job, ImmutableArray<ExplainedSuspect> Suspects, ImmutableArray<ExplainedMove> Moves, ImmutableArray<Foretold> Circuits)
{
    private const double Least = 0.5;

    /// <param name="most">Suspects at most, likeliest first.</param>
    public static Explanation Of(ShopState state, string job, TypeSheet sheet, Func<Personal, string?> text, Weighed weighed, Advice advice, Forecasts? forecasts = null, int most = 6)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(weighed);
        ArgumentNullException.ThrowIfNull(advice);
        var circuits = forecasts is null ? [] : Foretelling.Of(state, job, sheet, forecasts, weighed);
        if (weighed.Weighing.Posterior is not { } belief) return new(job, [], [], circuits);
        var names = new Namer(state, sheet, weighed.Built);
        var entries = state.TapeOf(job).ToDictionary(e => e.Id);
        var suspects = belief.Sites.Where(s => s.Faulty >= 0.003 || belief.Entries.Any(e => Math.Abs(e.Decibans.GetValueOrDefault(s.Site.ToString())) >= 3))
            .Where(s => s.Site.Piece is null || !Namer.IsStandIn(s.Site.Piece)).OrderByDescending(s => s.Faulty).Take(most);
        return new(job, [.. suspects.Select(s =>
        {
            var moved = belief.Entries.GroupBy(e => e.Entry).Select(g => (Entry: g.Key, Decibans: g.Sum(e => e.Decibans.GetValueOrDefault(s.Site.ToString())))).ToList();
            var odds = Math.Log10(Math.Max(s.Faulty, 1e-12) / Math.Max(1 - s.Faulty, 1e-12)) - moved.Sum(m => m.Decibans) / 10;
            var mode = s.Now.Where(m => m.Key != "good").MaxBy(m => m.Value).Key;
            return new ExplainedSuspect(s.Site.ToString(), mode is null ? names.KeyName(s.Site) : names.Fault(s.Site, mode), 1 / (1 + Math.Pow(10, -odds)), s.Faulty,
                [.. moved.Where(m => Math.Abs(m.Decibans) >= Least && entries.ContainsKey(m.Entry)).Select(m =>
                    new ExplainedEntry(m.Entry, entries[m.Entry].Number, TapeWords.Of(state, sheet, entries[m.Entry], text), m.Decibans, Weight.Word(m.Decibans)))]);
        })], [.. advice.Moves.SelectMany(b => b.Moves).Where(m => !m.Outcomes.IsDefaultOrEmpty).Take(8).Select(m => new ExplainedMove(m.Words, m.Minutes, m.Outcomes))], circuits);
    }
}
