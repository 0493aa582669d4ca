using Bellwire.Counsel;
using Bellwire.Reasoning;

namespace Bellwire.Perf.Benches;

/// <summary>The practised order of a careful shop, played as the trade reference writes it: the first ten minutes for this kind of set
/// (§2.12), reseat before replace and measure before replace (§4.1), the check that splits each usual confusion (§3.11), then the swap,
/// the suspect into the mule first (§4.2), and the suspect refitted to see the fault come back (§4.3). No odds are reckoned.</summary>
internal sealed class PractisedOrder : IOrder
{
    public string Name => "practised";

    /// <summary>What is measured for a function that fails, in order; what is reseated; what is swapped.</summary>
    private static readonly (string Function, string[] Looks, string[] Reseats, string[] Swaps)[] Splits =
    [
        ("aux", ["look-speaker-plug", "ohms-speaker", "amp-pin", "mute-line", "inject-source", "trace", "esr-coupling"], ["audio", "speaker"], ["audio", "amp", "speaker"]),
        ("clock", ["rail5-volts", "reset", "reset-pin", "key-lines", "look-ribbon", "filament"], ["display", "control"], ["display", "control"]),
        ("keys", ["ohms-keys", "reset", "reset-pin", "key-lines"], ["keypad", "control"], ["keypad", "control"]),
        ("presets", ["cell-volts"], ["control"], ["control", "supply"]),
        ("fm", ["tune-volts", "synth-lock", "if-inject", "drift-watch", "mute-line"], ["tuner"], ["tuner", "audio"]),
        ("am", ["look-am-lead", "tune-volts", "synth-lock", "drift-watch"], ["tuner"], ["tuner"]),
        ("tone", ["inject-source"], ["audio"], ["audio", "keypad"]),
        ("room-", ["terminal-{n}"], [], ["terminals"]),
        ("talk-", ["relay-coil", "inject-preamp", "look-speaker-plug"], ["intercom"], ["intercom", "terminals"]),
        ("answer-", ["relay-coil", "inject-preamp"], ["intercom"], ["intercom", "terminals"]),
        ("call-", ["relay-coil", "inject-preamp"], ["intercom"], ["intercom"]),
        ("chime-", ["chime-generator", "look-chime-input"], ["chime"], ["chime", "supply"]),
        ("door-", ["look-door-input", "relay-coil", "inject-preamp"], ["intercom"], ["intercom", "terminals"]),
        ("mutes", ["mute-line", "relay-coil", "reset"], [], ["audio", "intercom"]),
    ];

    public void Work(Day day)
    {
        HashSet<string> tried = [];
        FirstTenMinutes(day);
        var failing = Sweep(day, day.Sheet.Functions.Select(f => f.Check));
        while (!day.IsProved && day.Minutes < Trial.MostMinutes)
        {
            if (failing.Count == 0)
            {
                var proof = day.Prove();
                if (day.IsProved) return;
                failing = [.. proof.Select(f => f.Check)];
            }
            Mended = 0;
            // Supply before signal, and what is wrong everywhere before what is wrong in one place (§4.1).
            if (failing.Count > 15 || failing.Any(f => !f.StartsWith("fn-", StringComparison.Ordinal))) Supply(day, failing.Contains("ohms-raw"));
            foreach (var split in Splits)
            {
                if (Mended > 0) break;
                if (failing.FirstOrDefault(f => f.StartsWith("fn-" + split.Function, StringComparison.Ordinal)) is not { } f) continue;
                if (tried.Add("careful " + f) && !day.IsReallyWrong(f)) { failing.Remove(f); continue; }
                Split(day, f[3..], split, tried);
            }
            if (Mended > 0) failing = Sweep(day, failing.Where(f => f.StartsWith("fn-", StringComparison.Ordinal)));
            else if (failing.Count > 0) { Fallback.GoOn(day, tried); failing = []; }
        }
    }

    /// <summary>Which of these functions fail now.</summary>
    private static List<string> Sweep(Day day, IEnumerable<string> functions) =>
        [.. functions.Where(f => day.Sheet.Checks.First(c => c.Id == f) is { TargetKind: "signal" } spec && day.Look(f) is { } seen && seen != spec.Outcomes[0])];

    private int Mended { get; set; }

