using Bellwire.Counsel;
using Bellwire.Sheets;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>What a sheet cannot tell: a sheet small enough for the answers to be worked out by hand, and the shipped ones.</summary>
public class SheetReportTests
{
    /// <summary>A fuse (10 minutes) and a lead (30) that both only make the rail dead; a chip and a socket in two pieces that both only silence the
    /// sound; a knob that nobody can hear; an ear that takes an hour over what the meter says in one minute.</summary>
    private const string Text = """
        bellwire: 1
        id: tiny
        title: Tiny
        era: transistor
        feed: transformer
        odds: estimated
        instruments: {meter: {right: 1}, ear: {right: 1}}
        pieces:
          supply:
            name: Supply
            other: 0
            sites:
              fuse: {name: Fuse, faults: {open: {words: fuse open, weight: 5, mend: 10}}}
              lead: {name: Lead, faults: {broken: {words: lead broken, weight: 5, mend: 30}}}
          amp:
            name: Amplifier
            other: 0
            sites:
              chip: {name: Chip, faults: {dead: {words: chip dead, weight: 4, mend: 20}}}
          pre:
            name: Preamplifier
            other: 0
            sites:
              socket: {name: Socket, faults: {bent: {words: socket bent, weight: 4, mend: 20}}}
              knob: {name: Knob, faults: {lost: {words: knob lost, weight: 1, mend: 5}}}
        positions:
          supply: {name: Supply, piece: supply, at: [0, 0], feeds: [amp, pre], worth: 20}
          amp: {name: Amplifier, piece: amp, at: [1, 0], worth: 20}
          pre: {name: Preamplifier, piece: pre, at: [1, 1], feeds: [amp], worth: 20}
        signals:
          rail: {name: Rail, states: [good, dead], rules: [dead when supply.fuse open, dead when supply.lead broken]}
          before: {name: Sound before the amplifier, states: [good, dead], rules: ["as upstream rail: dead", dead when pre.socket bent]}
          sound: {name: Sound, states: [good, dead], rules: ["as upstream before: dead", dead when amp.chip dead]}
        checks:
          rail-volts: {words: Rail volts, of: rail, how: measure, powered: true, minutes: 1, with: meter}
          listen: {words: Listening, of: sound, how: listen, powered: true, minutes: 2, with: ear}
          long-listen: {words: Listening for an hour, of: sound, how: listen, powered: true, minutes: 60, with: ear}
        functions:
          plays: {words: It plays, signal: sound, needs: [supply, pre, amp], instrument: ear, minutes: 1}
        proof:
          plays: {words: It plays, check: fn-plays, minutes: 20}
        """;

    private static readonly TypeSheet Tiny = Read();

    private static TypeSheet Read()
    {
        var result = SheetReader.Read(Text, "tiny.yaml");
        Assert.Empty(result.Lines("tiny.yaml"));
        return result.Sheet!;
    }

    private static AlikeClass With(SheetReport report, string words) => report.Alike.Single(c => c.Sets.Any(s => s.EndsWith(words, StringComparison.Ordinal)));

    [Fact]
    public void Faults_with_the_same_shows_are_one_class_and_no_others_are()
    {
        var report = SheetReport.Of(Tiny);
        Assert.Equal((5, 3), (report.Faults, report.Alike.Length));
        Assert.Equal(["Supply: fuse open", "Supply: lead broken"], With(report, "fuse open").Sets.Order());
        Assert.Equal(["Amplifier: chip dead", "Preamplifier: socket bent"], With(report, "chip dead").Sets.Order());
        Assert.Equal(["Preamplifier: knob lost", "nothing wrong"], With(report, "knob lost").Sets.Order());
    }

