using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Demo;

/// <summary>An invented shop with a shelf, a mule, closed jobs and three open ones. Built through the journal only;
/// the same clock gives the same shop.</summary>
internal sealed class DemoShop
{
    private readonly Shop shop;
    private readonly TypeSheet sheet;
    private readonly DateTimeOffset now;
    private int number;
    private DateTimeOffset at;

    private DemoShop(Shop shop, TypeSheet sheet, DateTimeOffset now) => (this.shop, this.sheet, this.now) = (shop, sheet, now);

    /// <exception cref="InvalidOperationException">The shop holds something already, or a demo entry is unlawful (a mistake in this file).</exception>
    public static void Fill(Shop shop, TypeSheet family, DateTimeOffset now)
    {
        if (shop.Head > 0) throw new InvalidOperationException("The shop holds entries already; the demo goes into an empty one.");
        var demo = new DemoShop(shop, family, now);
        demo.Shelf();
        demo.Closed("demo-1", "Berit Ostrander", "amp", "output", "dead", "Amplifier IC replaced", 420, ["fn-fm", "fn-aux", "fn-room-1"], inMule: true);
        demo.Closed("demo-2", "Tomas Ekwall", "tuner", "am-lead", "broken", "AM lead spliced and tied", 260, ["fn-am"], inMule: false);
        demo.Hum();
        demo.Gutter();
        demo.NoFeed();
    }

    private void Shelf()
    {
        Day(430);
        (string Id, string Kind, string Name, string Place, bool Good)[] pieces =
        [
            ("S-SUP-1", "supply", "Supply board", "shelf A1", true), ("S-SUP-2", "supply", "Supply board", "shelf A1", true),
            ("S-CTL-1", "control", "Control board", "shelf A2", true), ("S-AMP-1", "amp", "Power amplifier", "shelf A3", true),
            ("S-AMP-2", "amp", "Power amplifier", "shelf A3", true), ("S-TUN-1", "tuner", "Tuner", "shelf B1", true),
            ("S-AUD-1", "audio", "Audio board", "shelf B1", true), ("S-INT-1", "intercom", "Intercom board", "shelf B2", true),
            ("S-CHM-1", "chime", "Chime module", "shelf B2", true), ("S-DSP-1", "display", "Display", "shelf B3", true),
            ("S-STN-1", "station", "Room station", "shelf C1", true), ("S-STN-2", "station", "Room station", "shelf C1", true),
            ("S-DST-1", "door-station", "Door station", "shelf C2", true), ("S-TRF-1", "transformer", "Transformer", "shelf C3", true),
            ("D-CTL-1", "control", "Control board out of the donor", "shelf D1", false), ("D-KEY-1", "keypad", "Keypad out of the donor", "shelf D1", false),
            ("D-TUN-1", "tuner", "Tuner out of the donor", "shelf D1", false),
        ];
        foreach (var p in pieces)
            Do(new PieceRecorded(p.Id, p.Kind, p.Name, Party.Shop, null, p.Place, p.Good ? "green dot" : "donor, carcass 3", p.Good ? "proved on the mule" : "not proved", p.Good, p.Good ? 0.97 : null));
        Part("P-1", "electrolytic", "2200 µF 35 V 105 °C", 6, "drawer 2", ("new", "2200"), ("newvolts", "35"), ("newtemp", "105"), ("newhours", "5000"), ("newripple", "1.9"), ("newesr", "0.04"));
        Part("P-2", "electrolytic", "2200 µF 25 V 85 °C", 3, "drawer 2", ("new", "2200"), ("newvolts", "25"), ("newtemp", "85"), ("newhours", "2000"));
        Part("P-3", "electrolytic", "4700 µF 50 V 105 °C", 2, "drawer 2", ("new", "4700"), ("newvolts", "50"), ("newtemp", "105"));
        Part("P-4", "fuse", "T 500 mA L 250 V", 9, "drawer 1", ("new", "T500mA L 250V"), ("made", "iec"));
        Part("P-5", "fuse", "F 1 A H 250 V", 4, "drawer 1", ("new", "F 1A H 250V"), ("made", "iec"));
        Part("P-6", "regulator", "5 V positive, 1 A", 5, "drawer 3", ("newout", "5"), ("newsign", "positive"), ("newamps", "1"));
        Part("P-7", "speaker", "45 Ω, 8 cm", 2, "drawer 6", ("new", "45"), ("newwatts", "3"));
        // The mule runs on pieces of its own; where a suspect is tried, it stands open.
        var mule = ImmutableDictionary<string, string>.Empty;
        foreach (var p in sheet.Positions.Where(p => p.Id is "transformer" or "fuse" or "supply" or "control" or "keypad" or "audio" or "speaker" or "terminals"))
        {
            Do(new PieceRecorded("M-" + p.Id, p.Kind, p.Name, Party.Shop, null, Places.Bench, "yellow dot: mule", "runs in the mule since it was built", true, 0.97));
            mule = mule.Add(p.Id, "M-" + p.Id);
        }
        Do(new SystemSetUp("mule", null, sheet.Id, mule));
        Do(new PieceMarked("D-KEY-1", null, "two keys need a firm push; not proved"));
        Do(new PieceMoved("S-TRF-1", "shelf C4"));
    }

