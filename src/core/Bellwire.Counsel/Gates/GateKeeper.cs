using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>The gates of the safety rules, kept before an act is put to the journal. A gate whose check was not made is lifted by making it,
/// not by a reason; one whose check went badly is lifted by a reason that names it. What is told after the fact has happened:
/// there a reason carries every gate, and is kept and printed.</summary>
public sealed class GateKeeper(ShopState state, string job, TypeSheet sheet, DateTimeOffset? at = null)
{
    /// <summary>What is looked at under power with the set off on the tape is refused by this name.</summary>
    public const string SetOff = "set-off";

    private readonly Dictionary<string, GateRecord> records = new(StringComparer.Ordinal);
    private readonly ImmutableArray<GateSpec> gates = EraGates.For(sheet);

    /// <summary>Acts are proposed, not recorded: power comes on before they are made.</summary>
    public bool Proposes { get; init; }

    /// <summary>The gates of the job's set and how each stands; none without a set.</summary>
    /// <param name="at">The moment asked about; null = that of the newest entry.</param>
    public static ImmutableArray<GateLine> Lines(ShopState state, string job, TypeSheet sheet, DateTimeOffset? at = null)
    {
        ArgumentNullException.ThrowIfNull(state);
        var record = new GateRecord(state, state.Jobs.GetValueOrDefault(job)?.System ?? "", sheet, at);
        return [.. EraGates.For(sheet).Select(g => (Gate: g, Now: record.Of(g))).Select(x => new GateLine(x.Gate.Id, x.Gate.Words, x.Gate.Before, x.Now.Passed, x.Now.Why) { Made = x.Now.Made })];
    }

    /// <summary>May this act be put to the journal?</summary>
    /// <param name="told">It is told after the fact (a late entry).</param>
    public static GateAnswer Check(ShopState state, string job, TypeSheet sheet, Act act, DateTimeOffset? at = null, bool told = false) => new GateKeeper(state, job, sheet, at).Check(act, told);

    /// <inheritdoc cref="Check(ShopState, string, TypeSheet, Act, DateTimeOffset?, bool)"/>
    public GateAnswer Check(Act act, bool told = false)
    {
        ArgumentNullException.ThrowIfNull(act);
        if (!state.Jobs.ContainsKey(job)) return GateAnswer.Free;
        told |= act is HookUpRepaired or SystemSetUp;
        ImmutableArray<GateBar> bars = [.. Bars(act).DistinctBy(b => b.Gate).Where(b => b.Gate != SetOff || !(told || Proposes)).Select(b => told && b.Gate != "proof" ? b with { Liftable = true } : b)];
        // One reason for the whole act carries one gate only: with several in the way it does not say which it means.
        var named = (act.Overrides ?? []).Where(o => !string.IsNullOrWhiteSpace(o.Reason)).Select(o => o.Gate).ToHashSet();
        if (bars is [var only] && OldReason(act) is { Length: > 0 }) named.Add(only.Gate);
        ImmutableArray<GateBar> left = [.. bars.Where(b => !b.Liftable || !named.Contains(b.Gate))];
        return left.IsEmpty ? GateAnswer.Free : new(left);
    }

    private static string? OldReason(Act act) => act switch { Powered p => p.OverrideReason, Fitted f => f.OverrideReason, _ => null };

