using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Counsel.Mends;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Perf.Benches;

/// <summary>One set on one bench: what is really so, what gets written down, and what it costs. Every order of looking works through this
/// and nothing else, pays the same minutes, keeps the same gates, and is never told the truth.</summary>
internal sealed partial class Day
{
    public const string Job = "case", Set = "set", Mule = "mule";
    private const double ReseatMinutes = 2;
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;
    private readonly TypeSheet _sheet;
    private readonly WorldKind _kind;
    private readonly Lot _lot;
    private readonly PlainWorld _world;
    private readonly Family _truth;
    private readonly List<Entry> _done = [], _written = [];
    private readonly Queue<(Act Act, long After)> _late = new();
    private readonly HashSet<string> _counted = [];
    private ShopState _real = ShopState.Empty;
    private int _played, _acts, _looks, _changes, _said, _refused;
    private string? _bundle;
    private (int Changes, int Mends, Dictionary<string, (string Outcome, bool Bad)> Checks)? _tried;

    public Day(TypeSheet sheet, WorldKind kind, ulong seed)
    {
        (_sheet, _kind, _lot) = (sheet, kind, new Lot(seed));
        _truth = kind.Of(sheet.Family, _lot);
        Both(new JobOpened(Job, new Personal("owner"), sheet.Id, sheet.Hash, new SetOutline(sheet.Era, sheet.Feed, 3, 2, [])));
        foreach (var p in Travelling) Both(new PieceRecorded(CaseBuilder.PieceAt(Job, p.Id), p.Kind, p.Name, Party.OwnerOf(Job), Job, "bench", null, null));
        foreach (var p in Travelling) Both(new PieceRecorded("spare-" + p.Kind, p.Kind, p.Name + " of the shelf", Party.Shop, null, "shelf", null, null, KnownGood: true));
        Both(new SystemSetUp(Mule, null, sheet.Id, None));
        var toBench = new SystemSetUp(Set, Job, sheet.Id, Travelling.ToImmutableDictionary(p => p.Id, p => CaseBuilder.PieceAt(Job, p.Id)));
        // The world needs every piece it will ever meet: those of the owner, their stand-ins, the mule's and the shelf's.
        var whole = With(With(_real, _done, toBench), _done, new Unpowered(Job, Mule));
        var c = CaseBuilder.From(whole, Job, sheet).Case;
        var spares = Travelling.Select(p => new PieceInstance("spare-" + p.Kind, p.Kind, null, CaseBuilder.KnownGoodTrust));
        c = c with { Family = _truth, Pieces = [.. c.Pieces, .. spares.Where(s => c.Pieces.All(p => p.Id != s.Id))] };
        _world = new PlainWorld(c, _lot.Pick);
        _world.Act(new CaseEvent.PowerUp("home", Set, sheet.Home()), _acts++);
        _played = 1;
        Wrong = sheet.Checks.Where(x => x.Owner && x.TargetKind == "signal"
            && _world.Read(Set, sheet.Home(x.Throws), new Target.OfSignal(x.Target)) != sheet.Family.Signals.First(s => s.Id == x.Target).States[0]).Select(x => x.Id).ToImmutableArray();
        Tell();
        Both(toBench);
        Both(new Unpowered(Job, Mule));
        Play();
    }

    /// <summary>What is wrong at home, for the choice of cases only.</summary>
    public ImmutableArray<string> Wrong { get; }
    public ShopState Written { get; private set; } = ShopState.Empty;
    public Dictionary<string, string> Told { get; } = [];
    public double Minutes { get; private set; }

    /// <summary>Where the minutes went.</summary>
    public Dictionary<string, double> Spent { get; } = [];
    public double ExpectedKills { get; private set; }
    public int Swaps { get; private set; }
    public int NeedlessSwaps { get; private set; }
    public int Mends { get; private set; }
    public int NeedlessMends { get; private set; }
    public int Proofs { get; private set; }
    public bool IsProved { get; private set; }
    public int FaultsAtStart => _world.Original.Count(s => s.Value != "good" && s.Key.StartsWith(Job, StringComparison.Ordinal));

