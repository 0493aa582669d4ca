using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Counsel.Papers;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Shell.Tests.Papers;

/// <summary>A journal in memory, under its laws, with a clock of its own: five minutes an entry.</summary>
internal sealed class Journal
{
    public static readonly TypeSheet Sheet = SheetLibrary.Of([]).Find("corridor-nine", new("unknown", "unknown", 0, 0, []))!;
    public static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;
    private readonly List<Entry> recorded = [];
    public ShopState State { get; private set; } = ShopState.Empty;
    public Dictionary<string, string> Texts { get; } = [];

    /// <returns>False when the law refuses it.</returns>
    public bool Try(Act act)
    {
        if (Law.Try(State, recorded, act, null) is not Verdict.Lawful yes) return false;
        var entry = new Entry(recorded.Count + 1, "e" + (recorded.Count + 1), new DateTimeOffset(2026, 3, 1, 9, 0, 0, TimeSpan.Zero).AddMinutes(5 * recorded.Count), null, null, yes.Jobs, yes.Entities, act, "", "");
        State = Replay.Continue(State, recorded, [entry]);
        recorded.Add(entry);
        return true;
    }

    public string LastId => recorded[^1].Id;

    public void Must(params Act[] acts) => Assert.All(acts, a => Assert.True(Try(a), $"{ActKinds.NameOf(a)}: {(Law.Try(State, recorded, a, null) as Verdict.Refused)?.Why}"));

    public Personal Text(string reference, string words) { Texts[reference] = words; return new(reference); }

    public PaperFacts Facts(string job, bool weigh = true)
    {
        var weighed = weigh ? Counsellor.Weigh(State, job, Sheet) : Unweighed.Value;
        Advice advice = weigh ? Counsellor.Advise(State, job, Sheet, Read, null, weighed)
            : new(job, Sheet.Title, false, [], [], [], [], [], [], [], [], [], "", 0, 0, new(true, 0, 0, "", []), null);
        return new(State, job, Sheet, weighed, advice, Read, new(2026, 3, 9), "0123456789abcdef") { Good = GoodSetChart.For(State, job, _ => Sheet) };
    }

    /// <summary>A case nobody weighs again: for papers whose words do not come from the posterior.</summary>
    private static readonly Lazy<Weighed> Unweighed = new(() =>
    {
        var j = new Journal();
        j.Must(new JobOpened("x", new("x"), Sheet.Id, Sheet.Hash, new("microprocessor", "centre-tapped", 3, 2, [])));
        return Counsellor.Weigh(j.State, "x", Sheet);
    });

    private string? Read(Personal words) => Texts.GetValueOrDefault(words.Ref);

    /// <summary>A set that hummed, was mended and proved in part, with things one must find again on its papers.</summary>
    public static Journal Mended()
    {
        var j = new Journal();
        j.Must(new ShopDetailSet("name", "The Quiet Bench"), new ShopDetailSet("address", "Lower Lane 3\nOld Mill"), new ShopDetailSet("country", "Upland"), new ShopDetailSet("currency", "CHF"),
            new ShopDetailSet("hourly-rate", "80"), new ShopDetailSet("tax-name", "VAT"), new ShopDetailSet("tax-percent", "8.1"),
            new JobOpened("j", j.Text("o", "Orla Pennigton"), Sheet.Id, Sheet.Hash, new("microprocessor", "centre-tapped", 3, 2, [])),
            new OwnerDetail("j", "address", j.Text("a", "High Street 9\nFarholm")), new Noted("j", j.Text("s", "It hums <loudly> & long")),
            new CauseTold("j", "foreign", true, null), new OwnerTold("j", "told-hum", "buzz", null),
            new PieceRecorded("j-supply", "supply", "Supply board", "owner:j", "j", Places.Bench, "serial 4711", "dusty"), new PieceMissing("j", "chime", "Chime module", "chime"),
            new HardwareCounted("j", "face-screw", 3, 4, null), new SystemSetUp("set-j", "j", Sheet.Id, None.Add("supply", "j-supply")), new Noted("j", j.Text("n", "owner is a nuisance")),
            new Powered("j", "set-j", "limited", 118, "the lamp was lent out"), new ReadingTaken("j", "set-j", "raw-ripple", "volt-ripple-pp", 4.1, "4.1 Vpp", None),
            new GridChecked("j", "set-j", None.Add("fn-fm", "good"), None, 60), new Mended("j", "j-supply", null, null, "reservoir", "reservoir dry", 1, 60),
            new PartUsed("j", "j-supply", "capacitor 2200 uF", 4.50m, "CHF", null), new Powered("j", "set-j", "limited", 118), new ReadingTaken("j", "set-j", "raw-ripple", "volt-ripple-pp", 0.7, "0.7 Vpp", None),
            new Proved("j", "fm", "shown", null, null, "bench"), new Proved("j", "room-1", "shown", null, null, "owner's word"), new PackedPiece("j", "j-supply"), new PackedHardware("j", "face-screw", 3, null));
        return j;
    }
}
