using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Sheets.Generic;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>The gates bar, and say what lifts them. Limits (10 V before hands go into a high-voltage set, 0.5 V before a solid-state board),
/// bars on live chassis and on soaks: common practice, no source.</summary>
public class GateTests
{
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;
    private static readonly TypeSheet Solid = ShippedFiles.Read("corridor-nine"), Tube = GenericSheet.For(new("tube", "transformer", 2, 0, []));
    private static readonly TypeSheet Direct = GenericSheet.For(new("transistor", "line-direct", 2, 0, []));

    /// <summary>A set with one piece of the owner's, a shop's piece of its kind twice, and nothing measured.</summary>
    private static ShopState Set(string kind, params Act[] then)
    {
        var recorded = new List<Entry>();
        var state = ShopState.Empty;
        foreach (var act in (Act[])[
            new JobOpened("j", new Personal("o"), null, null, new("unknown", "unknown", 1, 0, [])),
            new PieceRecorded("own", kind, "Own", "owner:j", "j", "bench", null, null),
            new PieceRecorded("good", kind, "Good", "shop", null, "shelf", null, null, KnownGood: true),
            new PieceRecorded("good2", kind, "Good 2", "shop", null, "shelf", null, null, KnownGood: true),
            new SystemSetUp("set", "j", null, None.Add(kind, "own")), .. then])
        {
            var (jobs, entities) = Touches.Of(state, act);
            var entry = new Entry(recorded.Count + 1, $"e{recorded.Count + 1}", DateTimeOffset.UnixEpoch.AddMinutes(recorded.Count), null, null, jobs, entities, act, "", "");
            state = Replay.Continue(state, recorded, [entry]);
            recorded.Add(entry);
        }
        return state;
    }

    private static GateAnswer Ask(TypeSheet sheet, ShopState state, Act act, bool told = false) => GateKeeper.Check(state, "j", sheet, act, null, told);
    private static readonly Act On = new Powered("j", "set", "limited", null), Off = new Unpowered("j", "set");
    private static ReadingTaken Rest(double volts) => new("j", "set", "reservoir-rest", "volt-dc", volts, $"{volts} V", None);
    private static GateAnswered Answered(string gate, bool passed, double? value = null, string? why = null) => new("j", "set", gate, passed, value, null, why);

    [Fact]
    public void Hands_stay_out_of_a_tube_set_until_it_is_measured_below_ten_volts()
    {
        Act pull = new Pulled("j", "own", "set", "amplifier", null);
        var unmade = Ask(Tube, Set("amplifier"), pull);
        Assert.False(unmade.Allowed || unmade.Overridable);
        Assert.Equal("discharged-high", Assert.Single(unmade.Bars).Gate);
        Assert.True(Ask(Tube, Set("amplifier", Rest(9.9)), pull).Allowed);
        var high = Ask(Tube, Set("amplifier", Rest(60)), pull);
        Assert.True(high is { Allowed: false, Overridable: true });
        Assert.False(Ask(Tube, Set("amplifier", Rest(60)), pull with { Overrides = [new("another-gate", "because")] }).Allowed);
        Assert.False(Ask(Tube, Set("amplifier", Rest(60)), pull with { Overrides = [new("discharged-high", " ")] }).Allowed);
        Assert.True(Ask(Tube, Set("amplifier", Rest(60)), pull with { Overrides = [new("discharged-high", "bleeder is on it, one hand")] }).Allowed);
    }

    [Fact]
    public void A_measured_discharge_falls_with_power_and_is_not_made_under_power()
    {
        Act pull = new Pulled("j", "own", "set", "supply", null);
        Assert.True(Ask(Solid, Set("supply"), pull).Allowed); // a low-voltage set that has not been under power
        Assert.False(Ask(Solid, Set("supply", On, Rest(0.1)), pull).Allowed);
        Assert.False(Ask(Solid, Set("supply", Rest(0.1), On, Off), pull).Allowed);
        Assert.True(Ask(Solid, Set("supply", On, Off, Rest(0.4)), pull).Allowed);
        Assert.False(Ask(Solid, Set("supply", On, Off, Rest(0.6)), pull).Allowed);
        Assert.True(Ask(Solid, Set("station", On), new Pulled("j", "own", "set", "station", null)).Allowed); // no hands go into the chassis
    }

