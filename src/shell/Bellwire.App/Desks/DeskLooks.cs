using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Looks, readings and proofs as the sheet names them.</summary>
public sealed partial class Desk
{
    /// <summary>Functions with their check and the outcome a good set gives.</summary>
    public List<(FunctionSpec Function, CheckSpec Check, string Good)> FunctionsOf(string job)
    {
        var sheet = SheetOf(job);
        return [.. from f in sheet.Functions
                   let check = sheet.Checks.FirstOrDefault(c => c.Id == f.Check)
                   where check is not null && check.Outcomes.Length > 0
                   select (f, check, check.Outcomes.MaxBy(o => check.Matrix[o].GetValueOrDefault(GoodState(sheet, check)))!)];
    }

    private static string GoodState(TypeSheet sheet, CheckSpec check) =>
        sheet.Family.Signals.FirstOrDefault(s => s.Id == check.Target) is { } signal ? signal.States[0] : "good";

    public string OutcomeWord(string job, string check, string outcome) =>
        SheetOf(job).Checks.FirstOrDefault(c => c.Id == check)?.Says.GetValueOrDefault(outcome) is { Length: > 0 } says ? says : outcome.Replace('-', ' ');

    public static string UnitWord(string quantity) => Quantities.Units.Of(quantity);

    /// <summary>What a reading is taken under: the feed as it stands.</summary>
    public static ImmutableDictionary<string, string> Circumstances(SystemState system) =>
        ImmutableDictionary<string, string>.Empty.Add("feed", system.Powered ? system.Feed : "off");

    public FaultInfo? FaultAt(string job, string position, bool ofPosition, string site, string mode)
    {
        var sheet = SheetOf(job);
        var kind = sheet.Positions.FirstOrDefault(p => p.Id == position)?.Kind;
        return sheet.Faults.FirstOrDefault(f => f.Site == site && f.Mode == mode && (ofPosition ? f.Position == position : f.Position is null && f.Kind == kind));
    }

    /// <summary>A fault that a piece of this kind can have.</summary>
    public FaultInfo? FaultIn(string job, string kind, string site, string mode) => SheetOf(job).Faults.FirstOrDefault(f => f.Position is null && f.Kind == kind && f.Site == site && f.Mode == mode);

    /// <summary>A gate of the sheet, or one its era demands.</summary>
    public GateSpec? GateOf(string job, string gate) => EraGates.For(SheetOf(job)).FirstOrDefault(g => g.Id == gate);

    /// <summary>What a gate's value is measured in: as its point; volts where it has none.</summary>
    public string GateQuantity(string job, GateSpec gate) => PointOf(job, gate.Point)?.Quantity ?? "volt-dc";

    public PointSpec? PointOf(string job, string? point) => SheetOf(job).Points.FirstOrDefault(p => p.Id == point);

    /// <summary>The final check of this system, and how far it has come.</summary>
    public ProofPlan Proof(string job) => ProofPlan.Of(State, job, SheetOf(job));

    /// <summary>A fault that comes and goes, and what is known of it; null when none does.</summary>
    public ComeAndGo? ComingsOf(string job) => ComeAndGo.Of(State, job, SheetOf(job), Think(job).Weighed);

    /// <summary>The rails in the order they are read, as received and now.</summary>
    public ImmutableArray<Rung> Ladder(string job) => RailLadder.Of(State, job, SheetOf(job));
}
