using System.Collections.Immutable;
using Bellwire.Counsel.Mends;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What a proof found wrong though nothing on the sheet explains it: as things stand on the tape the engine would sooner disbelieve the proof. Then some piece has
/// a fault that nobody listed, and exchange tells which (common practice, no source): a good piece in its place, or the piece itself in the mule.</summary>
internal sealed class Unexplained(ShopState state, string job, TypeSheet sheet, BuiltCase built)
{
    /// <summary>A function that failed its proof and is good with more than this chance by all that is known is not explained (estimate).</summary>
    private const double Disbelieved = 0.5;

    /// <param name="Check">What failed.</param>
    /// <param name="Places">Where the piece may sit, likeliest first; those that exchange has cleared are left out.</param>
    /// <param name="Follows">Exchange has shown that the fault goes with the piece of the first place.</param>
    internal sealed record Finding(CheckSpec Check, ImmutableArray<string> Places, bool Follows);

    public Finding? Find(Weighing weighing)
    {
        var (failed, good, trials) = SinceMended();
        var here = built.Maps[built.System];
        if (failed.Count == 0 || here.Keys.Any(p => IsOwn(p) && built.Case.Pieces.Any(x => x.Id == here[p] && x.Origin is null))) return null;
        var odd = failed.Where(c => IsDisbelieved(weighing, c)).ToList();
        if (odd.Count == 0) return null;
        var places = Places(odd, good);
        var of = trials.Where(t => odd.Exists(c => c.Id == t.Check)).ToList();
        if (of.Find(t => t.Follows) is { Position: { } follows }) return new(odd[0], [follows], true);
        ImmutableArray<string> left = [.. places.Where(p => !of.Exists(t => t.Position == p))];
        return left.IsEmpty ? null : new(odd[0], left, false);
    }

    private bool IsDisbelieved(Weighing weighing, CheckSpec check)
    {
        if (sheet.TargetOf(check, built.Maps[built.System], built.System) is not Target.OfSignal target) return false;
        var look = new Move("unexplained:" + check.Id, built.System, [], false, Candidates.SettingFor(sheet, check, built), target, check.Matrix);
        return weighing.Try([look])[0].Outcomes.GetValueOrDefault(check.Outcomes[0]) > Disbelieved;
    }

    /// <summary>A signal that lies behind all that failed and behind nothing that works is spoilt, by a piece that its own rules name.</summary>
    private IEnumerable<string> Places(List<CheckSpec> failed, List<CheckSpec> good)
    {
        var behind = failed.ConvertAll(c => Conditions.SignalsBehind(sheet.Family, c.Target));
        var working = good.SelectMany(c => Conditions.SignalsBehind(sheet.Family, c.Target)).ToHashSet();
        return behind.Aggregate((a, b) => a.Intersect(b)).Where(s => !working.Contains(s)).SelectMany(s => Conditions.PositionsOf(sheet.Family, s).Distinct())
            .Where(IsOwn).GroupBy(p => p).OrderBy(g => IsGoneThrough(g.Key)).ThenByDescending(g => g.Count()).ThenBy(g => g.Key, StringComparer.Ordinal).Select(g => g.Key);
    }

    private bool IsGoneThrough(string position) => state.TapeOf(job).Any(e => e.Act is Mended { What: MendWords.GoneThrough } m && m.Piece == built.Maps[built.System][position]);

    private bool IsOwn(string position) => sheet.Positions.Any(p => p.Id == position && !p.House)
        && built.Maps[built.System].TryGetValue(position, out var piece) && !Namer.IsStandIn(piece);

    /// <summary>Since anything was mended: steps of the proof that failed, what works, and what an exchange showed. <c>Follows</c>: the fault goes where the piece goes.</summary>
    private (List<CheckSpec> Failed, List<CheckSpec> Good, List<(string Check, string Position, bool Follows)> Trials) SinceMended()
    {
        var own = built.Maps[built.System];
        var (inSet, inMule) = (new Dictionary<string, string>(own), new Dictionary<string, string>());
        var (last, trials) = (new Dictionary<string, bool>(), new List<(string, string, bool)>());
        HashSet<string> proved = [];
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            switch (act)
            {
                case Mended:
                    last.Clear();
                    proved.Clear();
                    trials.Clear();
                    break;
                case Fitted f: In(f.System)[f.Position] = f.Piece; break;
                case Pulled p: In(p.System).Remove(p.Position); break;
                case HookUpRepaired h: foreach (var (position, piece) in h.Pieces) In(h.System)[position] = piece; break;
                case Proved p when !ProofPlan.IsByOwner(p.By) && p.Outcome is "failed" or "shown" && sheet.Proof.FirstOrDefault(s => s.Id == p.Function)?.Check is { } step:
                    last[step] = p.Outcome == "shown";
                    if (p.Outcome == "failed") proved.Add(step); else proved.Remove(step);
                    break;
                case Checked c when sheet.Checks.FirstOrDefault(x => x.Id == c.Check) is { TargetKind: "signal" } check:
                    var good = c.Outcome == check.Outcomes[0];
                    var foreign = own.Where(o => IsOwn(o.Key) && inSet.GetValueOrDefault(o.Key) != o.Value).Select(o => o.Key).ToList();
                    if (c.System == built.System && foreign.Count == 0) last.TryAdd(c.Check, good);
                    else if (c.System == built.System && foreign.Count == 1 && inSet.ContainsKey(foreign[0])) trials.Add((c.Check, foreign[0], good));
                    else if (c.System != built.System && own.Where(o => inMule.GetValueOrDefault(o.Key) == o.Value).Select(o => o.Key).ToList() is [var tried]) trials.Add((c.Check, tried, !good));
                    break;
            }
        Dictionary<string, string> In(string system) => system == built.System ? inSet : inMule;
        List<CheckSpec> Signals(Func<string, bool> which) => [.. sheet.Checks.Where(c => c.TargetKind == "signal" && last.ContainsKey(c.Id) && which(c.Id))];
        return (Signals(c => proved.Contains(c)), Signals(c => last[c]), trials);
    }
}