    [Theory]
    [InlineData("pulled"), InlineData("mended"), InlineData("mended at its place"), InlineData("reseated"), InlineData("fitted")]
    public void Everything_done_by_hands_in_the_set_meets_the_gate(string what)
    {
        Act act = what switch
        {
            "pulled" => new Pulled("j", "own", "set", "amplifier", null),
            "mended" => new Mended("j", "own", null, null, "x", "x", 1, null),
            "mended at its place" => new Mended("j", null, "set", "amplifier", "contact", "x", 1, null),
            "reseated" => new Reseated("j", "set", "amplifier"),
            _ => new Fitted("j", "good", "set", "speaker"),
        };
        Assert.Contains(Ask(Tube, Set("amplifier"), act).Bars, b => b.Gate == "discharged-high");
        Assert.DoesNotContain(Ask(Tube, Set("amplifier", Rest(1)), act).Bars, b => b.Gate == "discharged-high");
    }

    [Fact]
    public void A_reason_without_the_measurement_lifts_nothing()
    {
        var state = Set("amplifier");
        var answer = Ask(Tube, state, Answered("discharged-high", false, null, "no meter at hand"));
        Assert.True(answer is { Allowed: false, Overridable: false });
        Assert.True(Ask(Tube, state, Answered("discharged-high", false, 30, "measured, bleeder clipped on")).Allowed);
        Assert.False(Ask(Tube, Set("amplifier", Answered("discharged-high", true)), new Pulled("j", "own", "set", "amplifier", null)).Overridable);
        Assert.True(Ask(Tube, Set("amplifier", Answered("discharged-high", false, 30, "bleeder clipped on")), new Pulled("j", "own", "set", "amplifier", null)).Allowed);
    }

    [Fact]
    public void One_reason_for_the_whole_act_carries_one_gate_only()
    {
        Act[] measured = [On, new ReadingTaken("j", "set", "rail-5", "volt-dc", 7.9, "7.9 V", None), Off, Rest(0.1)];
        var fit = new Fitted("j", "good", "set", "display", "only one to hand");
        Assert.True(Ask(Solid, Set("display", measured), fit).Allowed);
        var last = Set("display", [.. measured, new Lent("good2", "j")]);
        Assert.Equal(["rail5-safe", "last-good"], Ask(Solid, last, fit).Bars.Select(b => b.Gate));
        Assert.Equal(["last-good"], Ask(Solid, last, fit with { OverrideReason = null, Overrides = [new("rail5-safe", "it was the meter")] }).Bars.Select(b => b.Gate));
        Assert.True(Ask(Solid, last, fit with { OverrideReason = null, Overrides = [new("rail5-safe", "it was the meter"), new("last-good", "more are coming")] }).Allowed);
    }

    [Theory] // a good display wants the 5 V rail read warm and loaded first
    [InlineData("volt-dc", 5.02, true, true)]
    [InlineData("volt-dc", 5.02, false, false)] // with the set off the meter shows something else than that rail
    [InlineData("ohm", 5, true, false)]
    [InlineData("ohm", 5, false, false)]
    [InlineData("volt-ac", 5.02, true, false)]
    [InlineData("hertz", 5, true, false)]
    public void A_rail_is_answered_by_its_volts_and_under_power_only(string quantity, double value, bool on, bool answered)
    {
        var read = new ReadingTaken("j", "set", "rail-5", quantity, value, "", None);
        var state = Set("display", on ? [On, read, Off, Rest(0.1)] : [read, Rest(0.1)]);
        Assert.Equal(answered, Ask(Solid, state, new Fitted("j", "good", "set", "display")).Allowed);
    }

