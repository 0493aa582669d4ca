using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>One fault of one place of a whole set.</summary>
/// <param name="Odds">P(it is there) before anything is known, causes at their priors, 0..1.</param>
public sealed record SheetFault(SiteRef Site, string Mode, string Words, string Position, bool House, double MendMinutes, double Odds);

/// <summary>What every look would show of fault sets of a sheet: exact outcome chances by the engine, in a set that is whole but for the faults.
/// Bench looks are taken on the bench, what is asked of the owner in the house.</summary>
internal sealed class SheetTable
{
    private const string Set = "set";
    private readonly TypeSheet sheet;
    private readonly Case whole;
    private readonly ImmutableArray<Move> moves;

    /// <param name="signals">True: besides the checks, every signal at every throw is read as it is, by a check there might be.</param>
    public SheetTable(TypeSheet sheet, bool signals)
    {
        this.sheet = sheet;
        var pieces = sheet.Positions.Select(p => new PieceInstance(PieceAt(p.Id), p.Kind, null, null)).ToImmutableArray();
        var map = sheet.Positions.ToImmutableDictionary(p => p.Id, p => PieceAt(p.Id));
        var sound = sheet.Family with { Hazards = [], Causes = [], Kinds = [.. sheet.Family.Kinds.Select(k => k with { Sites = Sound(k.Sites) })], Positions = [.. sheet.Family.Positions.Select(p => p with { Sites = Sound(p.Sites) })] };
        whole = new(sound, pieces, [new SystemInstance(Set, null, map)], ImmutableDictionary<string, bool>.Empty, []);
        var looks = sheet.Checks.Where(c => c.TargetKind != "cause" && c.How != "reset").ToList();
        // What the bench can try the owner can tell as well, of the set as it was at home.
        Checks = [.. looks, .. looks.Where(c => c.Owner && c.How != "ask").Select(c => c with { Id = "told:" + c.Id, Words = $"The owner’s word: {c.Words}", How = "ask", Minutes = Math.Min(1, c.Minutes) })];
        moves = [.. Checks.Select(c => new Move(c.Id, Set, [], false, SettingOf(c), sheet.TargetOf(c, map, Set)!, c.How == "ask" ? c.OwnerMatrix ?? c.Matrix : c.Matrix))];
        if (!signals) return;
        Bare = [.. from signal in sheet.Family.Signals
                   from throws in signal.Rules.Any(r => Named(r.When)) || Through(signal.Id) ? Throws() : [ImmutableDictionary<string, string>.Empty]
                   select (signal, throws)];
        moves = [.. moves, .. Bare.Select((b, i) => new Move($"bare:{i}", Set, [], false, OnBench(b.Throws), new Target.OfSignal(b.Signal.Id),
            b.Signal.States.ToImmutableDictionary(s => s, s => ImmutableDictionary<string, double>.Empty.Add(s, 1))))];
    }

    /// <summary>The looks of the sheet, then the owner's word on those that the owner can tell.</summary>
    public ImmutableArray<CheckSpec> Checks { get; }

    public ImmutableArray<(SignalSpec Signal, ImmutableDictionary<string, string> Throws)> Bare { get; } = [];

    /// <summary>Outcomes of each look in order: those of <see cref="Checks"/>, then of <see cref="Bare"/>; each as P(outcome | the faults), outcomes in ordinal order.</summary>
    public double[][] Row(params SheetFault[] faults)
    {
        var seen = faults.Select(f => See(f.Site, f.Mode)).ToList();
        // Of two pieces of one kind each has the fault of the other for a possibility: it is seen not to have it.
        seen.AddRange(from f in faults from g in faults where f.Site.Piece is not null && g.Site.Piece is not null && f.Site.Piece != g.Site.Piece && f.Site.Site != g.Site.Site && Kind(f) == Kind(g) select See(f.Site with { Site = g.Site.Site }, "good"));
        var weighed = Reasoner.Weigh(whole with
        {
            Family = With(faults),
            Events = [.. seen],
            Pieces = [.. whole.Pieces.Select(p => faults.Any(f => f.Site.Piece == p.Id) ? p : p with { Trust = 1 })],
        }, new WeighOptions(Samples: 1, MaxFaultSets: 1));
        return [.. weighed.Try(moves).Zip(moves, (v, m) => v.GivenUp ? Nothing(m) : [.. v.Outcomes.OrderBy(o => o.Key, StringComparer.Ordinal).Select(o => o.Value)])];
    }

    /// <summary>Words of the looks that outgrew the reckoning for some faults: there they are taken to tell nothing.</summary>
    public SortedSet<string> TooLarge { get; } = new(StringComparer.Ordinal);

    private double[] Nothing(Move look)
    {
        TooLarge.Add(Checks.FirstOrDefault(c => c.Id == look.Id)?.Words ?? look.Target.ToString()!);
        return [.. Enumerable.Repeat(1.0 / look.Outcomes.Count, look.Outcomes.Count)];
    }

