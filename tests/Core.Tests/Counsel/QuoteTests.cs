using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>The price of uncertain faults, judged by plain enumeration of every world; sums by hand (closed forms).</summary>
public class QuoteTests
{
    private static readonly TypeSheet Sheet = SheetReader.Read(SmallSheet.Text.Replace("room: 2", "room: 1"), "small.yaml").Sheet!;
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;
    private static readonly ShopTerms Terms = new(Hourly: 60, FixedHours: 1, FreightOut: 20, InsuredValue: 100, TaxPercent: 20);

    private static ShopWorld World(params Act[] more)
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("p"), "small", null, ShopWorld.Outline));
        foreach (var (id, kind) in new[] { ("sup", "supply"), ("amp", "amp"), ("tun", "tuner") }) w.Must(new PieceRecorded(id, kind, id, "owner:J", "J", Places.Bench, null, null));
        w.Must(new SystemSetUp("set", "J", "small", None.Add("supply", "sup").Add("amp", "amp").Add("tuner", "tun")));
        foreach (var act in more) w.Must(act);
        return w;
    }

    private static readonly Act Dead = new Checked("J", "set", "fn-fm", "dead", None, None, 3);
    private static readonly Act Low = new ReadingTaken("J", "set", "rail", "volt-dc", 0.1, "0.1 V", None, 1);

    /// <summary>Cost of one fault set by hand: getting at a piece once (default 10 minutes where the sheet names none), 60 an hour, mends over their chance to hold.</summary>
    private static double ByHand(IEnumerable<(string Key, string Site, string Mode)> faults, Func<string, string?> way)
    {
        var sum = 0.0;
        foreach (var piece in faults.GroupBy(f => f.Key))
        {
            var position = Sheet.Positions.FirstOrDefault(p => p.Id == piece.Key switch { "sup" => "supply", "tun" => "tuner", var k => k.Replace("J-", "") });
            var isPiece = !piece.Key.Contains('/');
            if (way(piece.Key) == "decline") continue;
            if (isPiece) sum += position!.SwapMinutes;
            if (way(piece.Key) is "replace") { sum += position!.Worth; continue; }
            foreach (var (_, site, mode) in piece)
            {
                var info = Sheet.Faults.FirstOrDefault(f => f.Site == site && f.Mode == mode && (isPiece ? f.Position is null && f.Kind == position!.Kind : f.Position == piece.Key.Split('/')[1]));
                sum += (info?.MendMinutes ?? 45) / (info?.MendSuccess ?? 0.95) + (info?.PartCost ?? 20);
            }
        }
        return sum;
    }

    public static TheoryData<string> Tapes => ["story", "dead", "dead and low", "supply replaced", "supply declined"];

    [Theory, MemberData(nameof(Tapes))]
    public void Mean_and_quantiles_agree_with_enumeration(string tape)
    {
        var w = tape switch
        {
            "story" => World(), "dead" => World(Dead), "dead and low" => World(Dead, Low),
            "supply replaced" => World(Dead, new WayChosen("J", "sup", Ways.Replace, null)), _ => World(Dead, new WayChosen("J", "sup", Ways.Decline, null)),
        };
        var weighed = Counsellor.Weigh(w.State, "J", Sheet);
        const int Draws = 20_000;
        var spread = PriceSpread.Of(w.State, "J", Sheet, weighed, Terms, draws: Draws);

        var judge = PlainJudge.Judge(weighed.Built.Case, 1L << 24, TestContext.Current.CancellationToken);
        Assert.True(judge.Whole);
        var minutes = w.State.Jobs["J"].Minutes;
        string? Way(string key) => key == "sup" && tape.StartsWith("supply", StringComparison.Ordinal) ? tape["supply ".Length..] switch { "replaced" => "replace", _ => "decline" } : null;
        // Fixed hour 60, minutes at 1 each, freight 20, insurance one way 1 % of 100; tax 20 %.
        var totals = judge.FaultSets.Select(s => (Total: 1.2 * (60 + minutes + 20 + 1 + ByHand(Faults(s.Key), Way)), P: s.Value)).OrderBy(t => t.Total).ToList();
        Assert.Equal(totals.Sum(t => t.Total * t.P), (double)spread.Mean, 0.01);
        foreach (var (q, got) in new[] { (0.1, spread.P10), (0.5, spread.P50), (0.9, spread.P90) })
        {
            // The drawn quantile lies between the exact ones four standard errors of its share to either side.
            var slack = 4 * Math.Sqrt(q * (1 - q) / Draws);
            Assert.InRange((double)got, Exact(totals, q - slack) - 0.01, Exact(totals, q + slack) + 0.01);
        }
    }

    private static double Exact(List<(double Total, double P)> totals, double q)
    {
        var sum = 0.0;
        foreach (var (total, p) in totals) if ((sum += p) >= q) return total;
        return totals[^1].Total;
    }

    private static IEnumerable<(string, string, string)> Faults(string set)
    {
        foreach (var fault in set.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var (name, mode) = (fault.Split('=')[0], fault.Split('=')[1]);
            var dot = name.LastIndexOf('.');
            var (key, site) = (name[..dot], name[(dot + 1)..]);
            // Stations and their runs never came; stand-ins are not the owner's.
            if (key is "sup" or "amp" or "tun" || key.StartsWith("set/", StringComparison.Ordinal) || key.StartsWith("J-station", StringComparison.Ordinal)) yield return (key, site, mode);
        }
    }

    [Fact]
    public void Two_faults_in_one_piece_pay_for_getting_at_it_once()
    {
        var one = ByHand([("sup", "reservoir", "dry")], _ => null);
        var both = ByHand([("sup", "reservoir", "dry"), ("sup", "regulator", "open")], _ => null);
        var other = ByHand([("sup", "regulator", "open")], _ => null);
        Assert.Equal(one + other - Sheet.Positions.First(p => p.Id == "supply").SwapMinutes, both, 1e-9);
    }

    [Fact]
    public void The_spread_narrows_as_the_tape_grows()
    {
        var w = World(Dead);
        decimal Width() { var s = PriceSpread.Of(w.State, "J", Sheet, Counsellor.Weigh(w.State, "J", Sheet), Terms); return s.P90 - s.P10; }
        var before = Width();
        w.Must(Low);
        w.Must(new Mended("J", "sup", null, null, "regulator", "regulator", 1, 20));
        w.Must(new ReadingTaken("J", "set", "rail", "volt-dc", 12.0, "12.0 V", None, 1));
        foreach (var f in Sheet.Functions) w.Must(new Checked("J", "set", f.Check, Sheet.Checks.First(c => c.Id == f.Check).Outcomes[0], None, None, 1));
        Assert.True(Width() < before, $"{Width()} against {before}");
    }

    [Fact]
    public void The_clock_stops_before_the_ceiling_and_knows_what_declining_costs()
    {
        var spread = new PriceSpread(200, 150, 190, 260, 120, 0, "EUR", 1) { Totals = [(150, 0.5), (260, 0.5)] };
        Assert.False(JobClock.Of(30, spread, Terms, null).StopAndCall);
        Assert.False(JobClock.Of(30, spread, Terms, 300).StopAndCall);
        Assert.Contains("above the ceiling", JobClock.Of(30, spread, Terms, 200).Word);
        Assert.Contains("86", JobClock.Of(30, spread with { Totals = [(120, 1)] }, Terms, 140).Word);
        Assert.Contains("passed", JobClock.Of(30, spread, Terms, 100).Word);
        // Declining gives half of the fixed hour back: 120 − 60 × ½ × 1.2.
        Assert.Equal(84, JobClock.Of(30, spread, Terms, 300).Declining);
    }

    [Fact]
    public void A_word_agrees_to_the_quote_and_what_it_does_not_name_needs_a_new_one()
    {
        var w = World(Dead);
        w.Must(new QuoteGiven("J", [new("Mending the supply", "labour", 80, "sup")], 80, [new("x1", "Tuner", 40, "tun"), new("x2", "Amplifier", 55, "amp")], 160, "EUR", null), "quote");
        Assert.Null(Agreement.Of(w.State, "J").Ceiling);
        w.Must(new OwnerWord("J", "the quote", true, "telephone", 120, "EUR", null), "yes");
        w.Must(new WordTied("J", "yes", "quote", ["x1"], ["sup", "tun"]));
        var agreed = Agreement.Of(w.State, "J");
        Assert.Equal((true, 120m, 160m), (agreed.Accepted, agreed.Agreed, agreed.Ceiling!.Value));
        Assert.Empty(agreed.Unagreed);
        w.Must(new Mended("J", "amp", null, null, "chip", "chip replaced", 0.9, 20));
        Assert.Contains("the quote does not name it", Assert.Single(Agreement.Of(w.State, "J").Unagreed));
        w.Must(new OwnerWord("J", "the amplifier too", true, "letter", 55, "EUR", null), "more");
        w.Must(new WordTied("J", "more", null, [], ["amp"]));
        var later = Agreement.Of(w.State, "J");
        Assert.Empty(later.Unagreed);
        Assert.Equal((175m, 215m), (later.Agreed, later.Ceiling!.Value));
    }
}
