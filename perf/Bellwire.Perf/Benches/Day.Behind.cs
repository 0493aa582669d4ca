using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Perf.Benches;

/// <summary>Behind the bench: what is really so, and what becomes of it on paper.</summary>
internal sealed partial class Day
{
    private void Say(string words) => Trace?.WriteLine(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Minutes,6:0.0}  {words}"));

    private bool PassFitGates(string piece)
    {
        // The rails are read warm, in this supply, before a good piece meets them.
        Spend("gate", 8);
        if (!PowerOn(Set)) return false;
        double Rail(string signal, double good, double low, double high) => _sheet.Family.Signals.All(s => s.Id != signal) ? good : _world.Read(Set, Observed(new Checked(Job, Set, ProofChecks.Last().Id, "good", None, None, 0))!.Setting, new Target.OfSignal(signal)) switch
        {
            "good" or "twice-ripple" or "line-ripple" => good, "low" => low, "high" => high, _ => 0,
        };
        var values = new Dictionary<string, double?> { ["discharged"] = 0.1, ["fit-discharged"] = 0.1, ["rail5-safe"] = Rail("rail5", 5, 3, 16), ["rail12-safe"] = Rail("rail12", 12, 8, 16), ["raw-safe"] = Rail("raw", 16.5, 9, 20) };
        PowerOff(Set);
        foreach (var g in _sheet.Gates.Where(g => g.Before == "fit")) Record(new GateAnswered(Job, Set, g.Id, true, values.GetValueOrDefault(g.Id), null, null));
        return GateKeeper.Check(Written, Job, _sheet, new Fitted(Job, piece, Set, _sheet.Positions.First(p => p.Kind == _real.Pieces[piece].Kind).Id)).Allowed;
    }

    /// <summary>The reservoir is measured before a hand goes in.</summary>
    private void PassHandGates()
    {
        foreach (var gate in GateKeeper.Lines(Written, Job, _sheet).Where(g => g is { Before: "hands-in", Passed: false }))
        {
            Spend("gate", 1);
            Record(new GateAnswered(Job, Set, gate.Id, true, 0.1, null, null));
        }
    }

    private bool IsSound(string position)
    {
        var own = CaseBuilder.PieceAt(Job, position);
        return !_world.Now.Any(s => s.Value != "good" && (s.Key.StartsWith(own + ".", StringComparison.Ordinal) || s.Key.StartsWith($"{Set}/{position}.", StringComparison.Ordinal)));
    }

    private void Spend(string on, double minutes)
    {
        Minutes += minutes;
        Spent[on] = Spent.GetValueOrDefault(on) + minutes;
    }

    private void Pay(CheckSpec spec)
    {
        if (spec.Bundle != _bundle || spec.Bundle is null) Spend("set-up", _sheet.Bundles.FirstOrDefault(b => b.Id == spec.Bundle)?.SetUpMinutes ?? 1);
        _bundle = spec.Bundle;
        Spend("look", spec.Minutes);
    }

    private void Tell()
    {
        var dead = false;
        foreach (var check in _sheet.Checks.Where(c => c.Owner && c.TargetKind == "signal").OrderBy(c => c.Id == "told-life" ? 0 : c.Id == "told-hum" ? 1 : 2))
        {
            var state = _world.Read(Set, _sheet.Home(check.Throws), new Target.OfSignal(check.Target));
            var matrix = check.OwnerMatrix ?? check.Matrix;
            var outcome = check.Outcomes[_lot.Pick("told " + check.Id, [.. check.Outcomes.Select(o => matrix[o].GetValueOrDefault(state))])];
            var bad = outcome != check.Outcomes[0];
            // A fifth of what is wrong goes unsaid; of what is right, one thing in ten is mentioned; a dead set has no more to tell.
            if (check.Id is not ("told-life" or "told-hum") && (dead || _lot.Of("said " + check.Id) > (bad ? 0.8 : 0.1))) continue;
            Told[check.Id] = outcome;
            Both(new OwnerTold(Job, check.Id, outcome, null));
            dead |= check.Id == "told-life" && outcome == "dead";
        }
        foreach (var cause in _sheet.Family.Causes)
        {
            var really = _world.Cause(Job, cause.Id);
            var said = _lot.Pick("told cause " + cause.Id, really ? [0.6, 0.15] : [0.05, 0.6]);
            if (_lot.Of("cause said " + cause.Id) < 0.75) Both(new CauseTold(Job, cause.Id, said == 0, null));
        }
    }

    /// <summary>The engine's own view of a look that is not made yet: which signal or site, under which setting.</summary>
    private CaseEvent.Observe? Observed(Checked act) =>
        CaseBuilder.From(With(_real, _done, act), Job, _sheet).Case.Events.LastOrDefault() as CaseEvent.Observe;

    private ShopState With(ShopState state, List<Entry> before, Act act) => Replay.Continue(state, before, [Line(state, act, null)]);

    private Entry Line(ShopState state, Act act, long? after) => new(state.Head + 1, $"e{state.Head + 1}-{_said++}", DateTimeOffset.UnixEpoch.AddMinutes(Minutes),
        null, after, [Job], Touches.Of(state, act).Entities, act, "", "");

    private void Both(Act act)
    {
        Really(act);
        Record(act);
    }

    /// <summary>Done for real; written down at once, or late, or never.</summary>
    private void Write(Act act, bool kills = false, bool forgettable = false)
    {
        if (kills && act is Powered on) CountKills(on.System);
        Really(act);
        Play();
        var name = $"{_done.Count} {act.GetType().Name}";
        if (forgettable && _lot.Of("forgotten " + name) < _kind.Forgotten) return;
        if (act is Reseated or Mended && _late.Count == 0 && _lot.Of("late " + name) < _kind.Late) _late.Enqueue((act, Written.Head));
        else Append(act, null);
    }

    private void Record(Act act)
    {
        Append(act, null);
        while (_late.TryDequeue(out var late)) Append(late.Act, late.After);
    }

    private void Append(Act act, long? after)
    {
        var line = Line(Written, act, after);
        Written = Replay.Continue(Written, _written, [line]);
        _written.Add(line);
    }

    private void Really(Act act)
    {
        var line = Line(_real, act, null);
        _real = Replay.Continue(_real, _done, [line]);
        _done.Add(line);
    }

    /// <summary>What was done since, acted out in the world.</summary>
    private void Play()
    {
        var events = CaseBuilder.From(_real, Job, _sheet).Case.Events.Where(e => e is not CaseEvent.Observe).ToList();
        foreach (var e in events.Skip(_played))
        {
            _world.Act(e, _acts++);
            if (e is not CaseEvent.PowerUp) _changes++;
        }
        _played = events.Count;
    }

    private void CountKills(string system)
    {
        var setting = CaseBuilder.From(With(_real, _done, new Powered(Job, system, "limited", null)), Job, _sheet).Case.Events.OfType<CaseEvent.PowerUp>().Last().Setting;
        var look = new PlainLook(_world, _truth, system, setting, null);
        foreach (var h in _truth.Hazards)
        {
            // A fuse that blows is a result, not a loss.
            if (h.Position == "fuse" || _world.SiteAt(system, h.Position, h.Site) is not { } target || _world.Now[target.ToString()] != "good" || !look.Holds(h.Trigger)) continue;
            if (!h.EachTime && !_counted.Add($"{h.Id} {target}")) continue;
            ExpectedKills += h.Chance;
            Say($"power on {system} endangers {target} ({h.Chance:0.00})");
        }
    }
}