    private void FirstTenMinutes(Day day)
    {
        Look(day, "look-fuse");
        Look(day, "look-board");
        if (Mended == 0) Look(day, "ohms-fuse");
        if (Look(day, "ohms-raw") == "short") Look(day, "ohms-rectifier");
        Supply(day, false);
        Look(day, "supply-current");
    }

    /// <summary>Supply before signal: AC, raw, rails, ripple; what fails is followed to its part.</summary>
    private void Supply(Day day, bool shorted)
    {
        if (shorted) { if (Look(day, "ohms-raw") == "short" || Look(day, "amp-pin") != "half-rail") Fix(day, "amp", "output", "shorted"); }
        if (Look(day, "ac-volts") is { } ac && ac != "good") Look(day, ac == "half" ? "ohms-halves" : "ohms-primary");
        var raw = Look(day, "raw-volts");
        if (raw == "none") { Look(day, "ohms-fuse"); Look(day, "ohms-rectifier"); }
        if (raw == "low") { Look(day, "amp-pin"); Look(day, "heat"); }
        if (raw != "none")
        {
            var five = Look(day, "rail5-volts");
            if (five == "high") Fix(day, "supply", "reg5", "shorted");
            if (five == "dead") Fix(day, "supply", "reg5", "open");
            if (Look(day, "rail12-volts") is "dead" or "low") { if (Look(day, "tap-flex") == "cracked") return; Fix(day, "supply", "reg12", "low"); }
            switch (Look(day, "raw-ripple"))
            {
                case "twice": if (Look(day, "esr-reservoir") == "good") Fix(day, "supply", "reservoir", "dry"); break;
                case "line": Look(day, "ohms-halves"); if (Look(day, "ohms-rectifier") is "good") Fix(day, "supply", "rectifier", "half"); break;
            }
        }
    }

    /// <summary>One failing function: its looks, a reseat, then the swaps. True when something was put right.</summary>
    private bool Split(Day day, string function, (string Function, string[] Looks, string[] Reseats, string[] Swaps) split, HashSet<string> tried)
    {
        foreach (var look in split.Looks.Select(l => l.Replace("{n}", function.Split('-')[^1], StringComparison.Ordinal)))
        {
            Look(day, look);
            if (Mended > 0) return true;
        }
        var seen = "fn-" + function;
        var good = day.Sheet.Checks.First(c => c.Id == seen).Outcomes[0];
        foreach (var position in split.Reseats.Where(p => tried.Add($"reseat {function} {p}")))
        {
            day.Reseat(position);
            if (Look(day, seen) == good) { Mended++; return true; }
        }
        foreach (var position in split.Swaps.Where(p => tried.Add($"swap {function} {p}")))
        {
            if (!day.Swap(position, CaseBuilder.PieceAt(Day.Job, position), Day.Mule)) continue;
            var follows = day.Look(seen, Day.Mule) != good;
            day.PutBack(position);
            // Refit the suspect and see the fault come back.
            if (!follows) continue;
            if (Look(day, seen) == good) { Mended++; return true; }
            day.GoThrough(position);
            Mended++;
            return true;
        }
        return false;
    }

    /// <summary>Looks, and mends at once what a part's own check finds bad.</summary>
    private string? Look(Day day, string check)
    {
        if (day.Sheet.Checks.All(c => c.Id != check)) return null;
        var spec = day.Sheet.Checks.First(c => c.Id == check);
        var outcome = day.Look(check);
        if (outcome is null || spec.TargetKind != "site" || outcome == spec.Outcomes[0] || check == "look-reservoir") return outcome;
        var dot = spec.Target.IndexOf('.', StringComparison.Ordinal);
        var (position, site) = (spec.Target[..dot], spec.Target[(dot + 1)..]);
        var mode = spec.Matrix[outcome].Where(m => m.Key != "good").MaxBy(m => m.Value).Key;
        Fix(day, position, site, mode);
        return outcome;
    }

    private void Fix(Day day, string position, string site, string mode)
    {
        var ofPosition = day.Sheet.Family.Positions.First(p => p.Id == position).Sites.Any(s => s.Id == site);
        day.Mend(ofPosition ? SiteRef.OfPosition(Day.Set, position, site) : SiteRef.OfPiece(CaseBuilder.PieceAt(Day.Job, position), site), mode);
        Mended++;
    }
}