    [Fact]
    public void Power_off_or_a_feed_called_off_ends_the_reading_of_rails()
    {
        var five = new ReadingTaken("j", "set", "rail-5", "volt-dc", 5.02, "5.02 V", None);
        var fit = new Fitted("j", "good", "set", "display");
        Assert.False(Ask(Solid, Set("display", On, Off, five, Rest(0.1)), fit).Allowed);
        Assert.False(Ask(Solid, Set("display", On, new Powered("j", "set", "off", null), five, Rest(0.1)), fit).Allowed);
        // A rail read wrong with the set off is a rail not read: no reason replaces that.
        Assert.False(Ask(Solid, Set("display", new ReadingTaken("j", "set", "rail-5", "volt-dc", 0, "0 V", None), Rest(0.1)), fit).Overridable);
    }

    private static Checked Look(string check) => new("j", "set", check, Solid.Checks.First(c => c.Id == check).Outcomes[0], None, None, null);
    private static readonly Act[] Ready = [Answered("ohms-first", true, 900), Answered("limited-feed", true)];

    /// <summary>A look, a reading in volts, a round, steps of the proof by look and by reading.</summary>
    private static IEnumerable<Act> UnderPowerOnly() =>
    [
        Look("fn-clock"), new ReadingTaken("j", "set", "rail-5", "volt-dc", 5.02, "5.02 V", None), new ReadingTaken("j", "set", "idle-current", "ampere", 0.2, "200 mA", None),
        new GridChecked("j", "set", None.Add("fn-clock", "good"), None, null), new Proved("j", "clock", "shown", null, null, null),
        new Proved("j", Solid.Proof.First(s => s.Point == "rail-5").Id, "shown", 5.02, "V", null),
    ];

    [Fact]
    public void What_is_seen_under_power_waits_for_power_or_a_reason()
    {
        foreach (var act in UnderPowerOnly())
        {
            foreach (var off in new[] { Set("supply", Ready), Set("supply", [.. Ready, On, Off]) })
            {
                var answer = Ask(Solid, off, act);
                Assert.Equal("The set is off: put power on first, or say that it was on.", Assert.Single(answer.Bars).Words);
                Assert.True(answer.Overridable);
                Assert.True(Ask(Solid, off, act with { Overrides = [new(GateKeeper.SetOff, "it was on, I forgot")] }).Allowed);
                Assert.True(Ask(Solid, off, act, told: true).Allowed);
            }
            Assert.True(Ask(Solid, Set("supply", [.. Ready, On]), act).Allowed);
            Assert.DoesNotContain(new GateKeeper(Set("supply", Ready), "j", Solid) { Proposes = true }.Check(act).Bars, b => b.Gate == GateKeeper.SetOff);
        }
    }

    [Fact]
    public void What_is_read_with_the_set_off_or_told_by_the_owner_needs_no_power()
    {
        var state = Set("supply", [.. Ready, On, Off]);
        foreach (var act in new Act[] { Look("esr-reservoir"), Rest(0.1), new ReadingTaken("j", "set", "raw", "ohm", 900, "900 ohm", None), new Proved("j", "clock", "shown", null, null, "owner's word") })
            Assert.True(Ask(Solid, state, act).Allowed, act.ToString());
    }

