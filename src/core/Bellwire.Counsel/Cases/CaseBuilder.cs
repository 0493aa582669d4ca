using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A tape in the engine's words, and how the two correspond.</summary>
/// <param name="System">The owner's set.</param>
/// <param name="NeverSeen">Pieces the hook-up at home must hold but nobody has recorded.</param>
/// <param name="Setting">What the bench hook-up stands at now, the owner's set.</param>
/// <param name="Maps">Present hook-ups: system → position → piece, stand-ins included.</param>
public sealed record BuiltCase(
    Case Case, string System, ImmutableHashSet<string> NeverSeen, Setting Setting,
    ImmutableDictionary<string, ImmutableDictionary<string, string>> Maps,
    ImmutableHashSet<string> Fresh);

/// <summary>Tape + sheet → case. Rules are in docs/engines/counsel.md.</summary>
public static partial class CaseBuilder
{
    /// <summary>P(all sites good) of a shop's piece said to be known good, when nothing closer is recorded (estimate).</summary>
    public const double KnownGoodTrust = 0.97;

    /// <summary>Likewise for the mule's own pieces and places (estimate).</summary>
    public const double MuleTrust = 0.985;

    public static string PieceAt(string job, string position) => $"{job}-{position}";

    public static string StandIn(string system, string position) => $"bench:{system}:{position}";