    private void Part(string id, string rule, string name, int count, string place, params (string Field, string Value)[] marks) =>
        Do(new PartShelved(id, rule, name, marks.ToImmutableDictionary(m => m.Field, m => m.Value), count, place, "new"));

    private string Open(string job, string owner, double daysAgo, int doors, string story)
    {
        Day(daysAgo);
        Do(new JobOpened(job, new(job + "-owner"), sheet.Id, sheet.Hash, new("microprocessor", "centre-tapped", 3, doors, ["tuner", "clock", "chime"])), (job + "-owner", owner));
        Do(new SheetPinned(job, sheet.Id, sheet.Hash, "1", "1"));
        Do(new Noted(job, new(job + "-story")), (job + "-story", story));
        return job;
    }

    private ImmutableDictionary<string, string> Unpack(string job, params string[] alsoSent)
    {
        var map = ImmutableDictionary<string, string>.Empty;
        foreach (var p in sheet.Positions.Where(p => (p.TravelsByPost && !p.House) || alsoSent.Contains(p.Id)))
        {
            var id = $"{job}-{p.Id}";
            Do(new PieceRecorded(id, p.Kind, p.Name, Party.OwnerOf(job), job, Places.Bench, null, "as found, dusty"));
            map = map.Add(p.Id, id);
        }
        foreach (var h in sheet.Hardware) Do(new HardwareCounted(job, h.Id, h.Count, h.Count, null));
        return map;
    }

    private void Closed(string job, string owner, string position, string site, string mode, string what, double daysAgo, string[] wrong, bool inMule)
    {
        Open(job, owner, daysAgo, 2, "Came by post; the story is on the tape.");
        Do(new OwnerTold(job, "fn-clock", "good", null));
        Do(new OwnerTold(job, wrong[0], Outcome(wrong[0], "dead"), null));
        var map = Unpack(job);
        Do(new SystemSetUp("set-" + job, job, sheet.Id, map));
        Gate(job, "ohms-first", 900);
        Gate(job, "limited-feed", null);
        Do(new Powered(job, "set-" + job, "limited", null));
        Read(job, "raw", 16.4, "16.4 V");
        Read(job, "rail-12", 12.02, "12.02 V");
        Read(job, "rail-5", 5.01, "5.01 V");
        foreach (var check in wrong) Look(job, "set-" + job, check, Outcome(check, "dead"));
        Off(job);
        if (inMule) TryInMule(job, map[position], position, wrong[0]);
        var ofPosition = sheet.Family.Positions.First(p => p.Id == position).Sites.Any(s => s.Id == site);
        Do(ofPosition ? new Mended(job, null, "set-" + job, position, site, what, 0.95, 35) : new Mended(job, map[position], null, null, site, what, 0.95, 45));
        Do(new Powered(job, "set-" + job, "limited", null));
        foreach (var check in wrong) Look(job, "set-" + job, check, sheet.Checks.First(c => c.Id == check).Outcomes[0]);
        Do(new Unpowered(job, "set-" + job));
        ProveAndSend(job, "mended");
    }