    private IEnumerable<GateBar> Bars(Act act) => act switch
    {
        Powered { Feed: not "off" } p => Powering(p),
        Checked c => Looking(c.System, [c.Check]),
        GridChecked g => Looking(g.System, g.Outcomes.Keys),
        ReadingTaken r when sheet.Points.FirstOrDefault(p => p.Id == r.Point)?.Powered == true => [.. FirstPower(r.System), .. Live(r.Quantity) ? Off(r.System) : []],
        Fitted f => [.. HandsIn(f.System, state.Pieces.GetValueOrDefault(f.Piece)?.Kind), .. Fitting(f.Piece, f.System)],
        Pulled p => HandsIn(p.System, state.Pieces.GetValueOrDefault(p.Piece)?.Kind),
        Reseated r => AtPosition(r.System, r.Position),
        Mended { System: { } system, Position: { } position } => AtPosition(system, position),
        Mended { Piece: { } piece } when state.Pieces.GetValueOrDefault(piece) is { Where: { System: { } system } } sits => HandsIn(system, sits.Kind),
        HookUpRepaired h => h.Pieces.Where(p => state.Systems.GetValueOrDefault(h.System)?.Pieces.GetValueOrDefault(p.Key) != p.Value).SelectMany(p => Fitting(p.Value, h.System)),
        SoakBegun { Attended: false } s => Soaking(s),
        Proved p => Proving(p),
        GateAnswered { OverrideReason.Length: > 0, Value: null } a when gates.FirstOrDefault(g => g.Id == a.Gate) is { } gate && GateRecord.Measured(gate) =>
            [new(gate.Id, $"{gate.Words}: measure first; a reason does not replace the measurement.", false)],
        _ => [],
    };

    private GateRecord Of(string system) => records.TryGetValue(system, out var known) ? known : records[system] = new(state, system, sheet, at);

    private bool IsOwners(string system) => state.Systems.GetValueOrDefault(system)?.Job is not null;

    private IEnumerable<GateBar> Open(string system, string before, string words, string? kind = null) =>
        from gate in gates
        where gate.Before == before && (kind is null || gate.Kinds.IsDefaultOrEmpty || gate.Kinds.Contains(kind))
        let now = Of(system).Of(gate)
        where !now.Passed
        select new GateBar(gate.Id, $"{words}: {gate.Words}{(now.Why is null ? "" : $" ({now.Why})")}.", now.Made);

    private List<GateBar> Powering(Powered p)
    {
        if (!IsOwners(p.System)) return [];
        List<GateBar> bars = [.. Open(p.System, "power", "Before power"), .. Rails(p.System)];
        if (p.Feed != "line" || Of(p.System).WasLimited) return bars;
        var limiter = sheet.Era == "tube" ? "a series lamp (it does not isolate; bright then dim is normal for cold heaters)" : "current-limited DC into the raw rail, or a series lamp at the transformer";
        bars.Add(new("limited-first", $"First power goes through {limiter}, stations and doors lifted.", true));
        return bars;
    }

    /// <summary>A mend may lay bare what it hid: a fuse that was open, and behind it a regulator that is shorted.</summary>
    private IEnumerable<GateBar> Rails(string system) =>
        from rail in KillingRail.Of(sheet)
        let sitting = rail.Targets.Where(p => state.Systems.GetValueOrDefault(system)?.Pieces.ContainsKey(p) == true).Select(p => sheet.Positions.First(x => x.Id == p).Name).ToList()
        where sitting.Count > 0 && RailOpen(system, rail)
        select new GateBar(rail.Gate, $"Something behind it was mended or put in: unplug {string.Join(", ", sitting)}, power, and read “{rail.Check.Words}” before they are powered with it.", true);

    /// <summary>True while a rail that kills was not read since something behind it was mended or put in.</summary>
    internal bool RailOpen(string system, KillingRail rail) => Of(system).RailOpen(rail);

    private IEnumerable<GateBar> FirstPower(string system) => IsOwners(system) && !Of(system).WasPowered ? Open(system, "power", "Before the first power") : [];

    /// <summary>What was seen of a set that the tape says is off was seen under power, and of that the tape knows nothing: gates and odds go by it.</summary>
    private IEnumerable<GateBar> Off(string system) =>
        IsOwners(system) && !Of(system).IsPowered ? [new(SetOff, "The set is off: put power on first, or say that it was on.", true)] : [];

    /// <summary>A look that is made with the set under power on the bench.</summary>
    private static bool Live(CheckSpec check) => check.Powered == true && check.How != "ask" && check.Circumstances.GetValueOrDefault("place") != "home";