    /// <summary>Looks and proofs so far, and times that power was refused for what the ohms said.</summary>
    public int Looks => _looks + Proofs + _refused;
    public bool Powered => _real.Systems[Set].Powered;
    public TypeSheet Sheet => _sheet;

    /// <summary>What was done, minute by minute, for reading a single case; null when nobody reads along.</summary>
    public TextWriter? Trace { get; init; }

    /// <summary>What was really wrong with what came, for reading a case.</summary>
    public string Truth => string.Join(", ", _world.Now.Where(s => s.Value != "good" && (s.Key.StartsWith(Job, StringComparison.Ordinal) || s.Key.StartsWith(Set + "/", StringComparison.Ordinal))).Select(s => $"{s.Key} {s.Value}"));

    // ---- for the bound, which is told everything

    public ImmutableArray<(SiteRef Site, string Mode)> TrueFaults => [.. _world.Now
        .Where(s => s.Value != "good" && (s.Key.StartsWith(Job, StringComparison.Ordinal) || s.Key.StartsWith(Set + "/", StringComparison.Ordinal)))
        .OrderBy(s => s.Key, StringComparer.Ordinal).Select(s => Belief.SiteOf($"{s.Key}:{s.Value}"))];

    public void MendForCertain(SiteRef site) => _world.Act(new CaseEvent.Mend("", site, 1), _acts++);

    public bool ProofWouldFail() => ProofChecks.Any(spec => StateInProof(spec) != Good(spec));

    /// <summary>Least minutes that put it right: a connector may come good by being unplugged and plugged.</summary>
    public double LeastMinutes(SiteRef site, string mode) =>
        site.Position is { } at && _truth.Positions.First(p => p.Id == at) is { RedrawChance: > 0 } spec && spec.ContactSite == site.Site ? ReseatMinutes : InfoOf(site, mode)?.MendMinutes ?? 30;

    private string Good(CheckSpec spec) => _sheet.Family.Signals.First(s => s.Id == spec.Target).States[0];

    private string StateInProof(CheckSpec spec)
    {
        var seen = Observed(new Checked(Job, Set, spec.Id, spec.Outcomes[0], spec.Throws, None, 0))!;
        return _world.Read(Set, seen.Setting with { Circumstances = seen.Setting.Circumstances.SetItem("warmth", "warm").SetItem("feed", "limited") }, seen.Target);
    }

    private IEnumerable<PositionInfo> Travelling => _sheet.Positions.Where(p => p.TravelsByPost && !p.House);

    // ---- what one can do at the bench

    /// <summary>Looks, in the owner's set or the mule; null when a gate bars it. The outcome is what gets written down, slips and all.</summary>
    public string? Look(string check, string system = Set)
    {
        var spec = _sheet.Checks.First(c => c.Id == check);
        if (spec.Powered == true && !PowerOn(system)) return null;
        if (spec.Powered == false) PowerOff(system);
        Pay(spec);
        var act = new Checked(Job, system, check, spec.Outcomes[0], spec.Throws, None, spec.Minutes);
        if (Observed(act) is not { } seen) return null;
        var state = _world.Read(system, seen.Setting, seen.Target);
        var again = spec.Repeatable ? $" {_looks}" : "";
        var outcome = spec.Outcomes[_lot.Pick($"seen {system} {check} {_changes}{again}", [.. spec.Outcomes.Select(o => spec.Matrix[o].GetValueOrDefault(state))])];
        _looks++;
        if (spec.Outcomes.Length > 1 && _lot.Of($"slip {_looks} {check}") < _kind.Slips)
            outcome = _lot.One($"slipped to {_looks} {check}", [.. spec.Outcomes.Where(o => o != outcome)]);
        Record(act with { Outcome = outcome });
        Say($"{system} {check}: {outcome} (really {state})");
        return outcome;
    }