    private static CaseEvent See(SiteRef site, string mode) => new CaseEvent.Observe($"{site} {mode}", Set, Setting.Default, new Target.OfSite(site), ImmutableDictionary<string, double>.Empty.Add(mode, 1));

    private string Kind(SheetFault f) => sheet.Positions.First(p => p.Id == f.Position).Kind;

    public ImmutableArray<SheetFault> Faults() =>
    [
        .. from p in sheet.Positions
           from s in sheet.Family.Kinds.First(k => k.Id == p.Kind).Sites
           from m in s.Modes
           select Fault(SiteRef.OfPiece(PieceAt(p.Id), s.Id), p, s, m, sheet.Faults.FirstOrDefault(f => f.Position is null && f.Kind == p.Kind && f.Site == s.Id && f.Mode == m.Id)),
        .. from p in sheet.Positions
           from s in sheet.Family.Positions.First(x => x.Id == p.Id).Sites
           from m in s.Modes
           select Fault(SiteRef.OfPosition(Set, p.Id, s.Id), p, s, m, sheet.Faults.FirstOrDefault(f => f.Position == p.Id && f.Site == s.Id && f.Mode == m.Id)),
    ];

    private SheetFault Fault(SiteRef site, PositionInfo p, SiteSpec s, ModeSpec m, FaultInfo? info)
    {
        var rate = -Math.Log(1 - m.BaseOdds) + m.ByCause.Sum(c => -Math.Log(1 - c.Value) * (sheet.Family.Causes.FirstOrDefault(x => x.Id == c.Key)?.Prior ?? 0));
        var words = s.Id == "other" ? "a fault the sheet does not know" : info?.Words ?? (m.Name.Length > 0 && m.Name != m.Id ? m.Name : $"{s.Name} {m.Id}");
        return new(site, m.Id, $"{p.Name}: {words}", p.Id, p.House, info?.MendMinutes ?? (s.Id == "other" ? Doubt.GoThroughMinutes : 10), 1 - Math.Exp(-rate));
    }

    private static string PieceAt(string position) => "at-" + position;

    private static ImmutableArray<SiteSpec> Sound(ImmutableArray<SiteSpec> sites) =>
        [.. sites.Select(s => s with { Modes = [.. s.Modes.Select(m => m with { BaseOdds = 0, ByCause = ImmutableDictionary<string, double>.Empty })] })];

    /// <summary>Only the faults asked about can be there; how often does not matter, for they are seen to be.</summary>
    private Family With(SheetFault[] faults)
    {
        ImmutableArray<SiteSpec> Can(ImmutableArray<SiteSpec> sites, Func<SheetFault, bool> here) =>
            [.. sites.Select(s => s with { Modes = [.. s.Modes.Select(m => faults.Any(f => f.Site.Site == s.Id && f.Mode == m.Id && here(f)) ? m with { BaseOdds = 0.5 } : m)] })];
        return whole.Family with
        {
            Kinds = [.. whole.Family.Kinds.Select(k => k with { Sites = Can(k.Sites, f => f.Site.Piece is not null && Kind(f) == k.Id) })],
            Positions = [.. whole.Family.Positions.Select(p => p with { Sites = Can(p.Sites, f => f.Site.Position == p.Id) })],
        };
    }

    private Setting SettingOf(CheckSpec c) => c.How == "ask" || c.Circumstances.GetValueOrDefault("place") == "home"
        ? sheet.Home(c.Throws) with { Circumstances = sheet.Home().Circumstances.SetItems(c.Circumstances) }
        : new(sheet.DefaultThrows().SetItems(c.Throws), sheet.DefaultCircumstances().SetItem("feed", c.Powered == false ? "off" : "limited").SetItems(c.Circumstances));

    private Setting OnBench(ImmutableDictionary<string, string> throws) =>
        new(sheet.DefaultThrows().SetItems(throws), sheet.DefaultCircumstances().SetItem("feed", "limited").SetItem("warmth", "warm"));

    private IEnumerable<ImmutableDictionary<string, string>> Throws() =>
        sheet.Family.Selectors.SelectMany(s => s.Throws.Select(t => ImmutableDictionary<string, string>.Empty.Add(s.Id, t))).DefaultIfEmpty(ImmutableDictionary<string, string>.Empty);

    private static bool Named(Condition c) => c.Leaves().Any(x => x is Condition.SelectorAt);

    private bool Through(string signal)
    {
        var (seen, open) = (new HashSet<string> { signal }, new Stack<string>([signal]));
        while (open.TryPop(out var at))
            foreach (var rule in sheet.Family.Signals.First(s => s.Id == at).Rules)
            {
                if (Named(rule.When)) return true;
                foreach (var up in Conditions.SignalsIn(rule.When))
                    if (seen.Add(up.Signal)) open.Push(up.Signal);
            }
        return false;
    }
}