    [Fact]
    public void The_cheapest_look_that_splits_a_class_is_named_and_worth_what_it_spares()
    {
        var report = SheetReport.Of(Tiny);
        // Nobody reads the sound before the amplifier, and it differs. Left with chip or socket at even odds, one mends 20 minutes in vain in half the cases.
        var chip = With(report, "chip dead");
        Assert.Contains("Sound before the amplifier", chip.NewCheck, StringComparison.Ordinal);
        Assert.Equal(10, chip.WorthMinutes, 0.1);
        Assert.Contains("Amplifier", chip.Swap, StringComparison.Ordinal);
        // Fuse and lead make no difference to any signal: only a look at the part does. The quicker mend comes first: 10 minutes in vain in half the cases.
        var fuse = With(report, "fuse open");
        Assert.Contains("direct look", fuse.NewCheck, StringComparison.Ordinal);
        Assert.Equal(5, fuse.WorthMinutes, 0.1);
        Assert.Contains("settles them together", fuse.Swap, StringComparison.Ordinal);
    }

    [Fact]
    public void A_look_that_costs_more_than_any_two_faults_are_apart_is_idle()
    {
        // Sound tells chip (20) from nothing wrong, which costs the proof of 20 minutes: 20·20/40 = 10; fuse or lead against chip does not differ. 30·20/50 = 12 is the most.
        var idle = Assert.Single(SheetReport.Of(Tiny).Idle);
        Assert.Equal(("long-listen", 60.0), (idle.Check, idle.Minutes));
        Assert.Equal(12, idle.Most, 1e-9);
    }

    [Fact]
    public void Odds_matter_where_being_three_times_off_changes_the_order()
    {
        // Odds over minutes: fuse 5/10, lead 5/30, chip and socket 4/20. Lead three times likelier passes chip and socket; the fuse stays first whatever is believed of lead.
        var odds = SheetReport.Of(Tiny).Odds;
        var (f, l, c) = (odds.Single(o => o.Words.EndsWith("fuse open", StringComparison.Ordinal)), odds.Single(o => o.Words.EndsWith("lead broken", StringComparison.Ordinal)), odds.Single(o => o.Words.EndsWith("chip dead", StringComparison.Ordinal)));
        // Lead before chip and socket: each of them waits 30 minutes longer, lead 40 less.
        double a = f.Odds, b = c.Odds, all = 2 * a + 2 * b;
        Assert.InRange(a / b, 1.1, 1.25);
        Assert.Equal((2 * b * 30 - a * 40) / all, l.Minutes, 1e-6);
        // Fuse believed a third falls behind chip and socket, level with lead: it waits 40 longer, and 30 more if lead goes first; they wait 10 less each.
        Assert.InRange(f.Minutes, (a * 40 - 2 * b * 10) / all - 1e-6, (a * 70 - 2 * b * 10 - a * 10) / all + 1e-6);
        // Chip three times likelier passes the fuse, which waits 20, chip 10 less. A third: behind lead, and socket, which stood beside it: it waits 50 at most.
        Assert.InRange(c.Minutes, (a * 20 - b * 10) / all - 1e-6, Math.Max(a * 20 - b * 10, b * 50 - a * 20) / all + 1e-6);
    }

    [Fact]
    public void Of_two_faults_the_louder_hides_the_other_when_pairs_are_asked_for()
    {
        var told = new List<(int, int)>();
        var report = SheetReport.Of(Tiny, pairs: true, progress: (d, o) => told.Add((d, o)));
        Assert.Equal(10, report.Pairs);
        // A dead rail silences all: fuse and chip together look like the fuse alone.
        Assert.Contains("Supply: fuse open and Amplifier: chip dead", With(report, "Supply: fuse open").Sets);
        Assert.Equal(16, told[^1].Item2);
        Assert.True(told.Select(t => t.Item1).SequenceEqual(told.Select(t => t.Item1).Order()));
    }

    [Fact]
    public void The_shipped_sheet_is_looked_through_and_can_be_given_up()
    {
        var report = SheetReport.Of(ShippedFiles.Read("corridor-nine"));
        // No look tells the connector of the supply from that of the fuse: both leave the set without raw.
        Assert.Contains(report.Alike, c => c.Sets.Length == 2 && c.Sets.All(s => s.Contains("connector", StringComparison.Ordinal)));
        using var stop = new CancellationTokenSource();
        Assert.Throws<OperationCanceledException>(() => SheetReport.Of(ShippedFiles.Read("corridor-nine"), true, (_, _) => stop.Cancel(), stop.Token));
    }
}
