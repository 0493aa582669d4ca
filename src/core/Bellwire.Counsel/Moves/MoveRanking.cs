using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What a move is worth: the minutes of doubt it takes away for each minute it costs, its set-up shared by the bundle, the good
/// pieces it may kill priced in. Below one it does not earn its minutes.</summary>
internal sealed class MoveRanking(ShopState state, string job, TypeSheet sheet, BuiltCase built, Namer names, AdviceOptions options)
{
    /// <summary>Beyond this a piece is mended or changed rather than asked about.</summary>
    private const double SureEnough = 0.9;

    /// <summary>How many leading moves are re-checked without lots: lots miss fault sets rarer than one in some hundreds.</summary>
    private const int Leaders = 6;

    /// <summary>A chance smaller than this is priced, but not worth a word on a move.</summary>
    private const double LeastSaid = 0.002;

    private readonly Doubt doubt = new(sheet, built, names, options);
    private readonly Losses losses = new(sheet, built, names, options);

    /// <summary>Moves valued between two looks at whether anybody still waits.</summary>
    private const int AtOnce = 16;

    /// <summary>Moves whose looks outgrew the reckoning: they are not offered, and that is said.</summary>
    public ImmutableArray<string> GivenUp { get; private set; } = [];

    public ImmutableArray<MoveBundle> Bundles(Weighing weighing, GateKeeper gate, CancellationToken cancel = default)
    {
        var belief = weighing.Posterior!;
        doubt.Know(belief);
        var candidates = Candidates.OfBench(state, job, sheet, built, belief);
        var values = candidates.Select(c => c.Move).Chunk(AtOnce).SelectMany(some =>
        {
            cancel.ThrowIfCancellationRequested();
            return weighing.Try(some);
        }).ToArray();
        GivenUp = [.. candidates.Zip(values).Where(x => x.Second.GivenUp).Select(x => Words(x.First))];
        var leaders = Enumerable.Range(0, values.Length)
            .OrderByDescending(i => values[i].InformationBits / Math.Max(0.5, candidates[i].Check.Minutes + candidates[i].ExtraMinutes)).Take(Leaders).ToList();
        foreach (var (i, sure) in leaders.Zip(weighing.Recheck([.. leaders.Select(i => candidates[i].Move)], [.. leaders.Select(i => values[i])]))) values[i] = sure;
        var lines = candidates.Zip(values).Select(x => (x.First, Line: Line(x.First, x.Second, gate))).Where(x => x.Line.InformationBits >= 0.002 && !x.Line.Barred).ToList();
        var active = ActiveBundle();

        var bundles = new List<(MoveBundle Bundle, double Score, bool Active)>();
        var risky = 0.0;
        foreach (var group in lines.Where(l => l.First.Kind == "look").GroupBy(l => l.First.Check.Bundle ?? ""))
        {
            var spec = sheet.Bundles.FirstOrDefault(b => b.Id == group.Key);
            var isActive = group.Key.Length > 0 && group.Key == active;
            var setUp = isActive ? 0 : spec?.SetUpMinutes ?? 1;
            ImmutableArray<MoveLine> moves = [.. group.Select(g => g.Line).OrderByDescending(m => m.Score).ThenBy(m => m.Id, StringComparer.Ordinal)];
            // The best few share the set-up: their worth together, over their minutes together.
            double Worth(int n) => moves.Take(n).Sum(m => m.SavesMinutes) * (n == 1 ? 1 : 0.8) / (setUp + moves.Take(n).Sum(m => m.Minutes));
            var many = Enumerable.Range(1, moves.Length).MaxBy(Worth);
            bundles.Add((new(group.Key.Length == 0 ? "single" : group.Key, spec?.Words ?? "Single looks", setUp, [.. moves.Take(Math.Max(many, options.MovesPerBundle))]), Worth(many), isActive && Worth(many) >= 1));
            if (group.Any(g => g.First.Move.PowersUp)) risky = Math.Max(risky, Worth(many));
        }
        var reseats = lines.Where(l => l.First.Kind == "reseat").Select(l => l.Line).GroupBy(l => l.Swaps[0]).Select(g => g.MaxBy(m => m.Score)!).OrderByDescending(m => m.Score).Take(options.MovesPerBundle).ToImmutableArray();
        if (reseats.Length > 0) bundles.Add((new("reseat", "Reseat and look", 0, reseats), reseats[0].Score, false));
        var swaps = lines.Where(l => l.First.Kind == "swap").Select(l => l.Line).GroupBy(l => (l.System, l.Swaps[0])).Select(g => g.MaxBy(m => m.Score)!).OrderByDescending(m => m.Score).Take(options.MovesPerBundle).ToImmutableArray();
        if (swaps.Length > 0) bundles.Add((new("swap", "Swap and look", 0, swaps), swaps[0].Score, false));
        var safer = new RailsFirst(state, job, sheet, built, losses, gate);
        if (safer.Next(weighing) is { } rails)
        {
            // Nothing is powered before it; a look with the set off may still come first. What lies unplugged comes before all else.
            var line = RailsLine(rails, gate);
            var first = rails.Unplug.Length == 0 ? double.PositiveInfinity : Math.Max(line.Score, Math.Max(risky, swaps.Length > 0 ? swaps[0].Score : 0) * 1.001);
            bundles.Add((new("rails", rails.Replug.Length > 0 ? "What was unplugged goes back" : "The rail first, without what it could kill", 0, [line]), first, false));
        }
        // Surer than nine in ten is mended at once; what is merely likelier than not only when no look earns its minutes any more.
        var looking = bundles.Where(b => b.Bundle.Id != "rails").Select(b => b.Score).DefaultIfEmpty(0).Max();
        var mends = Mends(belief, s => looking < 1 || (safer.Waiting is { } rail && IsBehind(s, rail)) ? 0.5 : SureEnough);
        if (mends.Length > 0) bundles.Add((new("mend", mends.Any(m => m.Score >= SureEnough) ? "Mend what is sure" : "Mend: no look is worth its minutes", 0, mends), mends[0].Score, false));
        return [.. bundles.OrderByDescending(b => b.Active).ThenByDescending(b => b.Bundle.Id == "mend").ThenByDescending(b => b.Score).Select(b => b.Bundle)];
    }

