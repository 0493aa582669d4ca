using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A reading that next to nobody would have foretold is made once more before anything is built on it: wrong leads, wrong range, the other
/// station, a word misheard. The same again is no evidence twice; something else says that one of the two was a slip, or that it comes and goes. What it is worth is the
/// slip it shows up.</summary>
internal sealed class ReadAgain(ShopState state, string job, TypeSheet sheet, BuiltCase built, Doubt doubt, GateKeeper gate)
{
    /// <summary>Foretold with a smaller chance than this, a reading is worth a second look.</summary>
    private const double Surprising = 0.1;

    /// <summary>Share of looks whose outcome goes onto the tape as another (estimate), and the share of a failed proof that such a one costs, on average (estimate).</summary>
    private const double Slips = 0.02, Costs = 0.5;

    /// <summary>An entry of many looks is foretold with less than any of them: none is taken to have been less likely than this.</summary>
    private const double LeastForetold = 0.005;

    /// <summary>Older looks than these few have been built on already.</summary>
    private const int Latest = 4;

    /// <summary>The most surprising of the latest looks, or null when none is, or it was made twice already.</summary>
    /// <param name="active">The bundle whose set-up stands.</param>
    public MoveLine? Next(Posterior belief, string? active)
    {
        var tape = state.TapeOf(job);
        var live = built.Setting.Circumstances.GetValueOrDefault("feed", "off") != "off";
        var log = belief.Entries.GroupBy(e => e.Entry).ToDictionary(g => g.Key, g => g.Sum(e => e.LogPredictive));
        // Looks since anything was changed; the rest of the tape is another hook-up.
        var since = tape.Reverse().TakeWhile(e => e.Act is not (Mended or Fitted or Pulled or Reseated or HookUpRepaired or SystemSetUp or Powered or Unpowered or SoakBegun)).ToList();
        var lines = from entry in since.Where(e => e.Act is Checked or GridChecked).Take(Latest)
                    from look in Looks(entry.Act)
                    let check = sheet.Checks.FirstOrDefault(c => c.Id == look.Check)
                    where check is { Repeatable: false } && check.Outcomes.Length > 1 && (check.Powered is not { } wants || wants == live)
                    where (entry.Act is Checked ? Made(look.Check) == 1 : Looks(entry.Act).All(l => Made(l.Check) == 0)) && log.TryGetValue(entry.Id, out var ln) && ln < Math.Log(Surprising)
                    let p = Math.Max(LeastForetold, Math.Exp(log[entry.Id]))
                    let slip = Slips / (check.Outcomes.Length - 1) / (Slips / (check.Outcomes.Length - 1) + p)
                    let minutes = check.Minutes + (check.Bundle is { } b && b != active ? sheet.Bundles.FirstOrDefault(x => x.Id == b)?.SetUpMinutes ?? 1 : 0)
                    let saves = slip * Costs * doubt.Missed
                    where saves >= minutes
                    orderby saves / minutes descending
                    let barred = gate.Check(new Checked(job, built.System, check.Id, check.Outcomes[0], check.Throws, ImmutableDictionary<string, string>.Empty, null))
                    where barred.Allowed
                    select Line(look.Outcome, check, p, slip, minutes, saves);
        return lines.FirstOrDefault() ?? Disputed(since, live, active);

        int Made(string check) => since.Count(e => e.Act is Checked c && c.System == built.System && c.Check == check);
    }

    /// <summary>A rail that kills, read twice in one hook-up and not alike: one of the two is a slip, and a third look tells which before anything sound meets it.</summary>
    private MoveLine? Disputed(List<Entry> since, bool live, string? active)
    {
        foreach (var (rail, check) in KillingRail.Of(sheet).SelectMany(r => r.Checks.Select(c => (r, c))).Where(_ => live))
        {
            var seen = since.Select(e => e.Act).OfType<Checked>().Where(c => c.System == built.System && c.Check == check.Id).Select(c => c.Outcome).ToList();
            if (seen.Count != 2 || seen[0] == seen[1] || !seen.Exists(o => rail.Kills(check, o))) continue;
            var minutes = check.Minutes + (check.Bundle is { } b && b != active ? sheet.Bundles.FirstOrDefault(x => x.Id == b)?.SetUpMinutes ?? 1 : 0);
            return Line(seen[0], check, 1, 0.5, minutes, Costs * doubt.Missed);
        }
        return null;
    }

    /// <summary>What an entry says of single looks: of a grid, what failed. A step of the proof is tried with care, more than once, as it is.</summary>
    private IEnumerable<(string Check, string Outcome)> Looks(Act act) => act switch
    {
        Checked c when c.System == built.System => [(c.Check, c.Outcome)],
        GridChecked g when g.System == built.System => g.Outcomes.Where(o => sheet.Checks.FirstOrDefault(c => c.Id == o.Key) is { } c && c.Outcomes[0] != o.Value).OrderBy(o => o.Key, StringComparer.Ordinal).Select(o => (o.Key, o.Value)),
        _ => [],
    };

    private MoveLine Line(string outcome, CheckSpec check, double p, double slip, double minutes, double saves)
    {
        return new($"again:{check.Id}", "look", $"Once more: {check.Words}", check.Id, built.System, [], minutes, 0, saves / Math.Max(0.5, minutes), "tells a slip from a finding", "",
            p >= 1 ? "Read twice and not alike: one of the two was a slip, and a good piece would pay for taking the wrong one." : string.Create(CultureInfo.InvariantCulture, $"That it would read so was foretold {Words.Band(p)}: a slip before it is a fault ({Words.Band(slip)})."),
            [.. check.Outcomes.Select(o => o == outcome ? new OutcomeLine(o, 1 - slip, "it stands") : new OutcomeLine(o, slip / (check.Outcomes.Length - 1), p >= 1 ? "the last reading was a slip" : "one of the two was a slip, or it comes and goes"))],
            null, check.Throws)
        { SavesMinutes = saves };
    }
}
