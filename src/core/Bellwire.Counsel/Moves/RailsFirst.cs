using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>The safer hook-up before power: the pieces that a rail out of bounds would kill are unplugged, the rail is read without them, and only
/// then do they meet it (common practice, no source; the trade reads a doubtful supply into a dummy load before any good board goes in).
/// Offered where the loss it averts is worth more than the minutes it takes.</summary>
internal sealed class RailsFirst(ShopState state, string job, TypeSheet sheet, BuiltCase built, Losses losses, GateKeeper gates)
{
    /// <summary>Out now and in again later: one connector (estimate, as for a reseat).</summary>
    public const double UnplugMinutes = 2;

    private readonly ImmutableDictionary<string, string> map = built.Maps[built.System];

    /// <param name="Unplug">Positions to be emptied first; none when they are empty already.</param>
    /// <param name="Replug">Pieces to go back where they belong; then there is nothing to read.</param>
    /// <param name="Check">The look at the rail.</param>
    /// <param name="AvertedMinutes">Expected loss that it averts, in minutes at the shop's hourly value.</param>
    /// <param name="Killed">What power would kill as the set stands, or as it stood with everything back in place.</param>
    public sealed record Step(
        ImmutableArray<string> Unplug, ImmutableArray<(string Position, string Piece)> Replug, CheckSpec Check, MoveValue Value,
        double Minutes, double AvertedMinutes, ImmutableArray<(SiteRef Site, double Chance)> Killed);

    /// <summary>The next step, or null when power is on, or threatens nothing that is worth unplugging, or may not come on.</summary>
    public Step? Next(Weighing weighing)
    {
        // A check before power that was made and did not pass: what it found is put right first.
        if (!On && gates.Check(new Powered(job, built.System, "limited", null)).Bars.Any(b => b.Liftable && !b.Gate.StartsWith("rail-", StringComparison.Ordinal))) return null;
        Step? best = null;
        foreach (var rail in KillingRail.Of(sheet))
        {
            var step = Of(weighing, rail);
            if (step is not null && (best is null || step.AvertedMinutes > best.AvertedMinutes)) best = step;
        }
        return best;
    }

    private Step? Of(Weighing weighing, KillingRail rail)
    {
        var (check, targets) = (rail.Check, rail.Targets);
        // After a mend behind the rail the gate wants it read first, whatever the price.
        var wanted = gates.RailOpen(built.System, rail);
        ImmutableArray<(string Position, string Piece)> lying = [.. targets.Where(p => !map.ContainsKey(p)).Select(p => (p, Piece: OwnFor(p)!)).Where(x => x.Piece is not null)];
        if (lying.Length == 0 && On) return null;
        var whole = Value(weighing, check, [.. lying.Select(l => (l.Position, (string?)l.Piece))], powersUp: true);
        var sitting = targets.Where(p => map.TryGetValue(p, out var piece) && !Namer.IsStandIn(piece)).Concat(lying.Select(l => l.Position)).ToHashSet();
        ImmutableArray<(SiteRef Site, double Chance)> killed = [.. whole.Kills.Where(k => k.Value > 1e-6 && PositionOf(k.Key, lying) is { } at && sitting.Contains(at)).Select(k => (k.Key, k.Value))];
        var missed = rail.Bad.Max(s => check.Matrix[check.Outcomes[0]].GetValueOrDefault(s));
        var averted = killed.Sum(k => losses.Minutes(k.Site, k.Chance)) * (1 - missed);
        // The gate wants all out that it could kill, whatever is still thought of them.
        var left = wanted && !On ? sitting.Where(map.ContainsKey).Order(StringComparer.Ordinal).ToImmutableArray() : [];
        if (lying.Length > 0 && left.Length == 0)
        {
            // Read since the last change, and not good – too high, or dead: reading it once more tells nothing; what is behind it is put right first. Read so and otherwise, it is read a third time.
            var fresh = built.Fresh.Contains($"{built.System}:{check.Id}");
            if (fresh && (wanted || averted >= check.Minutes) && !ReadGood(rail)) return null;
            // Read good, it is as safe as a reading makes it, whatever is still thought of what feeds it.
            return wanted || (averted >= check.Minutes && !fresh)
                ? new([], [], check, Value(weighing, check, [], !On), check.Minutes, averted, killed)
                : new([], lying, check, whole, UnplugMinutes / 2 * lying.Length, 0, killed);
        }
        ImmutableArray<string> unplug = left.Length > 0 ? left : [.. sitting.Where(p => killed.Any(k => PositionOf(k.Site, lying) == p)).Order(StringComparer.Ordinal)];
        if (unplug.Length == 0) return null;
        var minutes = check.Minutes + UnplugMinutes * unplug.Length;
        // Read good and nothing behind it touched since, it has been looked at: what is still thought of what feeds it is not looked at by the rail once more.
        if (!wanted && (averted < minutes || ReadGood(rail))) return null;
        return new(unplug, [], check, Value(weighing, check, [.. unplug.Select(p => (p, (string?)null))], powersUp: true), minutes, averted, killed);
    }

    /// <summary>Whether the last look at the rail or reading of it, in a sweep or the proof too, found it good.</summary>
    private bool ReadGood(KillingRail rail) => rail.ReadGood(state.TapeOf(job).Reverse().Select(e => e.Act), sheet, built.System, Ground.IsPositive(state, job));

    private bool On => built.Setting.Circumstances.GetValueOrDefault("feed", "off") != "off";

    private string? PositionOf(SiteRef site, ImmutableArray<(string Position, string Piece)> lying) =>
        site.Piece is not { } piece ? site.Position : map.FirstOrDefault(m => m.Value == piece).Key ?? lying.FirstOrDefault(l => l.Piece == piece).Position;

    /// <summary>The owner's piece that belongs there and lies about.</summary>
    private string? OwnFor(string position)
    {
        var kind = sheet.Positions.First(p => p.Id == position).Kind;
        var own = state.Pieces.Values.Where(p => p.Job == job && p.Owner != Party.Shop && !p.Gone && p.Kind == kind && p.Where.System is null && p.Where.Place != Places.House).ToList();
        return own.Find(p => p.Id == CaseBuilder.PieceAt(job, position))?.Id ?? (own is [var only] ? only.Id : null);
    }

    private MoveValue Value(Weighing weighing, CheckSpec check, ImmutableArray<(string, string?)> swaps, bool powersUp)
    {
        var move = new Move($"rails:{check.Id}:{swaps.Length}", built.System, swaps, powersUp, Candidates.SettingFor(sheet, check, built), new Target.OfSignal(check.Target), check.Matrix);
        return weighing.Recheck([move], weighing.Try([move]))[0];
    }
}
