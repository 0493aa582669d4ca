using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Readings weighed by a circuit.</summary>
public class ForecastTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly CircuitForecast Supply = CircuitForecast.Build(Sheet.Circuits[0], Sheet.Points);
    private static readonly Forecasts Shelf = Shelved();

    private static Forecasts Shelved()
    {
        var all = new Forecasts();
        all.Build(Sheet);
        return all;
    }

    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    private static PointSpec Point(string id) => new(id, id, "volt-dc", null, null, null, true, 0);

    private static readonly CircuitSpec Divider = new("d", "divider",
        new Netlist(new VoltageSource("V1", "top", "0", 10) { Tolerance = 0.08 }, new Resistor("R1", "top", "mid", 1000, 0.1), new Resistor("R2", "mid", "0", 1000, 0.1)), 60,
        [new("top", "top", "0"), new("mid", "mid", "0")], [new("R1 open", new Condition.Always(), [[new Open("R1")]])], null, ["line"]);

    /// <summary>design/reasoning: the mean over common tolerance draws of the product of meter densities – here by 40,000 draws and Ohm's law.</summary>
    [Fact]
    public void Readings_of_one_circuit_weigh_as_the_mean_over_common_draws_of_the_product_of_meter_densities()
    {
        var forecast = CircuitForecast.Build(Divider, [Point("top"), Point("mid")]);
        foreach (var (top, mid) in new[] { (10.0, 5.0), (10.5, 5.25), (10.5, 4.8), (9.6, 5.1) })
        {
            double sum = 0, alone = 0;
            for (var k = 0; k < 40_000; k++)
            {
                var drawn = Divider.Netlist.Drawn(77, k);
                var v = ((Steady)((VoltageSource)drawn["V1"]).Waveform).Value;
                var (r1, r2) = (((Resistor)drawn["R1"]).Ohms, ((Resistor)drawn["R2"]).Ohms);
                var first = Normal(top, v, Math.Sqrt(5e-4) * top);
                alone += first;
                sum += first * Normal(mid, v * r2 / (r1 + r2), Math.Sqrt(5e-4) * mid);
            }
            Assert.Equal(Math.Log(sum / 40_000), forecast.Log("good", [new("top", top), new("mid", mid)]), 0.35);
            Assert.Equal(Math.Log(alone / 40_000), forecast.Log("good", [new("top", top)]), 0.3);
        }

        static double Normal(double x, double mean, double sigma) => Math.Exp(-0.5 * Math.Pow((x - mean) / sigma, 2)) / (sigma * Math.Sqrt(2 * Math.PI));
    }

    [Fact]
    public void A_low_line_explains_low_rails()
    {
        // Raw 15.4 V beside 25.4 V AC is a low line; beside 27.3 V AC something loads or lacks.
        double Odds(double ac) => Supply.Log("good", [new("ac-ends", ac), new("raw", 15.4)]) - Supply.Log("D1 open", [new("ac-ends", ac), new("raw", 15.4)]);
        Assert.True(Odds(25.4) > Odds(27.3) + 2, $"{Odds(25.4):0.00} {Odds(27.3):0.00}");
    }

    [Fact]
    public void One_reading_after_another_comes_to_the_readings_together_in_any_order()
    {
        PointReading[] all = [new("raw", 15.1), new("raw-ripple", 3.9), new("rail-12", 11.9)];
        foreach (var order in new[] { new[] { 0, 1, 2 }, [2, 1, 0], [1, 2, 0] })
        {
            var steps = order.Select((k, i) => Supply.Weigh([.. order[..i].Select(x => all[x])], all[k]).Likelihood).ToList();
            foreach (var s in Supply.States.Where(s => !s.Contains('+')))
            {
                var product = steps.Sum(l => Math.Log(l[s])) - steps.Sum(l => Math.Log(l["good"]));
                Assert.Equal(Supply.Log(s, all) - Supply.Log("good", all), product, 0.01);
            }
        }
    }

    [Fact]
    public void The_outcomes_of_a_reading_add_up_to_one_in_every_state()
    {
        var w = Supply.Weigh([new("ac-ends", 26.3)], new("raw", 16.2));
        foreach (var s in Supply.Target.States) Assert.InRange(w.Outcomes.Skip(1).Sum(o => o[s]), 0.9, 1.1);
    }

    [Fact]
    public void The_same_reading_once_more_is_no_second_witness()
    {
        PointReading[] had = [new("raw", 15.1), new("raw-ripple", 3.9)];
        var again = Supply.Weigh(had, new("raw", 15.1)).Likelihood;
        Assert.All(again.Values, v => Assert.Equal(1, v, 1e-9));
        var corrected = Supply.Weigh(had, new("raw", 16.4)).Likelihood;
        var whole = Supply.Log("good", [new("raw", 16.4), had[1]]) - Supply.Log("D1 open", [new("raw", 16.4), had[1]]);
        Assert.Equal(whole, Supply.Log("good", had) - Supply.Log("D1 open", had) + Math.Log(corrected["good"] / corrected["D1 open"]), 1e-9);
    }

    private static ShopWorld Bench(string feed, params (string Point, double Value)[] readings) => BenchedSet.Of(Sheet, feed, readings);

    private static double Faulty(Weighed w, string site, string mode) =>
        w.Weighing.Posterior!.Sites.Single(s => s.Site.ToString() == site).Now.GetValueOrDefault(mode);

    private static Weighed Weigh(ShopWorld w) => Counsellor.Weigh(w.State, "J", Sheet, new AdviceOptions { Forecasts = Shelf });

    [Fact]
    public void A_dry_reservoir_is_known_by_its_ripple_and_a_half_by_its_own()
    {
        // 2200 µF at 0.25 A, 60 Hz: I/(2fC) bounds the healthy ripple at 0.95 Vpp; at 14 % of that the same bound is 6.8 Vpp (common practice, no source).
        var dry = Weigh(Bench("line", ("ac-ends", 26.4), ("raw", 14.9), ("raw-ripple", 4.2), ("rail-12", 11.9)));
        Assert.InRange(Faulty(dry, "J-supply.reservoir", "dry"), 0.9, 1);
        var half = Weigh(Bench("line", ("ac-ends", 26.4), ("raw", 14.9), ("raw-ripple", 1.5), ("rail-12", 11.9)));
        Assert.InRange(Faulty(half, "J-supply.rectifier", "half"), 0.6, 1);
        Assert.InRange(Faulty(half, "J-supply.reservoir", "dry"), 0, 0.1);
        var both = Weigh(Bench("line", ("ac-ends", 26.4), ("raw", 12.7), ("raw-ripple", 7.8), ("rail-12", 10.3)));
        Assert.InRange(Faulty(both, "J-supply.reservoir", "dry"), 0.8, 1);
        Assert.InRange(Faulty(both, "J-supply.rectifier", "half") + Faulty(both, "J-transformer.secondary", "half-open"), 0.7, 1);
    }

    [Fact]
    public void Good_readings_clear_the_parts_they_pass_through()
    {
        var w = Weigh(Bench("line", ("ac-ends", 26.4), ("raw", 16.1), ("raw-ripple", 0.68), ("rail-12", 12.0), ("rail-5", 5.0)));
        foreach (var (site, mode) in new[] { ("J-supply.reservoir", "dry"), ("J-supply.rectifier", "half"), ("J-supply.reg12", "low"), ("J-supply.reg5", "open"), ("J-fuse.link", "open"), ("J-amp.output", "shorted") })
            Assert.InRange(Faulty(w, site, mode), 0, 0.01);
        Assert.All(w.Weighing.Posterior!.Entries, e => Assert.InRange(e.Surprise, -8, 4));
    }

    [Fact]
    public void Under_another_feed_the_bands_of_checks_count_as_before()
    {
        var w = Bench("limited", ("raw", 16.1));
        Assert.Equal(Counsellor.Weigh(w.State, "J", Sheet).Weighing.Posterior!.LogEvidence, Weigh(w).Weighing.Posterior!.LogEvidence, 12);
    }

    [Fact]
    public void A_mend_parts_the_readings()
    {
        var w = Bench("line", ("raw", 14.9), ("raw-ripple", 4.2));
        Assert.InRange(Faulty(Weigh(w), "J-supply.reservoir", "dry"), 0.8, 1);
        w.Must(new Mended("J", "J-supply", null, null, "reservoir", "replaced", 0.95, 20));
        w.Must(new ReadingTaken("J", "S", "raw-ripple", "volt-ripple-pp", 0.7, "0.7", None, 1));
        Assert.InRange(Faulty(Weigh(w), "J-supply.reservoir", "dry"), 0, 0.02);
    }

    [Fact]
    public void Ohms_without_power_count_by_the_circuit_and_OL_is_a_reading()
    {
        // An open fuse reads OL on the range that suits a fuse, or what junctions beside it let through; never a fraction of an ohm (Ohm's law).
        var open = Weigh(Bench("off", ("fuse-ohms", double.PositiveInfinity)));
        Assert.InRange(Faulty(open, "J-fuse.link", "open"), 0.8, 1);
        var sound = Weigh(Bench("off", ("fuse-ohms", 0.3), ("primary-ohms", 28.3), ("raw-ohms", 930)));
        foreach (var (site, mode) in new[] { ("J-fuse.link", "open"), ("J-transformer.primary", "open"), ("J-amp.output", "shorted"), ("J-supply.rectifier", "shorted") })
            Assert.InRange(Faulty(sound, site, mode), 0, 0.01);
        // Behind an open fuse a shorted rectifier does not load the rail; with the fuse whole raw reads the windings' ohm.
        var shorted = Weigh(Bench("off", ("fuse-ohms", 0.3), ("raw-ohms", 1.3)));
        Assert.InRange(Faulty(shorted, "J-supply.rectifier", "shorted") + Faulty(shorted, "J-amp.output", "shorted"), 0.9, 1.2);
    }

    [Fact]
    public void The_output_pin_is_foretold_and_weighed()
    {
        var half = Weigh(Bench("line", ("raw", 16.4), ("amp-half", 8.1)));
        Assert.InRange(Faulty(half, "J-amp.output", "dead") + Faulty(half, "J-amp.output", "shorted"), 0, 0.01);
        var low = Weigh(Bench("line", ("raw", 16.4), ("amp-half", 0.1)));
        Assert.InRange(Faulty(low, "J-amp.output", "dead"), 0.7, 1);
        // With the rail gone a pin at nothing accuses nobody beyond the rail.
        var dead = Weigh(Bench("line", ("ac-ends", 0), ("raw", 0), ("amp-half", 0)));
        Assert.InRange(Faulty(dead, "J-amp.output", "dead"), 0, 0.1);
    }

    private static Weighed WithPart(string point, string quantity, double value, bool lifted)
    {
        var w = Bench("off");
        w.Must(new ReadingTaken("J", "S", point, quantity, value, "x", lifted ? None.Add(PartReading.Lead, PartReading.Lifted) : None, 1));
        return Weigh(w);
    }

    [Fact]
    public void A_part_read_by_itself_counts()
    {
        var before = Faulty(Weigh(Bench("off")), "J-supply.reservoir", "dry");
        // 2200 µF ± 20 %: 1900 µF are within, 310 µF are not (its marking).
        Assert.InRange(Faulty(WithPart("C1", "farad", 310e-6, lifted: true), "J-supply.reservoir", "dry"), 0.9, 1);
        Assert.InRange(Faulty(WithPart("C1", "farad", 1900e-6, lifted: true), "J-supply.reservoir", "dry"), 0, before / 20);
        Assert.InRange(Faulty(WithPart("C1-esr", "ohm", 2.1, lifted: false), "J-supply.reservoir", "dry"), 0.9, 1);
        Assert.InRange(Faulty(WithPart("D1", "ohm", 0.1, lifted: true), "J-supply.rectifier", "shorted"), 0.9, 1);
        Assert.InRange(Faulty(WithPart("D1", "ohm", double.PositiveInfinity, lifted: true), "J-supply.rectifier", "shorted"), 0, 0.002);
    }

    [Fact]
    public void In_its_circuit_a_part_may_read_lower_than_it_is_and_never_higher()
    {
        // Kirchhoff: what runs beside a resistor takes ohms away; beside a capacitor it adds farads.
        var r = new CircuitSpec("r", "resistor", new Netlist(new VoltageSource("V1", "a", "0", 10, 1), new Resistor("R1", "a", "0", 4700, 0.05)), 60, [],
            [new("R1 at 200 %", new Condition.Always(), [[new Drifted("R1", 2)]]), new("R1 open", new Condition.Always(), [[new Open("R1")]])], null, ["line"]);
        var part = PartReading.Of(Sheet with { Circuits = [r] }, "r1", "ohm")!;
        double Odds(double ohms, bool lifted, string state) => part.Weigh(ohms, lifted).Likelihood is var l ? l[state] / l["good"] : 0;
        Assert.InRange(Odds(4700, true, "R1 at 200 %"), 0, 0.02);
        Assert.InRange(Odds(4700, false, "R1 at 200 %"), 0.001, 0.2);
        Assert.InRange(Odds(1000, false, "R1 open"), 0.3, 1.1);
        Assert.InRange(Odds(1000, true, "R1 open"), 0.5, 2);
        foreach (var lifted in new[] { true, false }) Assert.InRange(Odds(9400, lifted, "R1 at 200 %"), 50, 1e9);
        foreach (var s in part.Target.States) Assert.InRange(part.Weigh(4700, true).Outcomes.Skip(1).Sum(o => o[s]), 0.9, 1.1);
    }
}
