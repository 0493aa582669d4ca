using System.Collections.Immutable;
using Bellwire.Counsel.Mends;
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

    /// <summary>Likelier than this to be taken again by the next power-up, a fuse is not put in before its cause is looked at (estimate).</summary>
    private const double TakenAgain = 0.25;

    /// <summary>Mended as often as this and still at fault, a site is not mended again: something unknown is (estimate).</summary>
    private const int MostMends = 2;

    /// <summary>How often a set that failed its proof and was mended then fails on the same again: oftener than the odds of a mend say, for the proof has shown that something
    /// was not known (estimate). And how many of what failed are tried by themselves.</summary>
    private const double StillFails = 1 / 3.0;
    private const int MostRetried = 3;

    /// <summary>How many leading moves are re-checked without lots: lots miss fault sets rarer than one in some hundreds.</summary>
    private const int Leaders = 6;

    /// <summary>Worth this share of another bundle, set-up and all, the one that is set up is gone on with (estimate).</summary>
    private const double Stay = 0.5;

    /// <summary>How sure it is that the last piece left has the fault (estimate).</summary>
    private const double Left = 0.8;

    /// <summary>Looks of one bundle tell part of it twice (estimate).</summary>
    private const double Overlap = 0.8;

    /// <summary>A chance smaller than this is priced, but not worth a word on a move.</summary>
    private const double LeastSaid = 0.002;

    private readonly Doubt doubt = new(sheet, built, names, options);
    private readonly Losses losses = new(sheet, built, names, options);

    /// <summary>Moves valued between two looks at whether anybody still waits.</summary>
    private const int AtOnce = 16;

    /// <summary>Moves whose looks outgrew the reckoning: they are not offered, and that is said.</summary>
    public ImmutableArray<string> GivenUp { get; private set; } = [];

    /// <summary>Mends put off until what would undo them is looked at, in words.</summary>
    public ImmutableArray<string> NotYet { get; private set; } = [];

    /// <summary>The proof as it would go now.</summary>
    public ProofOrder Proof { get; private set; } = ProofOrder.None;

    public ImmutableArray<MoveBundle> Bundles(Weighing weighing, GateKeeper gate, CancellationToken cancel = default)
    {
        var belief = weighing.Posterior!;
        Proof = ProofOrder.Of(sheet, built, weighing);
        doubt.Know(belief, Proof);
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
        var lines = candidates.Zip(values).Select(x => (x.First, Value: x.Second, Line: Line(x.First, x.Second, gate))).Where(x => x.Line.InformationBits >= 0.002 && !x.Line.Barred).ToList();
        var active = ActiveBundle();
        // A look that stands by itself for a reason of its own is not offered among the others as well.
        var (retry, again) = (Retry(lines, active), new ReadAgain(state, job, sheet, built, doubt, gate).Next(belief, active));
        HashSet<string> apart = [.. retry?.Bundle.Moves.Select(m => m.Check) ?? [], .. again is null ? [] : new[] { again.Check }];
        var safer = new RailsFirst(state, job, sheet, built, losses, gate).Next(weighing);
        if (safer is { Replug.Length: 0 }) apart.Add(safer.Check.Id);

        var bundles = new List<(MoveBundle Bundle, double Score, bool Active)>();
        var risky = 0.0;
        foreach (var group in lines.Where(l => l.First.Kind == "look" && !apart.Contains(l.First.Check.Id)).GroupBy(l => l.First.Check.Bundle ?? ""))
        {
            var spec = sheet.Bundles.FirstOrDefault(b => b.Id == group.Key);
            var isActive = group.Key.Length > 0 && group.Key == active;
            var setUp = isActive ? 0 : spec?.SetUpMinutes ?? 1;
            ImmutableArray<MoveLine> moves = [.. group.Select(g => g.Line).OrderByDescending(m => m.CanBeMade).ThenByDescending(m => m.Score).ThenBy(m => m.Id, StringComparer.Ordinal)];
            // The best few share the set-up: their worth together, one by one or as a round, over their minutes together. What may not be made is worth nothing beside what may.
            var made = group.ToDictionary(g => g.Line.Id, g => (g.Value, g.First.Check));
            var rounds = doubt.OfRound(moves.Select(m => made[m.Id]));
            double OneByOne(int n) => moves.Take(n).Sum(m => m.SavesMinutes) * (n == 1 ? 1 : Overlap);
            double Saves(int n) => n == 1 ? OneByOne(1) : Math.Max(OneByOne(n), rounds[n - 1]);
            double Worth(int n) => Saves(n) / (setUp + moves.Take(n).Sum(m => m.Minutes));
            var many = Enumerable.Range(1, Math.Max(1, moves.Count(m => m.CanBeMade))).MaxBy(Worth);
            var powers = group.Any(g => g.First.Move.PowersUp);
            bundles.Add((new(group.Key.Length == 0 ? "single" : group.Key, spec?.Words ?? "Single looks", setUp, [.. moves.Take(Math.Max(many, options.MovesPerBundle))])
            {
                Round = many > 1 && Worth(many) >= 1 ? many : 0, RoundSaves = many > 1 && Worth(many) >= 1 && rounds[many - 1] > OneByOne(many) ? rounds[many - 1] : 0,
            }, Worth(many), isActive && Worth(many) >= 1 && !(powers && safer is not null)));
            if (powers) risky = Math.Max(risky, Worth(many));
        }
        var reseats = lines.Where(l => l.First.Kind == "reseat").Select(l => l.Line).GroupBy(l => l.Swaps[0]).Select(g => g.MaxBy(m => m.Score)!).OrderByDescending(m => m.Score).Take(options.MovesPerBundle).ToImmutableArray();
        if (reseats.Length > 0) bundles.Add((new("reseat", "Reseat and look", 0, reseats), reseats[0].Score, false));
        var swaps = lines.Where(l => l.First.Kind == "swap").Select(l => l.Line).GroupBy(l => (l.System, l.Swaps[0])).Select(g => g.MaxBy(m => m.Score)!).OrderByDescending(m => m.Score).Take(options.MovesPerBundle).ToImmutableArray();
        if (swaps.Length > 0) bundles.Add((new("swap", "Swap and look", 0, swaps), swaps[0].Score, false));
        var odd = new Unexplained(state, job, sheet, built).Find(weighing);
        var exchange = odd is null ? null : Exchanges(odd, weighing, gate);
        if (exchange is { } exchanged) bundles.Add(exchanged);
        if (retry is { } failed) risky = Math.Max(risky, failed.Score);
        if (safer is { } rails)
        {
            // Nothing is powered before it; a look with the set off may still come first. What lies unplugged comes before all else.
            var line = RailsLine(rails, gate);
            var first = rails.Unplug.Length == 0 ? double.PositiveInfinity : Math.Max(line.Score, Math.Max(risky, swaps.Length > 0 ? swaps[0].Score : 0) * 1.001);
            bundles.Add((new("rails", rails.Replug.Length > 0 ? "What was unplugged goes back" : "The rail first, without what it could kill", 0, [line]), first, false));
        }
        if (retry is { } tried) bundles.Add(tried);
        if (again is not null) bundles.Add((new("again", "Read it again", 0, [again]), again.Score, true));
        // One does not leave what is set up for a little more elsewhere, but for twice as much.
        var elsewhere = bundles.Where(b => !b.Active && b.Bundle.CanBeMade() && b.Bundle.Id is not ("rails" or "again")).Select(b => b.Score).DefaultIfEmpty(0).Max();
        bundles = [.. bundles.Select(b => b.Bundle.Id != "again" && b.Score < Stay * elsewhere ? b with { Active = false } : b)];
        // Surer than nine in ten is mended at once; what is merely likelier than not only when no look earns its minutes any more.
        var looking = bundles.Where(b => b.Bundle.Id != "rails" && b.Bundle.CanBeMade()).Select(b => b.Score).DefaultIfEmpty(0).Max();
        var mends = Mends(belief, looking < 1 ? 0.5 : SureEnough, looking >= 1);
        if (looking < 1 && mends.Length == 0 && odd is not null && exchange is null) mends = [ThroughFound(odd, names.PositionName(odd.Places[0]))];
        if (mends.Length > 0) bundles.Add((new("mend", mends.Any(m => m.Score >= SureEnough) ? "Mend what is sure" : "Mend: no look is worth its minutes", 0, mends), mends[0].Score, false));
        return [.. bundles.OrderByDescending(b => b.Bundle.Id == "again").ThenByDescending(b => b.Bundle.Id == "mend").ThenByDescending(b => b.Active).ThenByDescending(b => b.Score).Select(b => b.Bundle with { Worth = b.Score })];
    }

    /// <summary>Exchanges that find the piece with a fault nobody listed: of k that may have it each tells one, and 90 minutes of going through the wrong one are spared in 1 − 1/k.</summary>
    private (MoveBundle Bundle, double Score, bool Active)? Exchanges(Unexplained.Finding odd, Weighing weighing, GateKeeper gate)
    {
        if (odd.Places.Length == 1) return null;
        var saves = Doubt.GoThroughMinutes * (1 - 1.0 / odd.Places.Length);
        ImmutableArray<MoveLine> lines = [.. (from place in odd.Places
                                             let ways = Candidates.Exchanges(state, job, sheet, built, odd.Check, place).ToList()
                                             where ways.Count > 0
                                             let line = ways.Zip(weighing.Try([.. ways.Select(w => w.Move)])).Select(w => Line(w.First, w.Second, gate)).Where(l => !l.Barred).OrderByDescending(l => l.CanBeMade).ThenBy(l => l.Minutes + l.LossMinutes).FirstOrDefault()
                                             where line is not null
                                             select line with
                                             {
                                                 Score = saves / Math.Max(0.5, line.Minutes + line.LossMinutes), SavesMinutes = saves, GainWord = Spares(saves),
                                                 Why = $"The proof found it wrong, and nothing on the sheet explains it: whether it goes with {names.PositionName(place)} tells where to look.",
                                             }).OrderByDescending(l => l.CanBeMade).ThenByDescending(l => l.Score)];
        return lines.IsEmpty || lines.Max(l => l.Score) < 1 ? null : (new("exchange", "Nothing on the sheet explains it: exchange, one at a time", 0, lines), lines.Max(l => l.Score), false);
    }

    private MoveLine ThroughFound(Unexplained.Finding odd, string piece) => Through(
        odd.Places[0], odd.Follows ? 1 : odd.Places.Length == 1 ? Left : Left / odd.Places.Length, odd.Follows ? "the fault goes with it" : odd.Places.Length == 1 ? "the last one left" : "one of those left",
        $"{odd.Check.Words}: nothing on the sheet explains what the proof found. {(odd.Follows ? $"It goes with {piece}" : odd.Places.Length == 1 ? $"What works beside it and what was exchanged leave {piece}" : $"{piece} may have it, and exchanging would cost as much as going through it")}; a fault that the sheet does not list is looked for there.");

    private MoveLine Through(string position, double score, string gain, string why) =>
        new($"through:{position}", "mend", $"Go through {names.PositionName(position)} part by part, and its connector", "", built.System, [], Doubt.GoThroughMinutes, 0, score, gain, "", why, [], null, ImmutableDictionary<string, string>.Empty);

    /// <summary>What the last proof failed on, tried by itself once something was done about it: before a whole proof is spent on the same again.</summary>
    private (MoveBundle Bundle, double Score, bool Active)? Retry(List<(Candidate First, MoveValue Value, MoveLine Line)> lines, string? active)
    {
        var failed = FailedBefore();
        if (failed.Count == 0) return null;
        var spared = StillFails * doubt.Missed;
        var tries = lines.Where(l => l.First.Kind == "look" && failed.Contains(l.First.Check.Id)).Select(l => l.First.Check.Bundle).FirstOrDefault() is var bundle
            ? lines.Where(l => l.First.Kind == "look" && failed.Contains(l.First.Check.Id) && l.First.Check.Bundle == bundle).Select(l => l.Line).Take(MostRetried).ToList() : [];
        if (tries.Count == 0) return null;
        var setUp = bundle is null || bundle == active ? 0 : sheet.Bundles.FirstOrDefault(b => b.Id == bundle)?.SetUpMinutes ?? 1;
        var worth = spared / Math.Max(0.5, setUp + tries.Sum(t => t.Minutes));
        return worth < 1 ? null : (new("retry", "Before proving again: what failed", setUp, [.. tries.Select(t => t with { Id = "retry:" + t.Check, Score = Math.Max(1, worth), SavesMinutes = spared / tries.Count, Why = "It failed last time; tried by itself it spares a proof that fails on it once more.", GainWord = Spares(spared / tries.Count) })]), worth, false);
    }

    /// <summary>Looks that failed at the last proof, or when all was last gone through, and were not tried again after something was mended.</summary>
    private HashSet<string> FailedBefore()
    {
        var (failed, looked, mended) = (new HashSet<string>(), new HashSet<string>(), false);
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            switch (act)
            {
                case GridChecked g when g.System == built.System:
                    failed = [.. g.Outcomes.Where(o => sheet.Checks.FirstOrDefault(c => c.Id == o.Key) is { } c && o.Value != c.Outcomes[0]).Select(o => o.Key)];
                    mended = false;
                    break;
                case Proved p when sheet.Proof.FirstOrDefault(s => s.Id == p.Function)?.Check is { } check:
                    if (mended) failed.Clear();
                    mended = false;
                    if (p.Outcome == "failed") failed.Add(check);
                    else failed.Remove(check);
                    break;
                case Mended:
                    mended |= failed.Count > 0;
                    looked.Clear();
                    break;
                case Checked c when c.System == built.System:
                    looked.Add(c.Check);
                    break;
            }
        failed.ExceptWith(looked);
        return mended ? failed : [];
    }

    /// <summary>The set-up one is in the middle of: the bundle of the last look, so the order does not reshuffle under the hand.</summary>
    private string? ActiveBundle()
    {
        var last = state.TapeOf(job).LastOrDefault(e => e.Act is Checked or GridChecked or Proved or ReadingTaken or Fitted or Pulled or Powered or Unpowered or Mended or HookUpRepaired)?.Act;
        return last switch
        {
            Checked c => sheet.Checks.FirstOrDefault(x => x.Id == c.Check)?.Bundle,
            GridChecked g => sheet.Checks.FirstOrDefault(x => g.Outcomes.ContainsKey(x.Id) && x.Point is null)?.Bundle,
            Proved p => sheet.Proof.FirstOrDefault(s => s.Id == p.Function)?.Check is { } step ? sheet.Checks.FirstOrDefault(x => x.Id == step)?.Bundle : null,
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
            Spares(saves), Risk(killed), Why(c, value),
            [.. value.Outcomes.OrderByDescending(o => o.Value).Select(o => new OutcomeLine(o.Key, o.Value, OutcomeWords.Of(value, o.Key, names)))],
            barred.Words, c.Check.Throws)
        { Barred = barred.Bars.Any(b => b.Gate.StartsWith("barred-", StringComparison.Ordinal)), GateFailed = barred.Failed, SavesMinutes = saves, LossMinutes = lossMinutes };
    }

    /// <summary>The figure by which moves are ranked, over the minutes they cost.</summary>
    private static string Spares(double minutes) => minutes < 0.5 ? "spares next to nothing" : $"spares {Quantities.Words.Minutes(minutes)}";

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
        var load = sheet.Points.FirstOrDefault(p => p.Id == step.Check.Point)?.LoadWords;
        var (words, why) = (step.Unplug.Length, step.Replug.Length) switch
        {
            (_, > 0) => ($"{(load is null ? "Plug in" : $"With the set off, the {load} off the rail, then plug in")} again{(load is null ? ", with the set off" : "")}: {string.Join(", ", step.Replug.Select(r => names.PositionName(r.Position)))}", "The rail was read without them and no longer threatens them."),
            (0, _) => ($"With what is unplugged left out{(load is null ? "" : $", {load} across the rail instead")}: {step.Check.Words}", "Read it before anything it could kill is plugged in again."),
            _ => ($"Unplug {pieces}{(load is null ? "" : $"; {load} across the rail in their place")}; then power, and: {step.Check.Words}", Risk(killed) is { Length: > 0 } risk ? $"Powered as it stands, {risk}. Unplugged, nothing is at stake." : "Something behind this rail was mended or put in: it is read before anything that it could kill is powered with it."),
        };
        Act act = step.Replug.Length > 0 ? new Fitted(job, step.Replug[0].Piece, built.System, step.Replug[0].Position)
            : step.Unplug.Length > 0 ? new Pulled(job, built.Maps[built.System][step.Unplug[0]], built.System, step.Unplug[0], null)
            : new Checked(job, built.System, step.Check.Id, step.Check.Outcomes[0], step.Check.Throws, ImmutableDictionary<string, string>.Empty, null);
        return new(
            $"rails:{step.Check.Id}", "rails", words, step.Replug.Length > 0 ? "" : step.Check.Id, built.System, [.. step.Replug.Select(r => new SwapLine(r.Position, r.Piece))],
            step.Minutes, step.Value.InformationBits, (step.AvertedMinutes + saves) / Math.Max(0.5, step.Minutes), step.AvertedMinutes < 0.5 && saves < 0.5 ? "the gate asks for it" : step.AvertedMinutes > saves ? $"averts {Quantities.Words.Minutes(step.AvertedMinutes)} of loss" : Spares(saves), "", why,
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

    /// <summary>What power would take again once it is mended: the likeliest cause, and how likely it is struck at the next power-up (causes taken as independent).
    /// Null for what no hazard of the sheet strikes.</summary>
    private (SiteRef What, double Chance)? Struck(Posterior belief, SiteRef site)
    {
        var position = ThroughPosition(site);
        (SiteRef What, double Chance)? worst = null;
        foreach (var h in sheet.Family.Hazards.Where(h => h.Site == site.Site && h.Position == position))
        {
            var causes = Conditions.FaultsBehind(sheet.Family, h.Trigger).GroupBy(f => (f.Position, f.Site))
                .SelectMany(g => belief.Sites.Where(s => s.Site.Site == g.Key.Site && s.Site != site && ThroughPosition(s.Site) == g.Key.Position && InSet(s.Site)).Select(s => (s.Site, P: g.Sum(f => s.Now.GetValueOrDefault(f.Mode)))))
                .OrderByDescending(c => c.P).ToList();
            var chance = h.Chance * (1 - causes.Aggregate(1.0, (q, c) => q * (1 - c.P)));
            if (causes.Count > 0 && chance > (worst?.Chance ?? -1)) worst = (causes[0].Site, chance);
        }
        return worst;
    }

    private bool InSet(SiteRef site) => site.Piece is { } piece ? names.SeatOf(piece)?.System == built.System : site.System == built.System;

    /// <summary>How often the tape has it mended in the pieces and places of this case.</summary>
    private int Times(SiteRef site) => MendsOf(site).Count();

    /// <summary>The piece was gone through, or for a connector the piece that sits in it.</summary>
    private bool GoneThrough(SiteRef site)
    {
        var piece = site.Piece ?? built.Maps[built.System].GetValueOrDefault(site.Position!);
        return state.TapeOf(job).Any(e => e.Act is Mended { What: MendWords.GoneThrough } m && m.Piece == piece);
    }

    /// <summary>Going through a piece mends what is in it and cleans its connector; a lead or a switch of its place it leaves as it is.</summary>
    private bool IsReached(SiteRef site) => site.Piece is not null || sheet.Family.Positions.Any(p => p.Id == site.Position && p.ContactSite == site.Site);

    /// <summary>Where a look at the site itself found it bad after its last mend, it is what the sheet lists and the mend did not hold: it is mended as often as going
    /// through the piece would take, within reason.</summary>
    private int MostMendsOf(SiteRef site, double minutes) =>
        IsSeenSinceMended(site) ? Math.Clamp((int)(Doubt.GoThroughMinutes / Math.Max(1, minutes)), MostMends, MostMends * 2) : MostMends;

    private bool IsSeenSinceMended(SiteRef site)
    {
        var looks = sheet.Checks.Where(c => c.TargetKind == "site" && c.Target == $"{ThroughPosition(site)}.{site.Site}").ToDictionary(c => c.Id, c => c.Outcomes[0]);
        var (mends, seen) = (MendsOf(site).ToHashSet(), false);
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            if (act is Mended m && mends.Contains(m)) seen = false;
            else if (act is Checked c && c.System == built.System && looks.TryGetValue(c.Check, out var good)) seen = c.Outcome != good;
        return seen;
    }

    private IEnumerable<Mended> MendsOf(SiteRef site) =>
        state.TapeOf(job).Select(e => e.Act).OfType<Mended>().Where(m => m.Site == site.Site && (site.Piece is { } piece ? m.Piece == piece : m.System == site.System && m.Position == site.Position));

    private string? ThroughPosition(SiteRef site) => site.Piece is { } piece ? names.SeatOf(piece)?.Position : site.Position;

    private ImmutableArray<MoveLine> Mends(Posterior belief, double sure, bool looking)
    {
        var (lines, later) = (new List<MoveLine>(), new List<string>());
        foreach (var site in belief.Sites.Where(s => s.Faulty >= sure && doubt.Counts(s.Site)))
        {
            var (mode, p) = site.Now.Where(m => m.Key != "good").MaxBy(m => m.Value);
            if (site.Site.Site == "other")
            {
                if (ThroughPosition(site.Site) is { } at && Times(site.Site) < MostMends && !lines.Exists(l => l.Id == $"through:{at}"))
                    lines.Add(Through(at, site.Faulty, $"{Quantities.Words.Band(site.Faulty)} that it is there", "All that was looked at leaves a fault there that the sheet does not list: no look finds it, and a proof would fail on it."));
                continue;
            }
            var info = names.Info(site.Site, mode);
            var taken = Struck(belief, site.Site);
            if (taken is null && Times(site.Site) is var times && times >= MostMendsOf(site.Site, info?.MendMinutes ?? 30) && ThroughPosition(site.Site) is { } position)
            {
                var whole = names.PositionName(position);
                if (!IsReached(site.Site))
                {
                    later.Add($"{names.Fault(site.Site, mode)}: mended {times} times, and it is still to be seen. Mending there again helps little: change it for another, or look for what else would show the same.");
                    continue;
                }
                if (GoneThrough(site.Site))
                {
                    later.Add($"{names.Fault(site.Site, mode)}: {whole} was gone through part by part, and it is still to be seen. Mending there again helps little: try another piece in its place, or look for what else would show the same.");
                    continue;
                }
                if (lines.Exists(l => l.Id == $"through:{position}")) continue;
                lines.Add(Through(position, site.Faulty, $"{Quantities.Words.Band(site.Faulty)} that it is there", $"{names.Fault(site.Site, mode)}: mended {(times == 2 ? "twice" : $"{times} times")} and still to be seen. Mending it once more helps little; most likely it is something there that the sheet does not list."));
                continue;
            }
            var minutes = info?.MendMinutes ?? 30;
            if (p < SureEnough && p < doubt.WorthMending(minutes)) continue;
            if (looking && taken is { Chance: >= TakenAgain } and var (what, chance))
            {
                later.Add($"{names.Fault(site.Site, mode)} is not to be mended yet: {names.KeyName(what)}, {Quantities.Words.Band(Math.Min(1, chance))}, would take it again at the next power-up. Look there first.");
                continue;
            }
            var words = info is { Passing: true } ? $"Put right: {names.Fault(site.Site, mode)}" : $"Mend: {names.Fault(site.Site, mode)}{(info?.Part is { } part ? $" ({part})" : "")}";
            lines.Add(new($"mend:{site.Site}:{mode}", "mend", words, "", built.System, [], minutes, 0, p, $"{Quantities.Words.Band(p)} that it is this", "", p >= SureEnough ? "Surer than nine in ten: mending tells as much as another look." : "Likelier than not, and no look is worth more: mend it, and let the next look or the proof tell.", [], null, ImmutableDictionary<string, string>.Empty));
        }
        NotYet = [.. later];
        return [.. lines.OrderByDescending(l => l.Score)];
    }
}
