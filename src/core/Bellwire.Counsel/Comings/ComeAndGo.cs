using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Signals;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A fault that comes and goes: what the clean hours so far are worth, what swapping back and forth has shown, when to stop, what the owner is told.</summary>
/// <param name="Lines">For the bench, in sentences.</param>
/// <param name="ForOwner">For the owner's papers.</param>
/// <param name="Enough">True when going on is no longer worth the wait.</param>
/// <param name="CleanHours">Hours run since anything was changed, without it.</param>
public sealed record ComeAndGo(ImmutableArray<string> Lines, ImmutableArray<string> ForOwner, bool Enough, double CleanHours)
{
    /// <summary>Nobody lets a set run longer than this for one fault (common practice, no source).</summary>
    private const double LongestSoak = 72;

    /// <summary>So sure that it would have shown, the clean run is held to be proof (common practice, no source).</summary>
    private const double Shown = 0.9;

    /// <summary>Before the first swap: as likely in the piece as elsewhere, now and then the contact (estimates). What the legs say is to stand by itself.</summary>
    private static readonly (double Piece, double Contact) Even = (0.45, 0.1);

    /// <summary>From here on a fault that comes and goes is worth speaking of.</summary>
    private const double LeastIntermittent = 0.1;

    /// <returns>Null when nothing on the tape comes and goes.</returns>
    public static ComeAndGo? Of(ShopState state, string job, TypeSheet sheet, Weighed weighed)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(weighed);
        var tape = state.TapeOf(job).Select(e => e.Act).ToList();
        var account = tape.OfType<ComesAndGoes>().LastOrDefault();
        var set = state.Jobs[job].System;
        var (looks, clean, spells) = Since(sheet, tape, set);
        var wavering = looks.Where(l => l.Before.Tried > l.Before.Failed && l.Before.Failed > 0).ToList();
        var names = new Namer(state, sheet, weighed.Built);
        var modes = weighed.Weighing.Posterior is not { } belief ? [] : (from s in belief.Sites
                     from m in s.Now
                     where m.Value >= LeastIntermittent && Shows(sheet, weighed, s.Site, m.Key) is > 0 and < 1
                     orderby m.Value descending
                     select (names.Fault(s.Site, m.Key), m.Value, Shows: Shows(sheet, weighed, s.Site, m.Key)!.Value)).Take(2).ToList();
        if (account is null && wavering.Count == 0 && modes.Count == 0) return null;
        var lines = ImmutableArray.CreateBuilder<string>();
        var owner = ImmutableArray.CreateBuilder<string>();
        foreach (var (fault, p, shows) in modes) lines.Add(Said($"{Upper(fault)}, {Quantities.Words.Band(Math.Clamp(p, 0, 1))}: it shows {Quantities.Words.Band(shows)} at a trial, so one clean look clears little."));
        var enough = false;
        if (account is { } told)
        {
            var run = CleanRun.ByHours(told.Times, told.Weeks, told.HoursAWeek, Math.Round(clean, 1));
            var hour = CleanRun.ByHours(told.Times, told.Weeks, told.HoursAWeek, 1).WouldHaveShown;
            var left = Math.Max(0, run.ForNineInTen - clean);
            lines.Add(Said($"{run.Words} The first clean hour is worth {100 * hour:0.#} in 100."));
            if (spells > 0) lines.Add($"It showed {(spells == 1 ? "once" : $"{spells} times")} in the soak since the last change: the fault is still there.");
            else if (run.WouldHaveShown >= Shown) { enough = true; lines.Add("That is enough: prove it and send it home, with what was seen."); }
            else if (run.ForNineInTen > LongestSoak) { enough = clean >= LongestSoak; lines.Add(Said($"{left:0} hours more would be needed to be 9 in 10 sure, longer than anybody soaks: run it {LongestSoak:0} hours at most, then say to the owner what is known, and what is not.")); }
            else lines.Add(Said($"{left:0.#} clean hours more, and it is 9 in 10 sure; it may run while other work is done, with a call and a chime each quarter of an hour."));
            if (clean > 0 && spells == 0) owner.Add(Said($"It ran here for {Hours(clean)} without showing what you told of. As often as it came at your house, {Round(run.WouldHaveShown)} in 100 would have shown by then; so {(run.WouldHaveShown >= Shown ? "it is most likely gone, though no run can prove it" : "it may still be there")}."));
        }
        foreach (var l in wavering)
        {
            var after = CleanRun.ByTrials(l.Before.Failed, l.Before.Tried, l.Now.Tried - l.Now.Failed);
            var words = sheet.Checks.FirstOrDefault(c => c.Id == l.Check)?.Words ?? l.Check;
            if (l.Changed && l.Now is { Tried: > 0, Failed: 0 }) lines.Add($"{words}: {after.Words}");
            else if (!l.Changed) lines.Add($"{words}: wrong {l.Before.Failed} of {l.Before.Tried} times with nothing changed. It comes and goes: after a change, {(int)after.ForNineInTen} clean trials are worth 9 in 10.");
        }
        foreach (var (piece, legs, suspectIn) in SwapsBackAndForth(state, sheet, tape, set))
            lines.Add(SwapLegs.Of(legs, Even).Say(names.Piece(piece), suspectIn));
        owner.Add("Should it come again: note the hour, the weather, what was switched on just before, and whether one room or all of them; a telephone recording helps. Nothing at line voltage is for anybody but an electrician.");
        return new(lines.ToImmutable(), owner.ToImmutable(), enough, clean);
    }

    private sealed record Tally(int Tried, int Failed);

    /// <summary>Each look with how often it was tried and wrong before and since the last change; the clean hours since, and the times the watch noticed something.</summary>
    private static (List<(string Check, Tally Before, Tally Now, bool Changed)> Looks, double Clean, int Spells) Since(TypeSheet sheet, List<Act> tape, string? set)
    {
        var all = new Dictionary<string, (int T, int F, int NowT, int NowF)>();
        var (clean, spells, changed) = (0.0, 0, false);
        void See(string check, bool wrong)
        {
            var s = all.GetValueOrDefault(check);
            all[check] = changed ? s with { NowT = s.NowT + 1, NowF = s.NowF + (wrong ? 1 : 0) } : s with { T = s.T + 1, F = s.F + (wrong ? 1 : 0) };
        }
        foreach (var act in tape)
            switch (act)
            {
                case Checked c when c.System == set: See(c.Check, c.Outcome != GoodOf(sheet, c.Check)); break;
                case SoakEnded s: if (s.Events == 0) clean += s.Listened; else spells += s.Events; break;
                case Mended or Fitted or Pulled or Reseated or HookUpRepaired:
                    (clean, spells, changed) = (0, 0, true);
                    foreach (var key in all.Keys.ToList()) all[key] = all[key] with { NowT = 0, NowF = 0 };
                    break;
            }
        return ([.. all.Select(x => (x.Key, new Tally(x.Value.T, x.Value.F), new Tally(x.Value.NowT, x.Value.NowF), changed))], clean, spells);
    }

    /// <summary>A position where the owner's piece and the shop's went in and out, one look being tried in each leg.</summary>
    private static IEnumerable<(string Piece, List<SwapLeg> Legs, bool SuspectIn)> SwapsBackAndForth(ShopState state, TypeSheet sheet, List<Act> tape, string? set)
    {
        foreach (var position in tape.OfType<Fitted>().Where(f => f.System == set).Select(f => f.Position).Distinct())
        {
            var start = tape.OfType<SystemSetUp>().LastOrDefault(s => s.System == set)?.Pieces.GetValueOrDefault(position);
            if (start is null || state.Pieces.GetValueOrDefault(start)?.Owner == Party.Shop) continue;
            // The look that was tried most often while pieces changed here, wrong at least once.
            var looks = tape.OfType<Checked>().Where(c => c.System == set).GroupBy(c => c.Check).Where(g => g.Any(c => c.Outcome != GoodOf(sheet, c.Check))).OrderByDescending(g => g.Count()).FirstOrDefault()?.Key;
            if (looks is null) continue;
            var legs = new List<SwapLeg>();
            var (own, tried, failed) = (true, 0, 0);
            void Close() { if (tried > 0) legs.Add(new(own, tried, failed)); (tried, failed) = (0, 0); }
            foreach (var act in tape)
                if (act is Checked c && c.System == set && c.Check == looks) (tried, failed) = (tried + 1, failed + (c.Outcome == GoodOf(sheet, looks) ? 0 : 1));
                else if (act is Fitted f && f.System == set && f.Position == position) { Close(); own = f.Piece == start; }
            Close();
            if (legs.Count >= 2 && legs.Any(l => !l.Suspect)) yield return (start, legs, own);
        }
    }

    /// <summary>What the look most often shows in a good set.</summary>
    private static string? GoodOf(TypeSheet sheet, string id)
    {
        if (sheet.Checks.FirstOrDefault(c => c.Id == id) is not { } check) return null;
        var good = sheet.Family.Signals.FirstOrDefault(s => s.Id == check.Target)?.States[0] ?? "good";
        return check.Outcomes.MaxBy(o => check.Matrix[o].GetValueOrDefault(good));
    }

    private static double? Shows(TypeSheet sheet, Weighed weighed, SiteRef site, string mode)
    {
        var sites = site.Piece is { } piece ? sheet.Family.Kinds.First(k => k.Id == weighed.Built.Case.Pieces.First(p => p.Id == piece).Kind).Sites : sheet.Family.Positions.First(p => p.Id == site.Position).Sites;
        return sites.FirstOrDefault(s => s.Id == site.Site)?.Modes.FirstOrDefault(m => m.Id == mode)?.ShowsPerTrial;
    }

    private static string Hours(double hours) => hours == 1 ? "one hour" : Said($"{hours:0.#} hours");
    private static string Round(double share) => Said($"{Math.Round(100 * share):0}");
    private static string Upper(string words) => char.ToUpperInvariant(words[0]) + words[1..];
    private static string Said(FormattableString words) => words.ToString(CultureInfo.InvariantCulture);
}