    /// <summary>The set-up one is in the middle of: the bundle of the last look, so the order does not reshuffle under the hand.</summary>
    private string? ActiveBundle()
    {
        var last = state.TapeOf(job).LastOrDefault(e => e.Act is Checked or ReadingTaken or Fitted or Pulled or Powered or Unpowered or Mended or HookUpRepaired)?.Act;
        return last switch
        {
            Checked c => sheet.Checks.FirstOrDefault(x => x.Id == c.Check)?.Bundle,
            ReadingTaken r => sheet.Checks.FirstOrDefault(x => x.Point == r.Point)?.Bundle,
            _ => null,
        };
    }

    private MoveLine Line(Candidate c, MoveValue value, GateKeeper gate)
    {
        var minutes = c.Check.Minutes + c.ExtraMinutes;
        var killed = value.Kills.Where(k => k.Value > 1e-4).Select(k => (k.Key, Chance: k.Value, Worth: losses.Worth(k.Key))).ToList();
        var lossMinutes = killed.Sum(k => losses.Minutes(k.Key, k.Chance));
        var saves = Math.Max(0, doubt.TakenAway(value));
        var score = saves / Math.Max(0.5, minutes + lossMinutes);
        var barred = gate.Check(Proposed(c));
        return new(
            c.Move.Id, c.Kind, Words(c), c.Check.Id, c.Move.System, [.. c.Swaps.Select(s => new SwapLine(s.Position, s.Piece))], minutes, value.InformationBits, score,
            Weight.Gain(value.InformationBits), Risk(killed), Why(c, value),
            [.. value.Outcomes.OrderByDescending(o => o.Value).Select(o => new OutcomeLine(o.Key, o.Value, OutcomeWords.Of(value, o.Key, names)))],
            barred.Words, c.Check.Throws)
        { Barred = barred.Bars.Any(b => b.Gate.StartsWith("barred-", StringComparison.Ordinal)), SavesMinutes = saves, LossMinutes = lossMinutes };
    }

    private bool IsBehind(SiteRef site, KillingRail rail)
    {
        var position = site.Piece is { } piece ? names.SeatOf(piece)?.Position : site.Position;
        return rail.Behind.Contains((position ?? "", site.Site));
    }

    private Act Proposed(Candidate c) => c.Kind == "reseat" ? new Reseated(job, c.Move.System, c.Swaps[0].Position) : c.Swaps.Length > 0
        ? new Fitted(job, c.Swaps[0].Piece, c.Move.System, c.Swaps[0].Position)
        : new Checked(job, c.Move.System, c.Check.Id, c.Check.Outcomes[0], c.Check.Throws, ImmutableDictionary<string, string>.Empty, null);

    private string Words(Candidate c) => c.Kind == "look" ? c.Check.Words
        : c.Kind == "reseat" ? $"Reseat {names.PositionName(c.Swaps[0].Position)}, then: {c.Check.Words}"
        : c.Move.System == built.System ? $"Put {names.Piece(c.Swaps[0].Piece)} in, then: {c.Check.Words}"
        : $"Put {names.Piece(c.Swaps[0].Piece)} into the mule, then: {c.Check.Words}";