    /// <summary>Tries another piece: the suspect in the mule, or a shelf piece in the set. False when a gate bars it.</summary>
    public bool Swap(string position, string piece, string system)
    {
        var minutes = _sheet.Positions.First(p => p.Id == position).SwapMinutes;
        PowerOff(Set);
        PowerOff(Mule);
        var there = _real.Systems[system].Pieces.GetValueOrDefault(position);
        var comesFrom = _real.Pieces[piece].Where;
        if (system == Set && !PassFitGates(piece)) return false;
        Spend("swap", minutes);
        _bundle = null;
        Swaps++;
        if (IsSound(position)) NeedlessSwaps++;
        if (there is not null && _real.Pieces.ContainsKey(there)) Write(new Pulled(Job, there, system, position, null));
        if (comesFrom.System is { } other) Write(new Pulled(Job, piece, other, comesFrom.Position!, null));
        Write(new Fitted(Job, piece, system, position));
        Say($"{piece} into {system}");
        return true;
    }

    /// <summary>Everything back in its own place.</summary>
    public void PutBack(string position)
    {
        var own = CaseBuilder.PieceAt(Job, position);
        PowerOff(Set);
        PowerOff(Mule);
        Spend("swap", _sheet.Positions.First(p => p.Id == position).SwapMinutes);
        _bundle = null;
        if (_real.Systems[Set].Pieces.GetValueOrDefault(position) is { } there && there != own) Write(new Pulled(Job, there, Set, position, "shelf"));
        if (_real.Pieces[own].Where is { System: { } system, Position: { } at } && system != Set) Write(new Pulled(Job, own, system, at, null));
        if (_real.Pieces[own].Where.System != Set) Write(new Fitted(Job, own, Set, position));
    }

    /// <summary>Takes pieces off their connectors before power, a minute each.</summary>
    public void Unplug(IEnumerable<string> positions)
    {
        PowerOff(Set);
        _bundle = null;
        foreach (var position in positions)
        {
            Spend("unplug", 1);
            Write(new Pulled(Job, _real.Systems[Set].Pieces[position], Set, position, "bench"));
            Say($"unplugged {position}");
        }
    }

    /// <summary>Plugs them in again, a minute each.</summary>
    public void Plug(IEnumerable<(string Position, string Piece)> pieces)
    {
        PowerOff(Set);
        _bundle = null;
        foreach (var (position, piece) in pieces)
        {
            Spend("unplug", 1);
            Write(new Fitted(Job, piece, Set, position));
            Say($"plugged in {position}");
        }
    }

    public void Reseat(string position)
    {
        PowerOff(Set);
        PassHandGates();
        Spend("reseat", ReseatMinutes);
        Write(new Reseated(Job, Set, position), forgettable: true);
    }

    /// <summary>Mends one site, whatever is wrong with it; minutes and success are those of the mode believed in.</summary>
    public void Mend(SiteRef site, string mode)
    {
        var info = InfoOf(site, mode);
        PowerOff(Set);
        _bundle = null;
        Spend("mend", info?.MendMinutes ?? 30);
        Mends++;
        if (_world.Now.GetValueOrDefault(site.ToString(), "good") == "good") NeedlessMends++;
        Say($"mend {site} {mode} (really {_world.Now.GetValueOrDefault(site.ToString(), "good")})");
        Write(new Mended(Job, site.Piece, site.System, site.Position, site.Site, info?.Words ?? mode, info?.MendSuccess ?? 0.9, info?.MendMinutes ?? 30));
    }