    /// <summary>The suspect shows the same in the mule: it is the piece, not its place.</summary>
    private void TryInMule(string job, string piece, string position, string check)
    {
        Do(new Pulled(job, piece, "set-" + job, position, null));
        Do(new Fitted(job, piece, "mule", position));
        Do(new Powered(job, "mule", "limited", null));
        Look(job, "mule", check, Outcome(check, "dead"));
        Do(new Unpowered(job, "mule"));
        Do(new ReadingTaken(job, "mule", "reservoir-rest", "volt-dc", 0.2, "0.2 V", ImmutableDictionary<string, string>.Empty, 1));
        Do(new Pulled(job, piece, "mule", position, null));
        Do(new Fitted(job, piece, "set-" + job, position));
    }

    /// <summary>Power off, and the reservoir measured before hands go in.</summary>
    private void Off(string job)
    {
        Do(new Unpowered(job, "set-" + job));
        Read(job, "reservoir-rest", 0.1, "0.1 V");
    }

    private void Look(string job, string system, string check, string outcome)
    {
        var spec = sheet.Checks.First(c => c.Id == check);
        Do(new Checked(job, system, check, outcome, spec.Throws, spec.Circumstances, spec.Minutes));
    }

    private void ProveAndSend(string job, string ending)
    {
        Do(new Powered(job, "set-" + job, "limited", null));
        Prove(job);
        Do(new Unpowered(job, "set-" + job));
        foreach (var p in shop.State.Pieces.Values.Where(p => p.Job == job).Select(p => p.Id).Order(StringComparer.Ordinal).ToList()) Do(new PackedPiece(job, p));
        foreach (var h in sheet.Hardware) Do(new PackedHardware(job, h.Id, h.Count, null));
        Do(new CartonClosed(job, null));
        Do(new JobClosed(job, ending, null));
    }

    /// <summary>Hum that grew for years: on the bench, rails read, the suspect not yet mended.</summary>
    private void Hum()
    {
        var job = Open("demo-3", "Ida Falkenrath", 6, 2, "It hums, louder every winter, for years now. Music goes furry when the volume goes up.");
        Do(new CauseTold(job, "age", true, null));
        Do(new OwnerTold(job, "told-hum", "buzz", null));
        Do(new OwnerTold(job, "fn-clock", Outcome("fn-clock", "dim"), null));
        Day(1.1);
        var map = Unpack(job);
        Do(new SystemSetUp("set-" + job, job, sheet.Id, map));
        Gate(job, "ohms-first", 870);
        Gate(job, "limited-feed", null);
        Do(new Powered(job, "set-" + job, "limited", null));
        Read(job, "raw", 15.4, "15.4 V");
        Read(job, "rail-12", 11.95, "11.95 V");
        Read(job, "rail-5", 5.02, "5.02 V");
        Read(job, "raw-ripple", 3.9, "3.9 Vpp");
        Off(job);
        // A good supply board of the shop's takes its place, and the ripple is gone.
        Do(new Lent("S-SUP-1", job));
        Do(new Pulled(job, map["supply"], "set-" + job, "supply", null));
        Do(new Fitted(job, "S-SUP-1", "set-" + job, "supply"));
        Do(new Powered(job, "set-" + job, "limited", null));
        Read(job, "raw-ripple", 0.6, "0.6 Vpp");
        Off(job);
        Do(new OwnerWord(job, "look further, up to the ceiling", true, "telephone", 260m, "EUR", null));
    }

    /// <summary>An outdoor station soaked by a leaking gutter: just unpacked.</summary>
    private void Gutter()
    {
        var job = Open("demo-4", "Rolf Hadermann", 3, 2, "Since the gutter over the side door leaks nobody can hear the visitor there, and the chime goes off by itself in the rain.");
        Do(new CauseTold(job, "water", true, null));
        Do(new OwnerTold(job, "fn-door-listen-2", Outcome("fn-door-listen-2", "dead"), null));
        Do(new OwnerTold(job, "fn-chime-2", Outcome("fn-chime-2", "by-itself"), null));
        Do(new OwnerTold(job, "fn-door-listen-1", "good", null));
        Day(0.3);
        Do(new PieceRecorded("demo-4-door-2", "door-station", "Door station 2", Party.OwnerOf(job), job, Places.Bench, "pencil mark inside", "green crust on the terminals, cone soft"));
        Do(new HardwareCounted(job, "face-screw", 2, 4, "two missing"));
        Do(new SystemSetUp("set-" + job, job, sheet.Id, ImmutableDictionary<string, string>.Empty.Add("door-2", "demo-4-door-2")));
        Do(new Parked(job, DateOnly.FromDateTime(now.AddDays(4).UtcDateTime), "a weatherproof speaker"));
    }

