using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>In what order the steps of a proof are best tried. A step that fails ends the proof, for the mend undoes every showing; so what may fail and is quickly
/// tried comes first: next is always the step with the greatest chance of failing, all before it shown good, for each of its minutes. Where steps fail independently of
/// one another, and where there is exactly one fault and a step for each, that is the best order (Mitten 1960, Kadane and Simon 1977); otherwise a good one.</summary>
/// <param name="Steps">All steps of the sheet's proof, first to try first; those no check of the sheet foretells come last, as the sheet has them.</param>
/// <param name="Fails">Chance 0..1 that some step fails.</param>
/// <param name="MinutesIfItFails">Minutes into the proof at which it fails, on average, when it does.</param>
public sealed record ProofOrder(ImmutableArray<ProofOrder.Next> Steps, double Fails, double MinutesIfItFails)
{
    /// <summary>A chance this small is blended with a proof gone through to its end: too few drawn worlds tell where it would fail (estimate).</summary>
    private const double Hardly = 0.01;

    /// <summary>No step is shorter than this, minutes.</summary>
    private const double Least = 0.1;

    /// <summary>Steps likelier than this to fail are put first; below it the order of the sheet is the handier one (estimate).</summary>
    private const double WorthTryingFirst = 0.02;

    /// <summary>It would sooner fail than pass.</summary>
    public bool WouldFail => Fails > 0.5;

    /// <summary>The steps as one goes through them: those tried, as they were tried, so that what is shown next stands behind what was shown last; then what failed before;
    /// then what may fail, with its chance; the rest as the sheet has it.</summary>
    public ImmutableArray<(ProofLine Line, double? MayFail)> Arrange(ProofPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var likely = Steps.Select((s, i) => (s.Step, At: i, s.Fails)).Where(s => s.Fails >= WorthTryingFirst).ToDictionary(s => s.Step, s => (s.At, s.Fails));
        return [.. plan.Lines.Select(l => (Line: l, Likely: l.Outcome is null && likely.TryGetValue(l.Step.Id, out var place) ? place : ((int At, double Fails)?)null))
            .OrderBy(x => x.Line.Turn ?? int.MaxValue).ThenByDescending(x => x.Line.FailedBefore).ThenBy(x => x.Likely?.At ?? int.MaxValue).Select(x => (x.Line, x.Likely?.Fails))];
    }

    public static ProofOrder None { get; } = new([], 0, 0);

    /// <param name="Step">Id of the step.</param>
    /// <param name="Check">The check that foretells it, or null.</param>
    /// <param name="Fails">Chance 0..1 that it fails when all before it were shown good.</param>
    public sealed record Next(string Step, string? Check, double Fails);

    public static ProofOrder Of(TypeSheet sheet, BuiltCase built, Weighing weighing)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(built);
        var steps = sheet.Proof;
        var asked = steps.Select(s => Passes(sheet, built, s)).ToList();
        var told = Together.Of(weighing, [.. asked.OfType<Move>().Select(m => (m, "good"))]);
        var left = new List<(ProofStep Step, ImmutableArray<double> Good)>();
        var rest = new List<ProofStep>();
        for (int i = 0, t = 0; i < steps.Length; i++)
            if (asked[i] is not null && told[t++] is { IsEmpty: false } good) left.Add((steps[i], good));
            else rest.Add(steps[i]);

        var (order, fails, minutes) = Series([.. left.Select(l => (l.Step.Minutes, l.Good))]);
        return new([.. order.Select(o => Line(left[o.At].Step, o.Fails)), .. rest.Select(r => Line(r, 0))], fails, (minutes + Hardly * Doubt.Attended(sheet)) / (fails + Hardly));

        Next Line(ProofStep step, double chance) => new(step.Id, CheckOf(sheet, step)?.Id, chance);
    }

    /// <summary>Tests in series, the first that fails ending it: places in the order they are tried, each with its chance to fail when all before it passed, the chance
    /// that any fails, and the expected minutes until one does, no failure counting nothing.</summary>
    /// <param name="tests">Minutes of each, and its chance to pass in each of the worlds, which weigh alike and are the same for all.</param>
    internal static (ImmutableArray<(int At, double Fails)> Order, double Fails, double Minutes) Series(ImmutableArray<(double Minutes, ImmutableArray<double> Passes)> tests)
    {
        var order = ImmutableArray.CreateBuilder<(int, double)>();
        var left = Enumerable.Range(0, tests.Length).ToList();
        var weight = tests.IsEmpty ? [] : Enumerable.Repeat(1.0 / tests[0].Passes.Length, tests[0].Passes.Length).ToArray();
        double alive = 1, sofar = 0, fails = 0, minutes = 0;
        while (left.Count > 0)
        {
            var (at, chance) = left.Select(i => (i, Failing(weight, tests[i].Passes))).MaxBy(x => x.Item2 / Math.Max(Least, tests[x.i].Minutes));
            left.Remove(at);
            order.Add((at, alive > 0 ? Math.Clamp(chance / alive, 0, 1) : 0));
            sofar += tests[at].Minutes;
            fails += chance;
            minutes += chance * sofar;
            for (var w = 0; w < weight.Length; w++) weight[w] *= tests[at].Passes[w];
            alive = weight.Sum();
        }
        return (order.ToImmutable(), Math.Min(1, fails), minutes);
    }

    private static double Failing(double[] weight, ImmutableArray<double> good)
    {
        double sum = 0;
        for (var w = 0; w < weight.Length; w++) sum += weight[w] * (1 - good[w]);
        return sum;
    }

    private static CheckSpec? CheckOf(TypeSheet sheet, ProofStep step) =>
        sheet.Checks.FirstOrDefault(c => c.Id == step.Check) ?? (step.Point is { } point ? sheet.Checks.FirstOrDefault(c => c.Point == point && c.TargetKind == "signal") : null);

    /// <summary>The step as a look that does not err: tried with care, a state passes that its check would sooner call good. A set is proved under power, on or off now.</summary>
    private static Move? Passes(TypeSheet sheet, BuiltCase built, ProofStep step)
    {
        if (CheckOf(sheet, step) is not { } check || sheet.TargetOf(check, built.Maps[built.System], built.System) is not Target.OfSignal target) return null;
        var best = check.Matrix[check.Outcomes[0]];
        var outcomes = ImmutableDictionary<string, ImmutableDictionary<string, double>>.Empty
            .Add("good", best.ToImmutableDictionary(s => s.Key, s => s.Value >= 0.5 ? 1.0 : 0))
            .Add("failed", best.ToImmutableDictionary(s => s.Key, s => s.Value >= 0.5 ? 0.0 : 1));
        return new Move("proof:" + step.Id, built.System, [], false, Candidates.SettingFor(sheet, check with { Powered = check.Powered ?? true }, built), target, outcomes);
    }
}