    /// <summary>Goes through a whole piece and its connector, part by part: dear, and it finds what no check names.</summary>
    public void GoThrough(string position)
    {
        PowerOff(Set);
        _bundle = null;
        Spend("go through", 90);
        Mends++;
        Say($"go through {position}");
        if (IsSound(position)) NeedlessMends++;
        var spec = _truth.Positions.First(p => p.Id == position);
        var own = CaseBuilder.PieceAt(Job, position);
        foreach (var s in _truth.Kinds.First(k => k.Id == spec.Kind).Sites)
            if (s.Id == "unlisted") _world.Act(new CaseEvent.Mend("", SiteRef.OfPiece(own, s.Id), 0.95), _acts++);
            else Write(new Mended(Job, own, null, null, s.Id, MendWords.GoneThrough, 0.95, 0));
        if (spec.ContactSite is { } contact) Write(new Mended(Job, null, Set, position, contact, "cleaned", 0.95, 0));
    }

    /// <summary>One function tried again with care, three minutes: what is wrong shows for certain.</summary>
    public bool IsReallyWrong(string check)
    {
        if (!PowerOn(Set)) return true;
        Spend("look", 3);
        var spec = _sheet.Checks.First(c => c.Id == check);
        var seen = Observed(new Checked(Job, Set, check, spec.Outcomes[0], spec.Throws, None, 0))!;
        return _world.Read(Set, seen.Setting, seen.Target) != _sheet.Family.Signals.First(s => s.Id == spec.Target).States[0];
    }

    /// <summary>The proof: every function and rail tried with care, warm, against its limits, so that what is wrong shows for certain.
    /// Returns the checks that failed, as (check, outcome).</summary>
    /// <param name="order">Checks in the order they are tried, others after them as the sheet has them; the first that fails ends the proof, and one who
    /// goes on with it later goes on behind it. Null: gone through to its end whatever fails.</param>
    public ImmutableArray<(string Check, string Outcome)> Prove(IReadOnlyList<string>? order = null)
    {
        if (!PowerOn(Set)) return [("ohms-raw", "short")];
        var checks = ProofChecks.ToList();
        // Nobody proves a set once more that was not touched since it failed: what fails is known.
        if (_tried is null || _tried.Value.Changes != _changes || _tried.Value.Mends != Mends) _tried = (_changes, Mends, []);
        var tried = _tried.Value.Checks;
        if (checks.TrueForAll(c => tried.ContainsKey(c.Id))) return Failed();
        var begun = tried.Count > 0;
        Proofs++;
        var now = new List<string>();
        foreach (var spec in checks.Where(c => !tried.ContainsKey(c.Id)).OrderBy(c => order is null || !order.Contains(c.Id) ? int.MaxValue : order.TakeWhile(o => o != c.Id).Count()).ToList())
        {
            var seen = Observed(new Checked(Job, Set, spec.Id, spec.Outcomes[0], spec.Throws, None, 0))!;
            var setting = seen.Setting with { Circumstances = seen.Setting.Circumstances.SetItem("warmth", "warm") };
            var good = _sheet.Family.Signals.First(s => s.Id == spec.Target).States[0];
            // Looked at three times, so that what comes and goes has its chance to show.
            var state = Enumerable.Range(0, 3).Select(_ => _world.Read(Set, setting, seen.Target)).FirstOrDefault(s => s != good) ?? good;
            tried[spec.Id] = (spec.Outcomes.MaxBy(o => spec.Matrix[o].GetValueOrDefault(state))!, state != good);
            now.Add(spec.Id);
            if (state != good && order is not null) break;
        }
        _changes++;   // looks after a proof are looks anew
        _tried = (_changes, Mends, tried);
        var failed = Failed();
        IsProved = failed.IsEmpty && checks.TrueForAll(c => tried.ContainsKey(c.Id));
        Spend(IsProved ? "proof" : "failed proof", begun || order is not null && !IsProved ? MinutesOf(now, begun) : ProofMinutes);
        // Stations and doors hang where the functions want them.
        _bundle = _sheet.Checks.First(c => c.Id == _sheet.Functions[0].Check).Bundle;
        // As the page for the proof takes it: a step each where the sheet has one; readings as they were found.
        var steps = _sheet.Proof.Where(s => s.Check is not null).GroupBy(s => s.Check!).ToDictionary(g => g.Key, g => g.First().Id);
        if (now.Any(c => !steps.ContainsKey(c))) Record(new GridChecked(Job, Set, now.Where(c => !steps.ContainsKey(c)).ToImmutableDictionary(c => c, c => tried[c].Outcome), None, ProofMinutes));
        foreach (var check in now.Where(steps.ContainsKey).Order(StringComparer.Ordinal)) Record(new Proved(Job, steps[check], tried[check].Bad ? "failed" : "shown", null, null, null));
        Say(IsProved ? "proved" : "proof fails: " + string.Join(", ", failed));
        return failed;

        ImmutableArray<(string, string)> Failed() => [.. checks.Where(c => tried.TryGetValue(c.Id, out var t) && t.Bad).Select(c => (c.Id, tried[c.Id].Outcome))];
    }

