using System.Collections.Immutable;

namespace Bellwire.Reasoning.Planning;

/// <summary>What could be so, how likely each is, and what can be done about it: a job seen as a matter of cost until it is over.</summary>
/// <param name="States">Names of the states of the world (fault sets, say).</param>
/// <param name="Chances">State → probability, adding up to one.</param>
/// <param name="EndsWhenKnown">True: it is over as soon as one state is certain, or nothing left tells more. False: when an act shows its ending outcome.</param>
/// <param name="GivingUp">Cost of stopping unresolved, at any time; infinite when that is no choice.</param>
public sealed record PlanProblem(
    ImmutableArray<string> States, ImmutableArray<double> Chances, ImmutableArray<PlanAct> Acts,
    bool EndsWhenKnown = false, double GivingUp = double.PositiveInfinity)
{
    /// <summary>What several acts share (opening the cover, power on): paid by the first of them that is done, and again after anything was changed.</summary>
    public ImmutableArray<double> Shared { get; init; } = [];

    /// <summary>Cost of an act when so many others were done: its own, and what it needs that no other has paid for.</summary>
    internal double Cost(int act, ulong done)
    {
        var cost = Acts[act].Cost;
        foreach (var need in Acts[act].Needs)
            if (!Paid(need, done)) cost += Shared[need];
        return cost;
    }

    /// <summary>What was done, without the acts that stand to be done once more after anything was changed.</summary>
    internal ulong AfterChange(ulong done)
    {
        for (var i = 0; i < Acts.Length; i++)
            if (Acts[i].Renewed) done &= ~(1UL << i);
        return done;
    }

    private bool Paid(int need, ulong done)
    {
        for (var i = 0; i < Acts.Length; i++)
            if ((done >> i & 1) == 1 && (Acts[i].Needs.Contains(need) || Acts[i].Settles.Contains(need))) return true;
        return false;
    }

    /// <exception cref="ArgumentException">Sizes do not match, or a chance or cost lies outside its range; the message says which.</exception>
    internal void Demand()
    {
        Need(States.Length > 0 && Chances.Length == States.Length, $"There are {States.Length} states but {Chances.Length} chances.");
        Need(Chances.All(p => p is >= 0 and <= 1) && Math.Abs(Chances.Sum() - 1) < 1e-6, $"The chances of the states add up to {Chances.Sum()}; they must add up to 1.");
        Need(Shared.All(s => s is >= 0 and < double.PositiveInfinity), "A shared cost is a number from 0 up.");
        Need(GivingUp >= 0, $"Giving up costs {GivingUp}; it cannot be less than nothing.");
        Need(Acts.Length <= 64, $"There are {Acts.Length} acts; at most 64 can be planned with.");
        foreach (var twice in Acts.GroupBy(a => a.Id).Where(g => g.Count() > 1)) Need(false, $"There are {twice.Count()} acts named '{twice.Key}'.");
        foreach (var a in Acts)
        {
            Need(a.Cost is >= 0 and < double.PositiveInfinity, $"Act '{a.Id}' costs {a.Cost}; a cost is a number from 0 up.");
            Need(a.Chances.Length == States.Length, $"Act '{a.Id}' has outcome chances for {a.Chances.Length} states; there are {States.Length}.");
            Need(a.Chances.All(c => c.Length == a.Outcomes.Length && c.All(p => p is >= 0 and <= 1) && Math.Abs(c.Sum() - 1) < 1e-6),
                $"Act '{a.Id}' has, for some state, outcome chances that do not add up to 1 over its {a.Outcomes.Length} outcomes.");
            Need(a.Leads.IsEmpty || (a.Leads.Length == States.Length && a.Leads.All(s => s >= 0 && s < States.Length)), $"Act '{a.Id}' leads to states that are not there.");
            Need(a.Needs.Concat(a.Settles).All(s => s >= 0 && s < Shared.Length), $"Act '{a.Id}' needs a shared cost that is not there; there are {Shared.Length}.");
            Need(a.Ends >= -1 && a.Ends < a.Outcomes.Length, $"Act '{a.Id}' ends on outcome {a.Ends}; it has {a.Outcomes.Length}.");
        }
    }

    private static void Need(bool holds, string otherwise)
    {
        if (!holds) throw new ArgumentException(otherwise, "problem");
    }
}

/// <summary>Something that can be done: it may change the world, then something is seen.</summary>
/// <param name="Cost">Minutes or money, from 0 up; one unit throughout.</param>
/// <param name="Chances">[state after the act][outcome] → probability.</param>
/// <param name="Leads">[state before] → state after; empty when the act changes nothing.</param>
/// <param name="Ends">Number of the outcome with which all is over (the proof passed); −1 when there is none.</param>
/// <param name="Once">True when doing it again tells and changes nothing more.</param>
public sealed record PlanAct(
    string Id, double Cost, ImmutableArray<string> Outcomes, ImmutableArray<ImmutableArray<double>> Chances,
    ImmutableArray<int> Leads, int Ends = -1, bool Once = true)
{
    /// <summary>Numbers of the shared costs it needs.</summary>
    public ImmutableArray<int> Needs { get; init; } = [];

    /// <summary>Numbers of the shared costs that are no longer to be paid once it is done, though it does not pay them itself (the safer way round).</summary>
    public ImmutableArray<int> Settles { get; init; } = [];

    /// <summary>True when it tells anew after any act that changes something.</summary>
    public bool Renewed { get; init; }
}

/// <summary>How far to look.</summary>
/// <param name="Depth">Acts looked ahead at most.</param>
/// <param name="Width">Leading acts followed at each step; the others are valued one step ahead only.</param>
/// <param name="Steps">Beliefs looked at before the search stops and answers from the depth it has finished.</param>
public sealed record PlanOptions(int Depth = 4, int Width = 6, long Steps = 40_000);

/// <summary>What to do next.</summary>
/// <param name="Acts">The acts in order of expected cost until all is over; empty when it is over, or giving up is best.</param>
/// <param name="Expected">Expected cost until all is over, following the first of <paramref name="Acts"/>.</param>
/// <param name="Depth">Acts looked ahead, all told.</param>
/// <param name="Whole">True when every way was followed to its end, so that nothing was estimated.</param>
/// <param name="GiveUp">True when stopping unresolved is expected to be cheaper than going on.</param>
public sealed record Plan(ImmutableArray<(string Act, double Expected)> Acts, double Expected, int Depth, bool Whole, bool GiveUp)
{
    /// <summary>For each act looked further into: what it may show, and what is best after that.</summary>
    public ImmutableDictionary<string, ImmutableArray<PlanStep>> Then { get; init; } = ImmutableDictionary<string, ImmutableArray<PlanStep>>.Empty;
}

/// <param name="Chance">P(this outcome), 0..1.</param>
/// <param name="Next">The act that is best then; null when all is over, or nothing is left to do.</param>
/// <param name="Expected">Cost expected from there on.</param>
public sealed record PlanStep(string Outcome, double Chance, string? Next, double Expected);

/// <summary>What following the plans to the end costs.</summary>
/// <param name="Mean">Expected cost.</param>
/// <param name="Deviation">Standard deviation of the cost.</param>
/// <param name="Costs">Cost → probability, ascending.</param>
public sealed record Outlook(double Mean, double Deviation, ImmutableArray<(double Cost, double Probability)> Costs);
