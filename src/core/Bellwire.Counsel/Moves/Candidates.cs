using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="Kind">look, reseat, swap, ask.</param>
internal sealed record Candidate(Move Move, CheckSpec Check, string Kind, double ExtraMinutes, ImmutableArray<(string Position, string Piece)> Swaps);

/// <summary>Every move that could be made from the present hook-up.</summary>
internal static class Candidates
{
    /// <summary>Swaps are tried with the looks that went wrong last; more than these add little and cost time.</summary>
    private const int LooksPerSwap = 2;

    /// <summary>Likelier bad than this, a connector is worth unplugging; minutes of doing so (estimates).</summary>
    private const double LeastContact = 0.02, ReseatMinutes = 2;

    /// <summary>A piece less likely at fault than this, with its connector, is not tried elsewhere: what changed then would be the second look, not the piece (estimate).</summary>
    private const double LeastSwapped = 0.01;

    public static List<Candidate> OfBench(ShopState state, string job, TypeSheet sheet, BuiltCase built, Posterior belief)
    {
        var list = new List<Candidate>();
        var map = built.Maps[built.System];
        // What is on already is not powered up again by a look: whatever it could kill, it has had its chance.
        var on = built.Setting.Circumstances.GetValueOrDefault("feed", "off") != "off";
        foreach (var check in sheet.Checks)
        {
            if (check.How == "ask" || check.TargetKind == "cause" || HouseOnly(sheet, check)) continue;
            if (built.Fresh.Contains($"{built.System}:{check.Id}") && !check.Repeatable) continue;
            if (sheet.TargetOf(check, map, built.System) is { } target && !IsStandIn(target))
                list.Add(new(Of(check, built.System, [], check.Powered == true && !on, SettingFor(sheet, check, built), target), check, "look", 0, []));
        }
        var looks = WrongLooks(state, job, sheet, belief);
        foreach (var (position, piece, system) in Swaps(state, job, sheet, built).Where(s => Suspect(belief, built, map, s.Position) >= LeastSwapped))
            foreach (var check in looks)
                if (Exchange(sheet, built, check, position, piece, system) is { } swap) list.Add(swap);
        // Reseat before replace: the connector is unplugged and plugged, and one looks again.
        foreach (var site in belief.Sites.Where(s => s.Site.System == built.System && s.Faulty >= LeastContact))
            if (sheet.Family.Positions.First(p => p.Id == site.Site.Position) is { ContactSite: { } contact, RedrawChance: > 0 } at && contact == site.Site.Site && map.TryGetValue(at.Id, out var own) && !own.StartsWith("bench:", StringComparison.Ordinal))
                foreach (var check in looks)
                    if (sheet.TargetOf(check, map, built.System) is Target.OfSignal target)
                        list.Add(new(new Move($"reseat:{built.System}:{at.Id}:{check.Id}", built.System, [(at.Id, own)], check.Powered == true, SettingFor(sheet, check, built), target, check.Matrix), check, "reseat", ReseatMinutes, [(at.Id, own)]));
        return list;
    }

    /// <summary>A piece put elsewhere, and a look there; null where the look has nothing to look at.</summary>
    private static Candidate? Exchange(TypeSheet sheet, BuiltCase built, CheckSpec check, string position, string piece, string system)
    {
        var swapped = (built.Maps.GetValueOrDefault(system) ?? built.Maps[built.System]).SetItem(position, piece);
        if (sheet.TargetOf(check, swapped, system) is not Target.OfSignal target) return null;
        // Whatever it shows, each piece goes back to its own place.
        var minutes = 2 * sheet.Positions.First(p => p.Id == position).SwapMinutes;
        return new(Of(check, system, [(position, piece)], check.Powered == true, SettingFor(sheet, check, built), target, piece), check, "swap", minutes, [(position, piece)]);
    }

    /// <summary>The exchanges that tell whether the fault goes with the piece of that place, whatever its odds.</summary>
    public static IEnumerable<Candidate> Exchanges(ShopState state, string job, TypeSheet sheet, BuiltCase built, CheckSpec check, string position) =>
        Swaps(state, job, sheet, built).Where(s => s.Position == position).Select(s => Exchange(sheet, built, check, s.Position, s.Piece, s.System)).OfType<Candidate>();

    /// <summary>How likely the piece that sits there, or the connector it sits in, is at fault.</summary>
    private static double Suspect(Posterior belief, BuiltCase built, ImmutableDictionary<string, string> map, string position)
    {
        var piece = map.GetValueOrDefault(position);
        return 1 - belief.Sites.Where(s => piece is not null && s.Site.Piece == piece || s.Site.System == built.System && s.Site.Position == position).Aggregate(1.0, (q, s) => q * (1 - s.Faulty));
    }