    /// <summary>Ohms and farads of a powered point are read with the set off.</summary>
    private static bool Live(string quantity) => quantity == "ampere" || quantity.StartsWith("volt", StringComparison.Ordinal);

    private List<GateBar> Proving(Proved p)
    {
        if (state.Jobs[job].System is not { } system) return [new("proof", Law.NotOnTheBench, false)];
        List<GateBar> bars = ProofPlan.Complaint(sheet, p, Ground.IsPositive(state, job)) is { } complaint ? [new("proof", complaint, false)] : [];
        if (ProofPlan.IsByOwner(p.By) || sheet.Proof.FirstOrDefault(s => s.Id == p.Function) is not { } step) return bars; // the owner tried it at home
        var live = sheet.Checks.Any(c => c.Id == step.Check && Live(c)) || sheet.Points.Any(t => t.Id == step.Point && t.Powered && Live(t.Quantity));
        return live ? [.. bars, .. FirstPower(system), .. Off(system)] : bars;
    }

    private List<GateBar> Looking(string system, IEnumerable<string> checks)
    {
        var specs = checks.Select(id => sheet.Checks.FirstOrDefault(c => c.Id == id)).OfType<CheckSpec>().ToList();
        List<GateBar> bars = specs.Exists(Live) ? [.. FirstPower(system), .. Off(system)] : [];
        if (!MayBeLive(system)) return bars;
        bars.AddRange(specs.SelectMany(c => c.Means.IsDefault ? [] : c.Means).Distinct().Select(Barred));
        return bars;
    }

    /// <summary>What stands in the way of a lead from the set to a computer; null when nothing does.</summary>
    public GateBar? Lead(string system) => MayBeLive(system) ? Barred("earthed-gear") : null;

    private static GateBar Barred(string means) => new("barred-" + means, $"The chassis may be live: {EraGates.BarWords(means)} is barred on this set.", false);

    private bool MayBeLive(string system) => EraGates.MayBeLive(sheet) || Of(system).LeakageFailed(gates);

    private IEnumerable<GateBar> AtPosition(string system, string position) =>
        sheet.Positions.FirstOrDefault(p => p.Id == position) is { House: true } ? [] : HandsIn(system, sheet.Positions.FirstOrDefault(p => p.Id == position)?.Kind);

    private IEnumerable<GateBar> HandsIn(string system, string? kind) => Open(system, "hands-in", "Before hands go in", kind);

    private List<GateBar> Fitting(string id, string system)
    {
        if (!state.Pieces.TryGetValue(id, out var piece) || piece.Owner != Party.Shop || !IsOwners(system)) return [];
        List<GateBar> bars = [.. Open(system, "fit", $"Before {piece.Name} goes in", piece.Kind)];
        if (Of(system).IsPowered) bars.Add(new("power-off", $"The set is under power: {piece.Name} goes in with the set off.", true));
        var others = state.Pieces.Values.Count(p => p.Kind == piece.Kind && p.Owner == Party.Shop && p.KnownGood && !p.Gone && p.Id != piece.Id && p.LentTo is null);
        if (piece.KnownGood && others == 0) bars.Add(new("last-good", $"{piece.Name} ({piece.Id}) is the last good one of its kind. Try the suspect in the mule instead, or say why it is risked.", true));
        return bars;
    }

    private List<GateBar> Soaking(SoakBegun s)
    {
        var bars = Open(s.System, "soak", "Before it runs alone").ToList();
        if (sheet.Era == "tube") bars.Add(new("barred-soak", "A tube set is never left to run alone.", false));
        else if (MayBeLive(s.System)) bars.Add(new("barred-soak", "A set whose chassis may be live is never left to run alone.", false));
        if (state.Systems.GetValueOrDefault(s.System) is { Powered: true, Feed: "line" }) bars.Add(new("limited-soak", "It runs straight from the line: a limited feed first.", false));
        return bars;
    }
}