    /// <param name="forecasts">What circuits foretell; null, or a circuit missing in it: readings count by the bands of checks.</param>
    public static BuiltCase From(ShopState state, string job, TypeSheet sheet, Forecasts? forecasts = null)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        return new Walk(state, job, sheet, forecasts).Run();
    }

    private sealed partial class Walk(ShopState state, string job, TypeSheet sheet, Forecasts? forecasts)
    {
        private readonly string set = state.Jobs[job].System ?? "set:" + job;
        private readonly HashSet<string> kinds = [.. sheet.Family.Kinds.Select(k => k.Id)];
        private readonly Dictionary<string, PositionInfo> positions = sheet.Positions.ToDictionary(p => p.Id);
        private readonly Dictionary<string, Dictionary<string, string>> maps = [];
        private readonly Dictionary<string, PieceInstance> pieces = [];
        private readonly Dictionary<string, SystemInstance> systems = [];
        private readonly Dictionary<string, string> feeds = [];
        private readonly Dictionary<string, DateTimeOffset> poweredAt = [];
        private readonly Dictionary<string, string> poweredBy = [];
        private readonly LineVolts lines = LineVolts.Of(state, job, sheet);
        private readonly HashSet<string> fresh = [];
        private readonly List<CaseEvent> events = [];

        public BuiltCase Run()
        {
            OpenHome();
            foreach (var entry in state.Effective)
                if (entry.Jobs.Contains(job)) Take(entry);
                else Follow(entry.Act);
            // The mule is there to be used before anything was tried in it.
            if (benched && state.Systems.Values.Where(s => s.Job is null && s.SheetId == sheet.Id).OrderBy(s => s.Id, StringComparer.Ordinal).FirstOrDefault() is { } mule) NeedSystem(mule.Id);
            var built = new Case(sheet.Family, [.. pieces.Values], [.. systems.Values], ImmutableDictionary<string, bool>.Empty, [.. events]);
            var never = pieces.Values.Where(p => p.Origin is not null && !state.Pieces.ContainsKey(p.Id)).Select(p => p.Id).ToImmutableHashSet();
            return new(built, set, never, SettingOf(set, null), maps.ToImmutableDictionary(m => m.Key, m => m.Value.ToImmutableDictionary()), [.. fresh]);
        }

        /// <summary>Epoch 0: the owner's house, every position filled, under power until it failed.</summary>
        private void OpenHome()
        {
            home = positions.Values.ToDictionary(p => p.Id, p => PieceAt(job, p.Id));
            foreach (var setUp in state.Effective.Select(e => e.Act).OfType<SystemSetUp>().Where(a => a.Job == job))
                foreach (var (position, piece) in setUp.Pieces)
                    if (positions.ContainsKey(position) && Fits(piece, position) && Recorded(piece)?.Owner != Party.Shop) home[position] = piece;
            foreach (var (position, piece) in home) Know(piece, positions[position].Kind);
            systems[set] = new(set, job, home.ToImmutableDictionary());
            maps[set] = new(home);
            feeds[set] = "off";
            events.Add(new CaseEvent.PowerUp("home", set, sheet.Home()));
            saidAtHome = events.Count;
        }

        private Dictionary<string, string> home = [];
        private int saidAtHome;

        private bool Fits(string piece, string position) =>
            state.Pieces.TryGetValue(piece, out var p) && kinds.Contains(p.Kind) && positions.TryGetValue(position, out var at) && at.Kind == p.Kind;

        private readonly Dictionary<string, PieceRecorded> recorded = state.Effective.Select(e => e.Act).OfType<PieceRecorded>().GroupBy(p => p.Piece).ToDictionary(g => g.Key, g => g.First());

        private PieceRecorded? Recorded(string piece) => recorded.GetValueOrDefault(piece);

        private void Know(string piece, string kind)
        {
            if (pieces.ContainsKey(piece)) return;
            // Whose it was when it came is what its odds go by; a sale within this job changes nothing of what was seen before it.
            var came = Recorded(piece);
            var foreign = came is not null && came.Job != job;
            pieces[piece] = new(piece, came?.Kind ?? kind, foreign ? null : job, foreign ? TrustLedger.Of(state, piece, job, came!.Trust ?? (came.KnownGood ? KnownGoodTrust : null)) : null);
        }

        /// <summary>What another job did with the mule or a shop's piece before this one: only where things stand matters.</summary>
        private void Follow(Act act)
        {
            switch (act)
            {
                case SystemSetUp a when a.Job is null: Seat(a.System, a.Pieces); break;
                case Fitted a when a.System != set: muleMaps.GetOrAdd(a.System)[a.Position] = a.Piece; break;
                case Pulled a when a.System != set: muleMaps.GetOrAdd(a.System).Remove(a.Position); break;
                case HookUpRepaired a when a.System != set: Seat(a.System, a.Pieces); break;
            }
        }

        private readonly Dictionary<string, Dictionary<string, string>> muleMaps = [];

        private void Seat(string system, ImmutableDictionary<string, string> map) => muleMaps[system] = new(map);

        /// <summary>A mule is a whole set of the shop: what nobody recorded in it is its own.</summary>
        private void NeedSystem(string system)
        {
            if (systems.ContainsKey(system)) return;
            var map = new Dictionary<string, string>();
            foreach (var p in positions.Values)
            {
                var own = muleMaps.GetValueOrDefault(system)?.GetValueOrDefault(p.Id);
                var piece = own is not null && Fits(own, p.Id) && state.Pieces[own].Owner == Party.Shop && maps.Values.All(m => !m.ContainsValue(own)) ? own : StandIn(system, p.Id);
                if (piece == own) Know(piece, p.Kind); else pieces[piece] = new(piece, p.Kind, null, MuleTrust);
                map[p.Id] = piece;
            }
            systems[system] = new(system, null, map.ToImmutableDictionary(), MuleTrust);
            maps[system] = map;
            feeds[system] = "off";
        }

        private void Take(Entry entry)
        {
            var when = entry.Done ?? entry.Entered;
            switch (entry.Act)
            {
                case OwnerTold a: Told(entry.Id, a); break;
                case CauseTold { Happened: { } happened } a when sheet.Family.Causes.Any(c => c.Id == a.Cause):
                    events.Add(new CaseEvent.Observe(entry.Id, set, sheet.Home(), new Target.OfCause(a.Cause), Likelihoods.OfCause(happened), "cause:" + a.Cause));
                    break;
                case SystemSetUp a when a.Job == job: ToBench(entry.Id, a); benched = true; break;
                case Fitted a: Place(entry.Id, a.System, a.Position, a.Piece); break;
                case Pulled a: Place(entry.Id, a.System, a.Position, null); break;
                case HookUpRepaired a: Repair(entry.Id, a); break;
                case Reseated a when positions.ContainsKey(a.Position):
                    NeedSystem(a.System);
                    Changed();
                    Apart(a.System);
                    events.Add(new CaseEvent.Reseat(entry.Id, a.System, a.Position));
                    break;
                case Powered a:
                    NeedSystem(a.System);
                    Apart(a.System);
                    lately.Clear();
                    feeds[a.System] = a.Feed;
                    (poweredAt[a.System], poweredBy[a.System]) = (when, entry.Id);
                    if (a.Feed != "off") events.Add(new CaseEvent.PowerUp(entry.Id, a.System, SettingOf(a.System, when)));
                    break;
                case Unpowered a: NeedSystem(a.System); feeds[a.System] = "off"; poweredAt.Remove(a.System); break;
                case Checked a: Check(entry.Id, a.System, a.Check, a.Outcome, a.Throws, a.Circumstances, when); break;
                case GridChecked a: foreach (var (check, outcome) in a.Outcomes.OrderBy(o => o.Key, StringComparer.Ordinal)) Check(entry.Id, a.System, check, outcome, a.Throws, ImmutableDictionary<string, string>.Empty, when); break;
                case ReadingTaken a: Reading(entry.Id, a, when); break;
                case Proved a: Step(entry.Id, a, when); break;
                case Mended a: Mend(entry.Id, a); break;
            }
        }

        private void Told(string entry, OwnerTold a)
        {
            if (sheet.Checks.FirstOrDefault(c => c.Id == a.Check) is not { } check) return;
            var matrix = check.OwnerMatrix ?? check.Matrix;
            if (!matrix.TryGetValue(a.Outcome, out var likelihood)) return;
            var setting = sheet.Home(check.Throws);
            if (sheet.TargetOf(check, home, set) is { } target) AtHome(new CaseEvent.Observe(entry, set, setting, target, likelihood, "told:" + check.Id) { Outcomes = [.. matrix.Values] });
        }

        /// <summary>Whenever it is told, it is of the set as it was in the house, before anything was done to it.</summary>
        private void AtHome(CaseEvent told)
        {
            for (var i = 0; i < shownSteps.Count; i++) shownSteps[i] = shownSteps[i] with { At = shownSteps[i].At + 1 };
            events.Insert(saidAtHome++, told);
        }

        /// <summary>The set is put together on the bench. What stayed in the house has a stand-in. What travels but was not written down
        /// is taken to be there when the chassis came at all, and to have stayed when only a station or two did.</summary>
        private void ToBench(string entry, SystemSetUp a)
        {
            var missing = state.Jobs[job].Missing.Select(m => m.Position).ToHashSet();
            var travelling = positions.Values.Where(p => p.TravelsByPost && !p.House).ToList();
            var chassisCame = a.Pieces.IsEmpty || travelling.Any(p => a.Pieces.ContainsKey(p.Id));
            foreach (var p in positions.Values)
            {
                var own = maps[set].GetValueOrDefault(p.Id);
                if (a.Pieces.TryGetValue(p.Id, out var recorded) && Fits(recorded, p.Id))
                {
                    if (recorded != own) Put(entry, set, p.Id, recorded);
                }
                else if (p.House || !p.TravelsByPost || !chassisCame || missing.Contains(p.Id)) PutStandIn(entry, p);
            }
        }

        private void PutStandIn(string entry, PositionInfo p)
        {
            var stand = StandIn(set, p.Id);
            pieces[stand] = new(stand, p.Kind, null, 1.0);
            Put(entry, set, p.Id, stand);
        }

        private void Put(string entry, string system, string position, string? piece)
        {
            Apart(system);
            if (piece is not null)
            {
                Know(piece, positions[position].Kind);
                foreach (var (other, map) in maps)
                    foreach (var seat in map.Where(m => m.Value == piece).Select(m => m.Key).ToList())
                    {
                        map.Remove(seat);
                        Apart(other);
                        events.Add(new CaseEvent.Place(entry, other, seat, null));
                    }
                maps[system][position] = piece;
            }
            else maps[system].Remove(position);
            Changed();
            events.Add(new CaseEvent.Place(entry, system, position, piece));
        }

        private void Place(string entry, string system, string position, string? piece)
        {
            if (!positions.ContainsKey(position) || (piece is not null && !Fits(piece, position))) return;
            NeedSystem(system);
            Put(entry, system, position, piece);
        }

        private void Repair(string entry, HookUpRepaired a)
        {
            NeedSystem(a.System);
            foreach (var p in positions.Values)
            {
                var now = maps[a.System].GetValueOrDefault(p.Id);
                var then = a.Pieces.TryGetValue(p.Id, out var piece) && Fits(piece, p.Id) ? piece : null;
                if (then is null && now is not null && pieces[now].Id.StartsWith("bench:", StringComparison.Ordinal)) continue;
                if (then != now) Put(entry, a.System, p.Id, then);
            }
        }

        private void Check(string entry, string system, string id, string outcome, ImmutableDictionary<string, string> throws, ImmutableDictionary<string, string> circumstances, DateTimeOffset when)
        {
            if (sheet.Checks.FirstOrDefault(c => c.Id == id) is not { } check || !check.Matrix.TryGetValue(outcome, out var likelihood)) return;
            NeedSystem(system);
            var target = sheet.TargetOf(check, maps[system], system);
            if (target is null) return;
            var setting = SettingFor(check, system, when) is var s ? s with { Throws = s.Throws.SetItems(throws), Circumstances = s.Circumstances.SetItems(Known(circumstances)) } : s;
            Looked(check, outcome, new(entry, system, setting, target, likelihood, check.Repeatable ? null : $"{system}:{check.Id}") { Outcomes = [.. check.Matrix.Values] });
        }

        private bool benched;
        /// <summary>Readings of one circuit that belong together: nothing was moved, mended, switched on anew or warmed up between them.</summary>
        private readonly Dictionary<(string System, string Circuit, string Setting), List<PointReading>> together = [];

        private void Apart(string? system = null)
        {
            foreach (var key in together.Keys.Where(k => system is null || k.System == system).ToList()) together.Remove(key);
        }

        /// <summary>Weighed by the circuit the point stands in; false when there is none, it was not forecast yet, or it does not hold under this feed.</summary>
        private bool ByCircuit(string entry, ReadingTaken a, DateTimeOffset when)
        {
            if (sheet.Circuits.FirstOrDefault(c => c.Points.Any(p => p.Point == a.Point)) is not { } circuit || !circuit.Feeds.Contains(feeds[a.System])) return false;
            if ((!double.IsFinite(a.Value) && a.Quantity != "ohm") || forecasts?.Of(sheet, circuit, lines.At(poweredBy.GetValueOrDefault(a.System), circuit)) is not { } forecast) return false;
            var setting = SettingOf(a.System, when);
            setting = setting with { Circumstances = setting.Circumstances.SetItems(Known(a.Circumstances)) };
            var key = (a.System, circuit.Id, string.Join(",", setting.Circumstances.OrderBy(c => c.Key, StringComparer.Ordinal).Select(c => c.Value)));
            if (!together.TryGetValue(key, out var before)) together[key] = before = [];
            var reading = new PointReading(a.Point, Ground.AsWritten(Ground.IsPositive(state, job), a.Quantity, a.Value));
            var weighed = forecast.Weigh(before, reading);
            events.Add(new CaseEvent.Observe(entry, a.System, setting, forecast.Target, weighed.Likelihood) { Outcomes = weighed.Outcomes, Alike = weighed.Alike });
            before.RemoveAll(r => r.Point == a.Point);
            before.Add(reading);
            foreach (var check in sheet.Checks.Where(c => c.Point == a.Point)) fresh.Add($"{a.System}:{check.Id}");
            return true;
        }

        /// <summary>A part of a circuit read by itself, which the sheet need not name a point for.</summary>
        private bool ByPart(string entry, ReadingTaken a, DateTimeOffset when)
        {
            if (sheet.Points.Any(p => p.Id == a.Point) || PartReading.Of(sheet, a.Point, a.Quantity) is not { } part) return false;
            // What the part is depends on its sites alone; the feed is one for which the circuit's troubles are told.
            var setting = SettingOf(a.System, when);
            setting = setting with { Circumstances = setting.Circumstances.SetItem("feed", part.Circuit.Feeds[0]) };
            var weighed = part.Weigh(a.Value, a.Circumstances.GetValueOrDefault(PartReading.Lead) == PartReading.Lifted);
            events.Add(new CaseEvent.Observe(entry, a.System, setting, part.Target, weighed.Likelihood, $"{a.System}:part:{a.Point}:{a.Quantity}") { Outcomes = weighed.Outcomes, Alike = weighed.Alike });
            return true;
        }

        private void Reading(string entry, ReadingTaken a, DateTimeOffset when)
        {
            NeedSystem(a.System);
            // Hertz or ohms at a point that is read in volts tell of something else.
            if (sheet.Points.FirstOrDefault(p => p.Id == a.Point) is { } point && !Quantities.TypedReading.AreAlike(point.Quantity, a.Quantity)) return;
            if (ByCircuit(entry, a, when) || ByPart(entry, a, when)) return;
            foreach (var check in sheet.Checks.Where(c => c.Point == a.Point && !c.Bands.IsEmpty))
            {
                if (sheet.TargetOf(check, maps[a.System], a.System) is not { } target) continue;
                var likelihood = Likelihoods.OfReading(Ground.AsWritten(Ground.IsPositive(state, job), a.Quantity, a.Value), check);
                var setting = SettingFor(check, a.System, when);
                events.Add(new CaseEvent.Observe(entry, a.System, setting with { Circumstances = setting.Circumstances.SetItems(Known(a.Circumstances)) }, target, likelihood, $"{a.System}:{check.Id}"));
                fresh.Add($"{a.System}:{check.Id}");
            }
        }

        private IEnumerable<KeyValuePair<string, string>> Known(ImmutableDictionary<string, string> circumstances) =>
            circumstances.Where(c => c.Key != "feed" && sheet.Conditions.TryGetValue(c.Key, out var values) && values.Contains(c.Value));

        private void Mend(string entry, Mended a)
        {
            Apart();
            if (a.Piece is { } piece && pieces.TryGetValue(piece, out var known) && sheet.Family.Kinds.First(k => k.Id == known.Kind).Sites.Any(s => s.Id == a.Site))
                events.Add(new CaseEvent.Mend(entry, SiteRef.OfPiece(piece, a.Site), a.Success));
            else if (a.System is { } system && a.Position is { } position && sheet.Family.Positions.FirstOrDefault(p => p.Id == position)?.Sites.Any(s => s.Id == a.Site) == true)
            {
                NeedSystem(system);
                events.Add(new CaseEvent.Mend(entry, SiteRef.OfPosition(system, position, a.Site), a.Success));
            }
            Changed();
        }

        /// <summary>A powered look is taken under whatever feed is on; when nobody said power was applied, under a limited one.</summary>
        private Setting SettingFor(CheckSpec check, string system, DateTimeOffset when)
        {
            var s = SettingOf(system, when);
            var feed = check.Powered switch { true when feeds[system] == "off" => "limited", false => "off", _ => feeds[system] };
            return s with { Throws = s.Throws.SetItems(check.Throws), Circumstances = s.Circumstances.SetItems(check.Circumstances).SetItem("feed", feed) };
        }

        private Setting SettingOf(string system, DateTimeOffset? when)
        {
            var warm = when is { } now && poweredAt.TryGetValue(system, out var since) && now - since >= TimeSpan.FromMinutes(5);
            return new(sheet.DefaultThrows(), sheet.DefaultCircumstances().SetItem("feed", feeds[system]).SetItem("warmth", warm ? "warm" : "cold"));
        }
    }

    private static Dictionary<string, string> GetOrAdd(this Dictionary<string, Dictionary<string, string>> all, string key) =>
        all.TryGetValue(key, out var map) ? map : all[key] = [];
}
