using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What the journal says of one set's gates: which checks were made since each gate last fell.</summary>
internal sealed class GateRecord
{
    /// <summary>A pause longer than this ends a sitting.</summary>
    private static readonly TimeSpan Sitting = TimeSpan.FromHours(12);

    private readonly TypeSheet sheet;
    private readonly ShopState state;
    private readonly string system;
    private readonly List<Entry> entries;
    private readonly DateTimeOffset now;
    private readonly bool positiveGround;

    /// <summary>Whether the set was under power when each entry was made.</summary>
    private readonly List<bool> on = [];

    /// <param name="at">The moment asked about; null = the newest entry's.</param>
    public GateRecord(ShopState state, string system, TypeSheet sheet, DateTimeOffset? at)
    {
        (this.sheet, this.system, this.state) = (sheet, system, state);
        var (job, entity) = (state.Systems.GetValueOrDefault(system)?.Job, "system:" + system);
        positiveGround = job is not null && Ground.IsPositive(state, job);
        // A piece mended on the bench changes the set it comes from, and a step of the proof is taken on it, though the acts do not name the set.
        entries = [.. state.Effective.Where(e => e.Entities.Contains(entity) || (job is not null && (e.Act is Mended m && m.Job == job || e.Act is Proved p && p.Job == job)))];
        var live = false;
        foreach (var entry in entries)
        {
            live = entry.Act switch { Powered p => p.Feed != "off", Unpowered => false, _ => live };
            on.Add(live);
        }
        now = at ?? (entries.Count == 0 ? DateTimeOffset.MinValue : entries.Max(When));
        WasPowered = entries.Any(e => e.Act is Powered { Feed: not "off" } || SaidOn(e.Act));
        WasLimited = entries.Any(e => e.Act is Powered { Feed: "lamp" or "limited" });
        IsPowered = state.Systems.GetValueOrDefault(system)?.Powered == true;
        HighVoltage = EraGates.HighVoltage(sheet);
    }

    public bool RailOpen(KillingRail rail) => rail.IsOpen(state, sheet, system, positiveGround, entries);

    public bool WasPowered { get; }
    public bool WasLimited { get; }
    public bool IsPowered { get; }
    public bool HighVoltage { get; }

    private static DateTimeOffset When(Entry e) => e.Done ?? e.Entered;

    /// <summary>True when the last word on leakage or isolation was that it did not pass; “not safe” without a number is such a word.</summary>
    public bool LeakageFailed(IEnumerable<GateSpec> gates)
    {
        var leakage = gates.Where(g => g.Leakage).ToList();
        for (var i = entries.Count - 1; i >= 0; i--)
            foreach (var gate in leakage)
                if (entries[i].Act is GateAnswered { Passed: false, Value: null, OverrideReason: null or "" } a && a.Gate == gate.Id) return true;
                else if (Judge(gate, i) is { Made: true } said) return !said.Passed;
        return false;
    }

    /// <summary>Measured with the set off: it holds till power comes back. Anything else falls with the hook-up or with a mend.</summary>
    private bool Cold(GateSpec gate) => gate.Before == "hands-in" || (gate.Before == "fit" && gate.Point is { } id && sheet.Points.FirstOrDefault(p => p.Id == id) is { Powered: false });

    public GateStanding Of(GateSpec gate)
    {
        var cold = Cold(gate);
        if (cold && IsPowered) return new(false, false, "the set is under power: switch it off, then measure");
        if (gate.Before == "hands-in" && !WasPowered && !HighVoltage) return new(true, true, "not under power since it came");
        var since = 0;
        for (var i = 0; i < entries.Count; i++)
            if (now - When(entries[i]) > Sitting || Fells(gate, cold, entries[i].Act)) since = i + 1;
        var last = LastAnswer(gate, since);
        return last >= 0 ? Judge(gate, last)!.Value : new(false, false, since > 0 ? "not since power, a change or a long pause" : "not yet");
    }

    private static bool Fells(GateSpec gate, bool cold, Act act) => gate.Before switch
    {
        "power" => act is Mended or HookUpRepaired,
        _ when cold => act is Powered or Unpowered || SaidOn(act),
        _ => act is Fitted or Pulled or HookUpRepaired or Mended,
    };

    /// <summary>It was looked at under power, though the tape does not have it on: capacitors were charged. No rail is answered by such a word.</summary>
    private static bool SaidOn(Act act) => act.Overrides?.Any(o => o.Gate == GateKeeper.SetOff) == true;

    private int LastAnswer(GateSpec gate, int since)
    {
        for (var i = entries.Count - 1; i >= since; i--)
            if (Judge(gate, i) is { Made: true }) return i;
        return -1;
    }

    /// <summary>Null when the entry says nothing of the gate. A gate with a limit is answered by a measured value only.</summary>
    private GateStanding? Judge(GateSpec gate, int at)
    {
        switch (entries[at].Act)
        {
            case GateAnswered a when a.Gate == gate.Id:
                if (Measured(gate) && a.Value is null) return null;
                if (a.OverrideReason is { Length: > 0 } why) return new(true, true, $"overridden: {why}");
                return a.Passed && Within(gate, a.Value) ? new(true, true, null) : new(true, false, a.Value is { } v ? string.Create(CultureInfo.InvariantCulture, $"measured {v:G4}: not passed") : "answered, and not passed");
            case ReadingTaken r when gate.Point is not null && r.Point == gate.Point && sheet.Points.FirstOrDefault(p => p.Id == gate.Point) is { } point && TypedReading.Tells(point.Quantity, r.Quantity):
                var good = Within(gate, AsWritten(r)) && InLimits(r);
                // What leaks is not waved away because nobody wrote down that it was on.
                if (Live(gate, point) && !on[at] && (good || !gate.Leakage)) return null;
                return good ? new(true, true, $"read: {r.Typed}") : new(true, false, $"read {r.Typed}: not within its limits");
            default: return null;
        }
    }

    /// <summary>Answered by a reading under power only. Before power, and before hands go in, the same point is read with the set off.</summary>
    private static bool Live(GateSpec gate, PointSpec point) => point.Powered && gate.Before is "fit" or "soak";

    internal static bool Measured(GateSpec gate) => gate.Below is not null || gate.Above is not null;

    private static bool Within(GateSpec gate, double? value) =>
        (gate.Below is not { } below || (value is { } v && Math.Abs(v) < below)) && (gate.Above is not { } above || (value is { } u && u > above));

    private double AsWritten(ReadingTaken reading) => Ground.AsWritten(positiveGround, reading.Quantity, reading.Value);

    private bool InLimits(ReadingTaken reading) =>
        sheet.Points.FirstOrDefault(p => p.Id == reading.Point) is not { } p || ((p.Low is not { } low || AsWritten(reading) >= low) && (p.High is not { } high || AsWritten(reading) <= high));
}