    /// <summary>Minutes of the steps tried, the stations hung on and the meter fetched as they are first wanted.</summary>
    private double MinutesOf(List<string> steps, bool begun)
    {
        var functions = steps.Count(c => _sheet.Functions.Any(f => f.Check == c));
        return (functions > 0 && !begun ? HangMinutes : 0) + FunctionMinutes * functions + (steps.Count > functions ? MeterMinutes + (steps.Count - functions) * RailMinutes : 0);
    }

    public IEnumerable<CheckSpec> ProofChecks => _sheet.Functions.Select(f => f.Check).Concat(["ac-volts", "raw-volts", "raw-ripple", "rail12-volts", "rail5-volts", "tune-volts", "m0", "m1", "m2"])
        .Select(id => _sheet.Checks.FirstOrDefault(c => c.Id == id)).OfType<CheckSpec>().Where(c => c.TargetKind == "signal");

    /// <summary>Stations and doors hung on, the functions at a minute and a half each, the rails with the meter there.</summary>
    public double ProofMinutes => HangMinutes + FunctionMinutes * _sheet.Functions.Length + MeterMinutes + 6 * RailMinutes;

    private const double HangMinutes = 8, FunctionMinutes = 1.5, MeterMinutes = 4, RailMinutes = 1;

    /// <summary>Power goes on only past its gates: ohms of the raw rail first, then a limited feed.</summary>
    public bool PowerOn(string system)
    {
        if (_real.Systems[system].Powered) return true;
        // The gate of a rail after a mend is a matter of the order: ours reads the rail first, the others give a reason and go on.
        if (system == Set && GateKeeper.Check(Written, Job, _sheet, new Powered(Job, Set, "limited", null)).Bars.Any(b => !b.Gate.StartsWith("rail-", StringComparison.Ordinal)))
        {
            Spend("power", 3);
            var shorted = _world.Now.GetValueOrDefault(CaseBuilder.PieceAt(Job, "amp") + ".output") == "shorted";
            var ohms = shorted ? 4.0 : 900;
            Record(new ReadingTaken(Job, Set, "raw-ohms", "ohm", ohms, $"{ohms}", None, 3));
            if (shorted) { _refused++; return false; }
            Record(new GateAnswered(Job, Set, "ohms-first", true, ohms, null, null));
            Record(new GateAnswered(Job, Set, "limited-feed", true, null, null, null));
        }
        Spend("power", 1);
        Write(new Powered(Job, system, "limited", null), kills: true);
        return true;
    }

    public void PowerOff(string system)
    {
        if (_real.Systems[system].Powered) Write(new Unpowered(Job, system));
    }

    public FaultInfo? InfoOf(SiteRef site, string mode)
    {
        var kind = site.Piece is { } p ? _truth.Positions.FirstOrDefault(x => CaseBuilder.PieceAt(Job, x.Id) == p)?.Kind ?? (p.StartsWith("spare-", StringComparison.Ordinal) ? p[6..] : null) : null;
        return _sheet.Faults.FirstOrDefault(f => f.Site == site.Site && f.Mode == mode && (kind is null ? f.Position == site.Position : f.Kind == kind && f.Position is null));
    }
}
