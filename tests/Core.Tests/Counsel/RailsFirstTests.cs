using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>A doubtful rail is read before any good board meets it, and again after whatever hid it was mended
/// (common practice, no source: supplies are tried into a dummy load first; a blown fuse is a result, look for what blew it).</summary>
public class RailsFirstTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;
    private static readonly string[] OnTheFive = ["control", "display", "tuner"];
    private static readonly Act Fuse = new Mended("case", "case-fuse", null, null, "link", "new fuse", 0.8, 3);
    private static readonly Act Power = new Powered("case", "set", "limited", null), Off = new Unpowered("case", "set");
    private static readonly Act[] Passed = [Read("raw-ohms", 900, "ohm"), new GateAnswered("case", "set", "limited-feed", true, null, null, null)];

    private static ImmutableArray<string> Bars(params Act[] acts) => [.. GateKeeper.Check(Case(acts), "case", Sheet, Power).Bars.Select(b => b.Gate)];

    [Fact]
    public void A_mended_fuse_is_not_powered_with_the_boards_on_it_until_the_rail_was_read()
    {
        Assert.Equal(["rail-rail5"], Bars([Fuse, .. Passed]));
        Assert.Empty(Bars([Fuse, .. Passed, .. Unplugged]));
        Assert.Empty(Bars([Fuse, .. Passed, .. Unplugged, Power, Read("rail-5", 5.02), Off, .. Plugged]));
        Assert.Equal(["rail-rail5"], Bars([Fuse, .. Passed, .. Unplugged, Power, Read("rail-5", 12.9), Off, .. Plugged]));
        // Read high and then good, one of the two was a slip: a good one more is wanted.
        Assert.Equal(["rail-rail5"], Bars([Fuse, .. Passed, .. Unplugged, Power, Read("rail-5", 12.9), Read("rail-5", 5.02), Off, .. Plugged]));
        Assert.Empty(Bars([Fuse, .. Passed, .. Unplugged, Power, Read("rail-5", 12.9), Read("rail-5", 5.02), Read("rail-5", 5.01), Off, .. Plugged]));
        // The right size the wrong way round kills as well; only a chassis that is the plus reads so.
        Assert.Equal(["rail-rail5"], Bars([Fuse, .. Passed, .. Unplugged, Power, Read("rail-5", -5.02), Off, .. Plugged]));
        Assert.Empty(Bars([new OutlineCorrected("case", new("microprocessor", "centre-tapped", 3, 2, [Ground.Positive])), Fuse, .. Passed, .. Unplugged, Power, Read("rail-5", -5.02), Off, .. Plugged]));
    }

    [Fact]
    public void A_reason_that_names_it_carries_it_and_is_printed_in_words()
    {
        var act = ((Powered)Power) with { Overrides = [new("rail-rail5", "the owner wants it tried")] };
        Assert.True(GateKeeper.Check(Case([Fuse, .. Passed]), "case", Sheet, act).Allowed);
        Assert.Contains("5 V rail", KeptReason.Words("rail-rail5", Sheet), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("supply", "reg5", true), InlineData("transformer", "primary", true), InlineData("supply", "rectifier", true)]
    [InlineData("supply", "reservoir", false), InlineData("supply", "cell", false), InlineData("amp", "output", false), InlineData("tuner", "front", false)]
    public void Only_what_could_have_kept_the_rail_from_its_state_lays_it_bare(string position, string site, bool bare) =>
        // A shorted amplifier leaves raw at 9.5 V (the sheet's own sum) and a dried reservoir at 15.5 V: enough for the 5 V regulator, which would have shown its fault.
        Assert.Equal(bare, !Bars([new Mended("case", "case-" + position, null, null, site, "mended", 0.9, 5), .. Passed]).IsEmpty);

    [Fact]
    public void After_the_fuse_the_advice_is_to_unplug_then_to_read_then_to_plug_in_again()
    {
        Act open = new Checked("case", "set", "ohms-fuse", "open", None, None, 1), dead = new OwnerTold("case", "told-life", "dead", null);
        var unplug = First([dead, open, Fuse, .. Passed]);
        Assert.Equal(("rails", "rail5-volts"), (unplug.Kind, unplug.Check));
        Assert.Equal(OnTheFive, unplug.Unplug);
        // An unloaded regulator may read right and give nothing: a resistor stands in, of twice the watts 5 V make in it, 0.4 W.
        Assert.Contains("62 ohm, 1 W across the rail in their place", unplug.Words, StringComparison.Ordinal);
        var read = First([dead, open, Fuse, .. Passed, .. Unplugged]);
        Assert.Equal(("rails", "rail5-volts", 0), (read.Kind, read.Check, read.Unplug.Length));
        // The other rails may be read while the meter is there; then all goes back.
        var plug = Advise([dead, open, Fuse, .. Passed, .. Unplugged, Power, new Checked("case", "set", "rail5-volts", "good", None, None, 1)]).Moves.First(b => b.Id == "rails").Moves[0];
        Assert.Equal(("rails", ""), (plug.Kind, plug.Check));
        Assert.Equal(OnTheFive, plug.Swaps.Select(s => s.Position));
        // Read high, which hardly anybody would have foretold, it is read once more; nothing is plugged in.
        var high = Advise([dead, open, Fuse, .. Passed, .. Unplugged, Power, new Checked("case", "set", "rail5-volts", "high", None, None, 1)]).Moves;
        Assert.DoesNotContain(high, x => x.Id == "rails");
        Assert.Equal("again:rail5-volts", high[0].Moves[0].Id);
        // Read dead it is not read again as it stands: what keeps it dead is looked for.
        var still = Advise([dead, open, Fuse, .. Passed, .. Unplugged, Power, new Checked("case", "set", "rail5-volts", "dead", None, None, 1)]);
        Assert.DoesNotContain(still.Moves, x => x.Id == "rails");
        Assert.NotEmpty(still.Moves);
    }

    [Fact]
    public void A_set_whose_clock_is_lit_and_steady_is_not_taken_apart_for_it() =>
        Assert.DoesNotContain(Advise([new OwnerTold("case", "fn-clock", "good", null), new OwnerTold("case", "fn-keys", "good", null), new OwnerTold("case", "fn-fm", "dead", null), .. Passed]).Moves, b => b.Id == "rails");

    [Fact]
    public void A_set_under_power_is_not_charged_with_powering_it_again()
    {
        Act five = new Checked("case", "set", "rail5-volts", "high", None, None, 1);
        var on = Advise([.. Passed, Power, five]).Moves.Where(b => b.Id != "mend").SelectMany(b => b.Moves).Where(m => m.Kind == "look");
        Assert.All(on, m => Assert.Equal("", m.Risk));
        var off = Advise([.. Passed, Power, five, Off]).Moves.SelectMany(b => b.Moves).Where(m => m.Kind == "look");
        Assert.Contains(off, m => m.Risk.Contains("kills", StringComparison.Ordinal));
    }

    private static Act[] Unplugged => [.. OnTheFive.Select(p => new Pulled("case", "case-" + p, "set", p, "bench"))];
    private static Act[] Plugged => [.. OnTheFive.Select(p => new Fitted("case", "case-" + p, "set", p))];

    private static ReadingTaken Read(string point, double value, string quantity = "volt-dc") =>
        new("case", "set", point, quantity, value, value.ToString(System.Globalization.CultureInfo.InvariantCulture), None);

    /// <summary>The first move that is more than a look with the set off.</summary>
    private static MoveLine First(Act[] acts) => Advise(acts).Moves.SelectMany(b => b.Moves).First(m => m.Kind != "look" || Sheet.Checks.First(c => c.Id == m.Check).Powered != false);

    private static Advice Advise(Act[] acts) => Counsellor.Advise(Case(acts), "case", Sheet, _ => null);

    private static ShopState Case(params Act[] then)
    {
        var owned = Sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToList();
        Act[] all =
        [
            new JobOpened("case", new Personal("owner"), Sheet.Id, Sheet.Hash, new SetOutline(Sheet.Era, Sheet.Feed, 3, 2, [])),
            .. then.OfType<OwnerTold>(),
            .. owned.Select(p => new PieceRecorded(CaseBuilder.PieceAt("case", p.Id), p.Kind, p.Name, "owner:case", "case", "bench", null, null)),
            new SystemSetUp("set", "case", Sheet.Id, owned.ToImmutableDictionary(p => p.Id, p => CaseBuilder.PieceAt("case", p.Id))),
            .. then.Where(a => a is not OwnerTold),
        ];
        var recorded = new List<Entry>();
        var state = ShopState.Empty;
        foreach (var act in all)
        {
            var (jobs, entities) = Touches.Of(state, act);
            var entry = new Entry(recorded.Count + 1, $"e{recorded.Count + 1}", DateTimeOffset.UnixEpoch.AddMinutes(recorded.Count), null, null, jobs, entities, act, "", "");
            state = Replay.Continue(state, recorded, [entry]);
            recorded.Add(entry);
        }
        return state;
    }
}