    /// <summary>"Dead", but the feed of the house was off: nothing found, proved, being packed.</summary>
    private void NoFeed()
    {
        var job = Open("demo-5", "Agnes Brill", 9, 2, "It went dead from one day to the next, the week the kitchen was painted.");
        Do(new OwnerTold(job, "told-life", "dead", null));
        Day(2);
        var map = Unpack(job);
        Do(new SystemSetUp("set-" + job, job, sheet.Id, map));
        Gate(job, "ohms-first", 910);
        Gate(job, "limited-feed", null);
        Do(new Powered(job, "set-" + job, "limited", null));
        foreach (var (point, value, typed) in new[] { ("ac-ends", 26.5, "26.5 V AC"), ("fuse-drop", 0.02, "20 mV AC"), ("raw", 16.6, "16.6 V"), ("raw-ripple", 0.7, "0.7 Vpp"), ("rail-12", 12.0, "12.0 V"), ("rail-5", 4.99, "4.99 V") }) Read(job, point, value, typed);
        Do(new GridChecked(job, "set-" + job, sheet.Functions.Where(f => !f.Id.StartsWith("room-", StringComparison.Ordinal)).ToImmutableDictionary(f => f.Check, f => sheet.Checks.First(c => c.Id == f.Check).Outcomes[0]), ImmutableDictionary<string, string>.Empty, 25));
        Prove(job);
        Do(new Unpowered(job, "set-" + job));
        Do(new OwnerWord(job, "send it back; an electrician found the kitchen switch leg off", true, "telephone", null, null, null));
        foreach (var piece in map.Values.Order(StringComparer.Ordinal).Take(6)) Do(new PackedPiece(job, piece));
    }

    /// <summary>The named outcome, or the first trouble the sheet knows when it has no such name.</summary>
    private string Outcome(string check, string wanted)
    {
        var outcomes = sheet.Checks.First(c => c.Id == check).Outcomes;
        return outcomes.Contains(wanted) ? wanted : outcomes[1];
    }

    /// <summary>Every step shown; a point that was read on this tape keeps its reading, another reads near its nominal.</summary>
    private void Prove(string job)
    {
        var read = shop.State.TapeOf(job).Select(e => e.Act).OfType<ReadingTaken>().GroupBy(r => r.Point).ToDictionary(g => g.Key, g => g.Last().Value);
        foreach (var step in sheet.Proof)
        {
            double? value = step.Unit is null || step.Point is null ? null : read.TryGetValue(step.Point, out var was) ? was : sheet.Points.First(p => p.Id == step.Point).Nominal;
            Do(new Proved(job, step.Id, "shown", value, step.Unit, "bench"));
        }
    }

    private void Gate(string job, string gate, double? value) => Do(new GateAnswered(job, "set-" + job, gate, true, value, null, null));

    private void Read(string job, string point, double value, string typed) =>
        Do(new ReadingTaken(job, "set-" + job, point, sheet.Points.First(p => p.Id == point).Quantity, value, typed, ImmutableDictionary<string, string>.Empty, 1));

    private void Day(double ago) => at = now.AddDays(-ago);

    private void Do(Act act, (string Ref, string Text)? text = null)
    {
        at = at.AddMinutes(2);
        var party = act is JobOpened o ? Party.OwnerOf(o.Job) : act is Noted n ? Party.OwnerOf(n.Job) : Party.Shop;
        var answer = shop.Record(new($"demo-{++number:0000}", act, null, at, text is { } t ? [new(t.Ref, party, t.Text)] : []));
        if (answer is Recorded.Refused no) throw new InvalidOperationException($"Demo entry {number} ({ActKinds.NameOf(act)}): {no.Why} {string.Join(" ", no.Details)}");
    }
}