    public static List<Candidate> OfStory(ShopState state, string job, TypeSheet sheet, BuiltCase built)
    {
        var told = state.TapeOf(job).Select(e => e.Act).OfType<OwnerTold>().Select(a => a.Check).ToHashSet();
        return [.. from check in sheet.Checks
                   where check.Owner && !told.Contains(check.Id)
                   let target = sheet.TargetOf(check, built.Maps[built.System], built.System)
                   where target is not null
                   select new Candidate(new Move("ask:" + check.Id, built.System, [], false, sheet.Home(check.Throws), target, check.OwnerMatrix ?? check.Matrix), check, "ask", 0, [])];
    }

    private static Move Of(CheckSpec check, string system, ImmutableArray<(string, string?)> swaps, bool powersUp, Setting setting, Target target, string? piece = null) =>
        new(piece is null ? "look:" + check.Id : $"swap:{system}:{piece}:{check.Id}", system, swaps, powersUp, setting, target, check.Matrix);

    internal static Setting SettingFor(TypeSheet sheet, CheckSpec check, BuiltCase built)
    {
        var now = built.Setting.Circumstances.GetValueOrDefault("feed", "off");
        var feed = check.Powered switch { true => now == "off" ? "limited" : now, false => "off", _ => now };
        return new(sheet.DefaultThrows().SetItems(check.Throws), sheet.DefaultCircumstances().SetItems(built.Setting.Circumstances).SetItems(check.Circumstances).SetItem("feed", feed));
    }

    /// <summary>What never leaves the house is not looked at on the bench.</summary>
    private static bool HouseOnly(TypeSheet sheet, CheckSpec check) => check.Circumstances.GetValueOrDefault("place") == "home"
        || (check.TargetKind == "site" && sheet.Positions.FirstOrDefault(p => p.Id == SheetSettings.Split(check.Target).Position)?.House == true);

    private static bool IsStandIn(Target target) => target is Target.OfSite { Site.Piece: { } piece } && piece.StartsWith("bench:", StringComparison.Ordinal);

    private static List<CheckSpec> WrongLooks(ShopState state, string job, TypeSheet sheet, Posterior belief)
    {
        var last = new Dictionary<string, string>();
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            if (act is Checked c) last[c.Check] = c.Outcome;
            else if (act is GridChecked g) foreach (var (check, outcome) in g.Outcomes) last[check] = outcome;
            else if (act is Proved p && sheet.Proof.FirstOrDefault(s => s.Id == p.Function)?.Check is { } step && sheet.Checks.FirstOrDefault(c => c.Id == step) is { } tried)
                last[step] = p.Outcome == "failed" ? "" : tried.Outcomes[0];
            else if (act is OwnerTold t) last.TryAdd(t.Check, t.Outcome);
        var wrong = sheet.Checks.Where(c => c.TargetKind == "signal" && c.How != "ask" && c.Powered != false && !HouseOnly(sheet, c) && last.TryGetValue(c.Id, out var outcome) && outcome != c.Outcomes[0]).ToList();
        if (wrong.Count == 0) wrong = [.. sheet.Functions.Select(f => sheet.Checks.First(c => c.Id == f.Check)).Where(c => c.TargetKind == "signal").Take(1)];
        return [.. wrong.Take(LooksPerSwap)];
    }

    private static IEnumerable<(string Position, string Piece, string System)> Swaps(ShopState state, string job, TypeSheet sheet, BuiltCase built)
    {
        var map = built.Maps[built.System];
        foreach (var shops in state.Pieces.Values.Where(p => p.Owner == Party.Shop && !p.Gone && p.Where.System is null && (p.LentTo is null || p.LentTo == job)).OrderByDescending(p => p.KnownGood).ThenBy(p => p.Id, StringComparer.Ordinal))
        {
            if (state.CardOf(shops.Id) is { ReservedFor: { } other } && other != job) continue;
            foreach (var position in sheet.Positions.Where(p => p.Kind == shops.Kind && !p.House))
                if (map.TryGetValue(position.Id, out var there) && !there.StartsWith("bench:", StringComparison.Ordinal) && built.Case.Pieces.Any(p => p.Id == there && p.Origin is not null))
                    yield return (position.Id, shops.Id, built.System);
        }
        // The other direction: the suspect goes into the mule, and the good piece stays out of harm's way.
        foreach (var mule in state.Systems.Values.Where(s => s.Job is null).OrderBy(s => s.Id, StringComparer.Ordinal).Take(1))
            foreach (var (position, piece) in map.Where(m => built.Case.Pieces.Any(p => p.Id == m.Value && p.Origin is not null)))
                if (built.Maps.ContainsKey(mule.Id) && sheet.Positions.First(p => p.Id == position) is { House: false }) yield return (position, piece, mule.Id);
    }
}