    private MoveLine RailsLine(RailsFirst.Step step, GateKeeper gate)
    {
        var saves = Math.Max(0, doubt.TakenAway(step.Value));
        var killed = step.Killed.Select(k => (k.Site, k.Chance, Worth: losses.Worth(k.Site))).ToList();
        var pieces = string.Join(", ", step.Unplug.Select(names.PositionName));
        var (words, why) = (step.Unplug.Length, step.Replug.Length) switch
        {
            (_, > 0) => ($"Plug in again, with the set off: {string.Join(", ", step.Replug.Select(r => names.PositionName(r.Position)))}", "The rail was read without them and no longer threatens them."),
            (0, _) => ($"With what is unplugged left out: {step.Check.Words}", "Read it before anything it could kill is plugged in again."),
            _ => ($"Unplug {pieces}; then power, and: {step.Check.Words}", Risk(killed) is { Length: > 0 } risk ? $"Powered as it stands, {risk}. Unplugged, nothing is at stake." : "Something behind this rail was mended or put in: it is read before anything that it could kill is powered with it."),
        };
        Act act = step.Replug.Length > 0 ? new Fitted(job, step.Replug[0].Piece, built.System, step.Replug[0].Position)
            : step.Unplug.Length > 0 ? new Pulled(job, built.Maps[built.System][step.Unplug[0]], built.System, step.Unplug[0], null)
            : new Checked(job, built.System, step.Check.Id, step.Check.Outcomes[0], step.Check.Throws, ImmutableDictionary<string, string>.Empty, null);
        return new(
            $"rails:{step.Check.Id}", "rails", words, step.Replug.Length > 0 ? "" : step.Check.Id, built.System, [.. step.Replug.Select(r => new SwapLine(r.Position, r.Piece))],
            step.Minutes, step.Value.InformationBits, (step.AvertedMinutes + saves) / Math.Max(0.5, step.Minutes), Weight.Gain(step.Value.InformationBits), "", why,
            step.Replug.Length > 0 ? [] : [.. step.Value.Outcomes.OrderByDescending(o => o.Value).Select(o => new OutcomeLine(o.Key, o.Value, OutcomeWords.Of(step.Value, o.Key, names)))],
            gate.Check(act).Words, step.Check.Throws)
        { SavesMinutes = saves, AvertsMinutes = step.AvertedMinutes, Unplug = step.Unplug };
    }

    private string Risk(List<(SiteRef Site, double Chance, double Worth)> killed)
    {
        if (killed.Count == 0) return "";
        var worst = killed.MaxBy(k => k.Chance * k.Worth);
        if (worst.Chance < LeastSaid) return "";
        return $"{Quantities.Words.Band(Math.Min(1, worst.Chance))} that it kills {names.KeyName(worst.Site)}";
    }

    private string Why(Candidate c, MoveValue value)
    {
        var swing = value.After.Values.SelectMany(a => a).GroupBy(a => names.Key(a.Site)).Select(g => (g.First().Site, Swing: g.Max(a => Math.Abs(a.Then - a.Now)))).OrderByDescending(s => s.Swing).Take(2).ToList();
        if (swing.Count == 0 || swing[0].Swing < 0.01) return "Little hangs on it.";
        return $"It decides most about {string.Join(" and ", swing.Where(s => s.Swing >= 0.01).Select(s => names.KeyName(s.Site)).Distinct())}.";
    }

    private ImmutableArray<MoveLine> Mends(Posterior belief, Func<SiteRef, double> sure)
    {
        var lines = new List<MoveLine>();
        foreach (var site in belief.Sites.Where(s => s.Faulty >= sure(s.Site) && doubt.Counts(s.Site)))
        {
            var (mode, p) = site.Now.Where(m => m.Key != "good").MaxBy(m => m.Value);
            if (site.Site.Site == "other") continue;
            var info = names.Info(site.Site, mode);
            var minutes = info?.MendMinutes ?? 30;
            if (p < SureEnough && p < doubt.WorthMending(minutes)) continue;
            var words = info is { Passing: true } ? $"Put right: {names.Fault(site.Site, mode)}" : $"Mend: {names.Fault(site.Site, mode)}{(info?.Part is { } part ? $" ({part})" : "")}";
            lines.Add(new($"mend:{site.Site}:{mode}", "mend", words, "", built.System, [], minutes, 0, p, $"{Quantities.Words.Band(p)} that it is this", "", p >= SureEnough ? "Surer than nine in ten: mending tells as much as another look." : "Likelier than not, and no look is worth more: mend it, and let the next look or the proof tell.", [], null, ImmutableDictionary<string, string>.Empty));
        }
        return [.. lines.OrderByDescending(l => l.Score)];
    }
}
