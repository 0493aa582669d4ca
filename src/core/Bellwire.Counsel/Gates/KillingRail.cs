using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A rail that kills what sits on it when it is out of bounds, as the sheet's hazards have it.</summary>
/// <param name="Signal">The rail.</param>
/// <param name="Bad">States of it that kill.</param>
/// <param name="Checks">Powered looks at it, the quickest first; at least one.</param>
/// <param name="Targets">Places of the pieces it kills that unplug by a connector and have no part in the rail itself.</param>
/// <param name="Behind">Sites of which a fault alone takes the rail out of its good state: mended, they may lay bare another.</param>
internal sealed record KillingRail(
    string Signal, ImmutableArray<string> Bad, ImmutableArray<CheckSpec> Checks, ImmutableArray<string> Targets, ImmutableHashSet<(string Position, string Site)> Behind)
{
    private static readonly ConditionalWeakTable<TypeSheet, IReadOnlyList<KillingRail>> Known = [];

    public CheckSpec Check => Checks[0];

    public string Gate => "rail-" + Signal;

    public static IReadOnlyList<KillingRail> Of(TypeSheet sheet) => Known.GetValue(sheet, static s => [.. Found(s)]);

    private static IEnumerable<KillingRail> Found(TypeSheet sheet) =>
        from hazard in sheet.Family.Hazards
        from trigger in Conditions.SignalsIn(hazard.Trigger)
        group (hazard, trigger) by trigger.Signal into rail
        let checks = sheet.Checks.Where(c => c.TargetKind == "signal" && c.Target == rail.Key && c.Powered == true && c.How != "ask" && c.Circumstances.GetValueOrDefault("place") != "home").OrderBy(c => c.Minutes).ToImmutableArray()
        where checks.Length > 0
        let upstream = Conditions.PositionsBehind(sheet.Family, rail.Key)
        let targets = rail.Select(r => r.hazard.Position).Distinct().Where(p => !upstream.Contains(p) && Unplugs(sheet, p)).ToImmutableArray()
        where targets.Length > 0
        select new KillingRail(rail.Key, [.. rail.SelectMany(r => r.trigger.States).Distinct()], checks, targets, Conditions.SitesBehind(sheet.Family, rail.Key));

    private static bool Unplugs(TypeSheet sheet, string position) => sheet.Family.Positions.First(p => p.Id == position) is { House: false, ContactSite: not null };

    /// <summary>True when something behind the rail was mended, or a piece behind it first put in, and the rail was not read good since; after a reading that kills it takes two.</summary>
    /// <param name="entries">Those of the set, in effective order.</param>
    public bool IsOpen(ShopState state, TypeSheet sheet, string system, bool positiveGround, IEnumerable<Entry> entries)
    {
        var (open, on, wants) = (false, false, 1);
        var sat = new HashSet<string>();
        foreach (var entry in entries)
        {
            var before = open;
            switch (entry.Act)
            {
                case SystemSetUp a: sat.UnionWith(a.Pieces.Values); break;
                case Mended a: open |= Behind.Any(b => b.Site == a.Site && (a.Position == b.Position || (a.Piece is { } piece && KindOf(piece) == KindAt(b.Position)))); break;
                case Fitted a when a.System == system && sat.Add(a.Piece): open |= Behind.Any(b => b.Position == a.Position); break;
                case HookUpRepaired a: open |= a.Pieces.Any(p => sat.Add(p.Value) && Behind.Any(b => b.Position == p.Key)); break;
                case Powered a when a.System == system: on = a.Feed != "off"; break;
                case Unpowered a when a.System == system: on = false; break;
                // Of a rail that nothing feeds nothing can be read.
                case var act when on && Seen(act, sheet, system, positiveGround) is var (check, outcome):
                    if (outcome == check.Outcomes[0]) open &= --wants > 0;
                    else if (Kills(check, outcome)) wants = AfterBad;
                    break;
            }
            if (open && !before) wants = 1;
        }
        return open;

        string? KindOf(string piece) => state.Pieces.GetValueOrDefault(piece)?.Kind;
        string KindAt(string position) => sheet.Positions.First(p => p.Id == position).Kind;
    }

    /// <summary>Readings that it takes, one after the other, to believe a rail good that was read as one that kills in the same hook-up: one of the two was a slip, and it is not known which (common practice, no source).</summary>
    private const int AfterBad = 2;

    /// <summary>Whether the rail was read good last; where it was read as one that kills since anything was changed, twice running.</summary>
    /// <param name="tape">Of the job, newest first.</param>
    public bool ReadGood(IEnumerable<Act> tape, TypeSheet sheet, string system, bool positiveGround)
    {
        var good = 0;
        foreach (var act in tape)
        {
            if (good > 0 && act is Mended or HookUpRepaired || good > 0 && act is Fitted f && f.System == system && Behind.Any(b => b.Position == f.Position)) return true;
            if (Seen(act, sheet, system, positiveGround) is not var (check, outcome)) continue;
            if (outcome != check.Outcomes[0]) return good > 0 && !Kills(check, outcome);
            if (++good >= AfterBad) return true;
        }
        return good > 0;
    }

    /// <summary>Whether an act of the set's tape found the rail good; null when it is no look at it.</summary>
    public bool? Says(Act act, TypeSheet sheet, string system, bool positiveGround) => Seen(act, sheet, system, positiveGround) is var (check, outcome) ? outcome == check.Outcomes[0] : null;

    /// <summary>Whether an outcome means a state that kills; what lies in none of the bands is taken to.</summary>
    public bool Kills(CheckSpec check, string outcome) => !check.Matrix.TryGetValue(outcome, out var states) || Bad.Any(s => states.GetValueOrDefault(s) >= 0.5);

    private (CheckSpec Check, string Outcome)? Seen(Act act, TypeSheet sheet, string system, bool positiveGround)
    {
        (CheckSpec, string)? Read(string? point, string quantity, double value) => sheet.Points.FirstOrDefault(p => p.Id == point) is { } spec && Quantities.TypedReading.Tells(spec.Quantity, quantity) && Checks.FirstOrDefault(c => c.Point == point) is { } read
            ? (read, Band(read, Ground.AsWritten(positiveGround, quantity, value))) : null;
        return act switch
        {
            Checked a when a.System == system && Checks.FirstOrDefault(c => c.Id == a.Check) is { } look => (look, a.Outcome),
            GridChecked a when a.System == system && Checks.FirstOrDefault(c => a.Outcomes.ContainsKey(c.Id)) is { } look => (look, a.Outcomes[look.Id]),
            ReadingTaken a when a.System == system => Read(a.Point, a.Quantity, a.Value),
            Proved { Value: { } value } a when sheet.Proof.FirstOrDefault(s => s.Id == a.Function)?.Point is { } point => Read(point, sheet.Points.FirstOrDefault(p => p.Id == point)?.Quantity ?? "", value),
            _ => null,
        };
    }

    /// <summary>The outcome that a value means; empty when it lies in none of the bands.</summary>
    private static string Band(CheckSpec check, double value) => check.Bands.FirstOrDefault(b => value >= b.Value.Low && value < b.Value.High).Key ?? "";
}
