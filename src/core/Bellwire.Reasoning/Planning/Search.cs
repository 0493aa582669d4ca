using System.Collections.Immutable;

namespace Bellwire.Reasoning.Planning;

/// <summary>One look-ahead search; keeps what it has found for later beliefs of the same problem.</summary>
internal sealed class Search(PlanProblem problem, PlanOptions options, CancellationToken ct, CancellationToken enough)
{
    private readonly Dictionary<Belief, (int Depth, double Cost, bool Whole)> _known = new(new Belief.Alike());
    private readonly Horizon _horizon = new(problem);
    private long _steps;

    /// <summary>Acts of which the steps after each outcome are told.</summary>
    private const int Told = 6;

    /// <param name="steps">Whether what follows each outcome is told as well.</param>
    public Plan Rank(Belief belief, bool steps = false, Action<Plan>? tell = null)
    {
        if (problem.EndsWhenKnown && belief.Known) return new Plan([], 0, 0, true, false);
        var acts = Choices(belief);
        if (acts.Count == 0) return Stop();
        var (depth, whole) = (1, false);
        _steps = 0;
        try
        {
            for (var d = 1; d <= options.Depth && !whole; d++)
            {
                var deeper = acts.Take(options.Width).Select(x => (x.Act, x.Ways, Then: Ahead(belief.Done, x.Act, x.Ways, d))).ToList();
                // Acts not followed keep their estimates and their place below those that were.
                acts = [.. deeper.Select(x => (x.Act, x.Ways, x.Then.Cost)).OrderBy(x => x.Cost).ThenBy(x => x.Act), .. acts.Skip(options.Width)];
                whole = deeper.All(x => x.Then.Whole) && acts.Count <= options.Width;
                depth = d + 1;
                tell?.Invoke(Answer());
            }
        }
        catch (EnoughException) { }
        return Answer();

        Plan Answer() => !(acts[0].Cost < problem.GivingUp) ? Stop() with { Depth = depth, Whole = whole }
            : new Plan([.. acts.Select(x => (problem.Acts[x.Act].Id, x.Cost))], acts[0].Cost, depth, whole, false)
            { Then = !steps ? ImmutableDictionary<string, ImmutableArray<PlanStep>>.Empty : acts.Take(Math.Min(Told, options.Width)).ToImmutableDictionary(x => problem.Acts[x.Act].Id, x => Steps(x.Act, x.Ways)) };
    }

    /// <summary>What is best after each outcome, by what the search knows already.</summary>
    private ImmutableArray<PlanStep> Steps(int act, List<(int Outcome, double Chance, Belief After, bool Over)> ways) => [.. ways.Select(w =>
    {
        var outcome = problem.Acts[act].Outcomes[w.Outcome];
        if (w.Over) return new PlanStep(outcome, w.Chance, null, 0);
        var next = Choices(w.After).Take(options.Width).Select(x => (x.Act, Cost: Known(w.After.Done, x.Act, x.Ways))).OrderBy(x => x.Cost).ToList();
        return next.Count == 0 || next[0].Cost >= problem.GivingUp ? new(outcome, w.Chance, null, next.Count == 0 && problem.EndsWhenKnown ? 0 : problem.GivingUp) : new(outcome, w.Chance, problem.Acts[next[0].Act].Id, next[0].Cost);
    })];

    private double Known(ulong done, int act, List<(int Outcome, double Chance, Belief After, bool Over)> ways) =>
        problem.Cost(act, done) + ways.Where(w => !w.Over).Sum(w => w.Chance * (_known.TryGetValue(w.After, out var known) ? known.Cost : _horizon.Cost(w.After)));

    private List<(int Act, List<(int Outcome, double Chance, Belief After, bool Over)> Ways, double Cost)> Choices(Belief belief) =>
        [.. Enumerable.Range(0, problem.Acts.Length).Select(a => (Act: a, Ways: belief.Do(problem, a))).Where(x => x.Ways is not null)
            .Select(x => (x.Act, Ways: x.Ways!, Cost: Ahead(belief.Done, x.Act, x.Ways!, 0).Cost)).OrderBy(x => x.Cost)];

    /// <summary>Nothing left to do: over where only knowledge was wanted, given up otherwise.</summary>
    private Plan Stop() => problem.EndsWhenKnown && double.IsInfinity(problem.GivingUp)
        ? new Plan([], 0, 0, true, false)
        : new Plan([], problem.GivingUp, 0, true, true);

    private (double Cost, bool Whole) Ahead(ulong done, int act, List<(int Outcome, double Chance, Belief After, bool Over)> ways, int depth)
    {
        var cost = problem.Cost(act, done);
        var whole = true;
        foreach (var (_, chance, after, over) in ways)
        {
            if (over) continue;
            var then = Value(after, depth);
            cost += chance * then.Cost;
            whole &= then.Whole;
        }
        return (cost, whole);
    }

    /// <summary>Expected cost from a belief on, looking so many acts ahead.</summary>
    private (double Cost, bool Whole) Value(Belief belief, int depth)
    {
        if (depth == 0) return (_horizon.Cost(belief), false);
        if (_known.TryGetValue(belief, out var known) && (known.Whole || known.Depth >= depth)) return (known.Cost, known.Whole);
        if (++_steps > options.Steps) throw new EnoughException();
        if ((_steps & 15) == 0)
        {
            ct.ThrowIfCancellationRequested();
            if (enough.IsCancellationRequested) throw new EnoughException();
        }
        var acts = Choices(belief);
        var best = acts.Count == 0 && problem.EndsWhenKnown && double.IsInfinity(problem.GivingUp) ? 0 : problem.GivingUp;
        var whole = acts.Count <= options.Width;
        foreach (var (act, ways, cost) in acts.Take(options.Width))
        {
            var then = depth == 1 ? (Cost: cost, Whole: ways.All(w => w.Over)) : Ahead(belief.Done, act, ways, depth - 1);
            best = Math.Min(best, then.Cost);
            whole &= then.Whole;
        }
        _known[belief] = (depth, best, whole);
        return (best, whole);
    }

    /// <summary>The leave to look further is used up; the depth finished before stands.</summary>
    private sealed class EnoughException : Exception;
}
