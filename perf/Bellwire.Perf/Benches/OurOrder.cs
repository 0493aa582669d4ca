using Bellwire.Counsel;
using Bellwire.Reasoning;

namespace Bellwire.Perf.Benches;

/// <summary>Does what the Bench page says, move by move, and nothing else.</summary>
internal sealed class OurOrder(AdviceOptions options) : IOrder
{
    private const int MostAtOnce = 3;

    public string Name => "ours";

    public void Work(Day day)
    {
        Weighed? weighed = null;
        // Nobody does the same mend twice running, written down or not.
        HashSet<string> barred = [], tried = [], mended = [];
        var looks = -1;
        var (proofsFailed, refused) = (0, 0);
        List<string> failedBefore = [];
        while (!day.IsProved && day.Minutes < Trial.MostMinutes)
        {
            weighed = Counsellor.Weigh(day.Written, Day.Job, day.Sheet, options, weighed);
            var advice = Counsellor.Advise(day.Written, Day.Job, day.Sheet, _ => null, options, weighed);
            if (looks != day.Looks) mended.Clear();
            looks = day.Looks;
            if (weighed.Weighing.Posterior is not { } belief) { Fallback.GoOn(day, tried); continue; }
            day.Trace?.WriteLine($"        ({advice.StoppingWord}; {string.Join(", ", Belief.Sites(belief, weighed.Built).OrderByDescending(s => s.Faulty).Take(4).Select(s => FormattableString.Invariant($"{s.Site} {s.Faulty:0.00}")))}; "
                + $"{string.Join(", ", advice.Moves.SelectMany(b => b.Moves).OrderByDescending(m => m.Score).Take(4).Select(m => FormattableString.Invariant($"{m.Id} {m.Score:0.0}")))}; {belief.How.Drawn?.EffectiveSize:0})");
            // What stands first on the page is done first.
            if (advice.Moves.FirstOrDefault() is { Id: "again" } again && day.Look(again.Moves[0].Check) is not null) continue;
            if (advice.Moves.FirstOrDefault(b => b.Id == "mend") is { } mends && mends.Moves.FirstOrDefault(m => mended.Add(m.Id)) is { } mend)
            {
                if (mend.Id.StartsWith("through:", StringComparison.Ordinal)) day.GoThrough(mend.Id["through:".Length..]);
                else
                {
                    var (site, mode) = Belief.SiteOf(mend.Id["mend:".Length..]);
                    day.Mend(site, mode);
                }
                barred.Clear();
                proofsFailed = 0;
                continue;
            }
            var wrong = 1 - Belief.Sound(belief, weighed.Built);
            // A look with the set off may come before the rail; nothing that powers it does.
            var rails = advice.Moves.FirstOrDefault(b => b.Id == "rails")?.Moves[0];
            var moves = advice.Moves.Where(b => b.Id != "mend").TakeWhile(b => b.Id != "rails").SelectMany(b => b.Moves)
                .Where(m => !barred.Contains(m.Id) && m.CanBeMade).ToList();
            if (rails is not null && (moves.Count == 0 || moves[0].Score < 1))
            {
                if (rails.Unplug.Length > 0) day.Unplug(rails.Unplug);
                if (rails.Check.Length > 0)
                {
                    // Why power stayed off is on the tape now, and weighed first; only where that changed nothing is there no more advice.
                    if (day.Look(rails.Check) is not null) refused = 0;
                    else if (refused++ > 0) Fallback.GoOn(day, tried, Belief.Odds(belief, weighed.Built));
                }
                else day.Plug(rails.Swaps.Select(s => (s.Position, s.Piece)));
                continue;
            }
            if (moves.Count == 0 || advice.StoppingWord != "look on" && advice.StoppingWord != "enough to quote" || wrong < 0.05 && moves[0].Kind != "swap")
            {
                // Proved once in vain, the likeliest piece is gone through before proving again.
                if (proofsFailed > 0 && Belief.Pieces(belief, weighed.Built).FirstOrDefault() is { P: > 0.3 } worst && tried.Add("fallback " + worst.Position)) { day.GoThrough(worst.Position); proofsFailed = 0; continue; }
                if (proofsFailed++ > 1) { Fallback.GoOn(day, tried, Belief.Odds(belief, weighed.Built)); proofsFailed = 0; continue; }
                // What failed before stands first on the page, then what is likeliest to fail for its minutes; the first that fails ends it.
                failedBefore = [.. day.Prove([.. failedBefore, .. advice.Proof.Steps.Select(s => s.Check).OfType<string>()]).Select(f => f.Check).Concat(failedBefore).Distinct()];
                barred.Clear();
                continue;
            }
            // A bundle of looks is worked off a few moves at a time, as they stand on the page.
            if (moves[0].Kind == "look")
            {
                foreach (var look in moves.TakeWhile((m, i) => i < MostAtOnce && m.Kind == "look" && (i == 0 || m.Score >= 1)))
                    if (day.Look(look.Check) is null) barred.Add(look.Id);
                continue;
            }
            var move = moves[0];
            if (move.Kind == "reseat") { day.Reseat(move.Swaps[0].Position); day.Look(move.Check); barred.Add(move.Id); }
            else
            {
                var (position, piece) = move.Swaps[0];
                if (!day.Swap(position, piece, move.System)) { barred.Add(move.Id); continue; }
                day.Look(move.Check, move.System);
                day.PutBack(position);
                barred.Add(move.Id);
            }
        }
    }
}