    [Fact]
    public void Nothing_is_proved_of_a_set_that_is_not_on_the_bench()
    {
        var act = new JobOpened("j", new Personal("o"), null, null, new("unknown", "unknown", 1, 0, []));
        var state = Replay.Continue(ShopState.Empty, [], [new Entry(1, "e1", DateTimeOffset.UnixEpoch, null, null, ["j"], [], act, "", "")]);
        foreach (var by in new[] { null, "owner's word" })
        {
            var answer = Ask(Solid, state, new Proved("j", "clock", "shown", null, null, by), told: true);
            Assert.False(answer.Allowed || answer.Overridable);
            Assert.Contains("set it up there", answer.Words, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Said_to_have_been_on_it_was_charged_and_no_rail_is_answered_by_it()
    {
        Act said = Look("fn-clock") with { Overrides = [new(GateKeeper.SetOff, "it was on")] };
        Act pull = new Pulled("j", "own", "set", "supply", null);
        Assert.Contains(Ask(Solid, Set("supply", [.. Ready, said]), pull).Bars, b => b.Gate == "discharged");
        Assert.Contains(Ask(Solid, Set("supply", [.. Ready, Rest(0.1), said]), pull).Bars, b => b.Gate == "discharged");
        Assert.True(Ask(Solid, Set("supply", [.. Ready, said, Rest(0.1)]), pull).Allowed);
        Act five = new ReadingTaken("j", "set", "rail-5", "volt-dc", 5.02, "5.02 V", None) { Overrides = [new(GateKeeper.SetOff, "it was on")] };
        Assert.Contains(Ask(Solid, Set("display", [.. Ready, five, Rest(0.1)]), new Fitted("j", "good", "set", "display")).Bars, b => b.Gate == "rail5-safe");
    }

    [Fact]
    public void Neither_ohms_nor_AC_show_a_capacitor_discharged()
    {
        Act pull = new Pulled("j", "own", "set", "amplifier", null);
        foreach (var quantity in new[] { "ohm", "volt-ac", "volt-ripple-pp" })
            Assert.Contains(Ask(Tube, Set("amplifier", new ReadingTaken("j", "set", "reservoir-rest", quantity, 0.1, "0.1", None)), pull).Bars, b => b.Gate == "discharged-high");
    }

    [Fact]
    public void What_leaks_leaks_whatever_was_written_of_power_and_not_safe_needs_no_number()
    {
        ReadingTaken Leak(double volts) => new("j", "set", "hot-leak", "volt-ac", volts, $"{volts} V AC", None);
        Act alone = new SoakBegun("j", "set", false, 4);
        Assert.True(Ask(Solid, Set("supply", On, Leak(0.2)), alone).Allowed);
        Assert.Contains(Ask(Solid, Set("supply", Leak(0.2), On), alone).Bars, b => b is { Gate: "leak", Liftable: false });
        Assert.Contains(Ask(Solid, Set("supply", Leak(5), On), alone).Bars, b => b.Gate == "barred-soak");
        Assert.Contains(Ask(Solid, Set("supply", On, Leak(0.2), Answered("leak", false)), alone).Bars, b => b.Gate == "barred-soak");
        Assert.DoesNotContain(Ask(Solid, Set("supply", On, Answered("leak", false), Leak(0.2)), alone).Bars, b => b.Gate == "barred-soak");
    }

    [Fact]
    public void A_hook_up_told_with_a_shops_piece_under_power_wants_reasons_and_takes_them()
    {
        var state = Set("display", On);
        var told = new HookUpRepaired("j", "set", None.Add("display", "good"));
        var answer = Ask(Solid, state, told);
        Assert.True(answer is { Allowed: false, Overridable: true });
        Assert.Contains(answer.Bars, b => b.Gate == "power-off");
        Assert.True(Ask(Solid, state, told with { Overrides = [.. answer.Bars.Select(b => new GateOverride(b.Gate, "it was in when I came back"))] }).Allowed);
        Assert.True(Ask(Solid, state, new HookUpRepaired("j", "set", None)).Allowed); // the owner's own: the hook-up is told, nothing is argued
    }

    [Fact]
    public void A_late_entry_meets_the_tape_as_it_stood_there()
    {
        var state = Set("amplifier", Rest(2), On, Off);
        Act pull = new Pulled("j", "own", "set", "amplifier", null);
        Assert.False(Ask(Tube, state, pull).Allowed);
        Assert.True(Ask(Tube, Replay.At([.. state.Effective], 6), pull, told: true).Allowed);
        Assert.True(Ask(Tube, Replay.At([.. state.Effective], 5), pull, told: true) is { Allowed: false, Overridable: true });
    }

    [Theory]
    [InlineData("finger-test"), InlineData("freeze-spray"), InlineData("antenna-touch"), InlineData("earthed-gear")]
    public void A_chassis_that_may_be_live_bars_what_joins_it_to_a_person_or_to_earth(string means)
    {
        Assert.False(Look("era: tube", "feed: line-direct").Overridable);
        Assert.Contains(Look("era: transistor", "feed: line-direct").Bars, b => b.Gate == "barred-" + means);
        Assert.Contains(Look("era: tube", "feed: unknown").Bars, b => b.Gate == "barred-" + means);
        Assert.DoesNotContain(Look("era: transistor", "feed: transformer").Bars, b => b.Gate.StartsWith("barred", StringComparison.Ordinal));
        Assert.Contains(Look("era: transistor", "feed: transformer", Answered("era-leakage", false)).Bars, b => b.Gate == "barred-" + means);

        GateAnswer Look(string era, string feed, params Act[] then)
        {
            var text = SmallSheet.Text.Replace("era: transistor", era, StringComparison.Ordinal).Replace("feed: transformer", feed, StringComparison.Ordinal)
                .Replace("how: listen", $"how: listen\n    means: [{means}]", StringComparison.Ordinal);
            return Ask(SheetReader.Read(text, "s.yaml").Sheet!, Set("amp", then), new Checked("j", "set", "hum", "hums", None, None, null));
        }
    }

    [Fact]
    public void An_earthed_instrument_is_earthed_gear()
    {
        var text = SmallSheet.Text.Replace("meter: {right: 0.99}", "meter: {right: 0.99, earthed: true}", StringComparison.Ordinal);
        Assert.Equal(["earthed-gear"], SheetReader.Read(text, "s.yaml").Sheet!.Checks.Single(c => c.Id == "rail-volts").Means);
    }

    [Fact]
    public void A_soak_alone_wants_leakage_passed_and_a_limited_feed_and_never_a_tube_or_live_chassis()
    {
        Act alone = new SoakBegun("j", "set", false, 4), attended = new SoakBegun("j", "set", true, 4);
        Assert.False(Ask(Solid, Set("supply", On), alone).Overridable);
        Assert.True(Ask(Solid, Set("supply", On), attended).Allowed);
        Assert.True(Ask(Solid, Set("supply", On, Answered("leak", true, 0.2)), alone).Allowed);
        Assert.False(Ask(Solid, Set("supply", On, Answered("leak", true, 0.2), new Powered("j", "set", "line", 120)), alone).Allowed);
        foreach (var sheet in new[] { Tube, Direct })
            Assert.Contains(Ask(sheet, Set("supply", On, Answered("leak", true)), alone).Bars, b => b is { Gate: "barred-soak", Liftable: false });
    }

    [Fact]
    public void The_era_bars_where_the_sheet_says_nothing()
    {
        var sheet = SheetReader.Read(SmallSheet.Text.Replace("era: transistor", "era: tube", StringComparison.Ordinal), "s.yaml").Sheet!;
        Assert.Contains(EraGates.For(sheet), g => g is { Before: "hands-in", Below: 10 });
        Assert.Contains(Ask(sheet, Set("amp"), new Pulled("j", "own", "set", "amp", null)).Bars, b => b.Gate == "era-discharged");
    }

    [Fact]
    public void A_reading_outside_its_limits_is_not_shown_good()
    {
        Proved Shown(double? value, string outcome = "shown") => new("j", "rail-12", outcome, value, "V", null);
        var step = Solid.Proof.First(s => s is { Unit: not null, Low: not null, High: not null });
        Proved At(double? value, string outcome = "shown") => Shown(value, outcome) with { Function = step.Id };
        Assert.Null(ProofPlan.Complaint(Solid, At(step.Low)));
        Assert.Null(ProofPlan.Complaint(Solid, At(step.High)));
        Assert.NotNull(ProofPlan.Complaint(Solid, At(step.High + 0.01)));
        Assert.NotNull(ProofPlan.Complaint(Solid, At(null)));
        Assert.Null(ProofPlan.Complaint(Solid, At(step.High + 1, "failed")));
        Assert.True(Ask(Solid, Set("supply"), At(step.High + 1), told: true) is { Allowed: false, Overridable: false });
    }

    [Fact]
    public void Kept_reasons_name_what_they_went_against()
    {
        var state = Set("amplifier", Rest(60), new Pulled("j", "own", "set", "amplifier", null) { Overrides = [new("discharged-high", "bleeder is on it")] });
        Assert.Equal(new KeptReason(7, "Every high-voltage capacitor measured below 10 V", "bleeder is on it"), Assert.Single(KeptReason.Of(state, "j", Tube)));
        Assert.Contains("bleeder is on it", TapeWords.Of(state, Tube, state.Effective[^1], _ => null), StringComparison.Ordinal);
    }
}
