using System.Collections.Immutable;
using Bellwire.Counsel.Ears;
using Bellwire.Sheets;
using Bellwire.Signals;
using Core.Tests.Signals;

namespace Core.Tests.Counsel;

/// <summary>What a measured recording means for a check, and when it means nothing. The recordings are made here, of known truth.</summary>
public class EarFindingTests
{
    private const int Rate = 8000;

    private static readonly CheckSpec Hum = Check("hum") with { Hears = Map(("none", "quiet"), ("ripple", "buzz"), ("half-missing", "low-hum")) };
    private static readonly CheckSpec Note = Check("note") with
    {
        Bands = ImmutableDictionary<string, (double, double)>.Empty.Add("right", (640, 679)).Add("high", (679, 3000)),
        Matrix = ImmutableDictionary<string, ImmutableDictionary<string, double>>.Empty.Add("right", Odds(0.97, 0.1)).Add("high", Odds(0.03, 0.9)),
    };

    private static ImmutableDictionary<string, string> Map(params (string Key, string Value)[] pairs) => pairs.ToImmutableDictionary(p => p.Key, p => p.Value);
    private static ImmutableDictionary<string, double> Odds(double good, double wrong) => ImmutableDictionary<string, double>.Empty.Add("good", good).Add("wrong", wrong);

    private static CheckSpec Check(string ear) => new("c", "Recorded", "signal", "power", "listen", true, 2, null, null, Map(), Map(), ["quiet", "buzz", "low-hum"],
        ImmutableDictionary<string, ImmutableDictionary<string, double>>.Empty, false, null, false, null, ImmutableDictionary<string, (double, double)>.Empty, Map(), []) { Ear = ear };

    private static HeardChannel Heard(double[] x)
    {
        var listener = new Listener(Rate, 1, new(60));
        listener.Feed([x], x.Length);
        return listener.Finish()[0];
    }

    /// <summary>What a dry reservoir leaves on a full-wave supply: twice the line and its harmonics, falling (check values of the signals engine).</summary>
    private static double[] Ripple(double gain = 1) =>
        Make.Sum([Make.Noise(1, Rate * 12, 1e-4), .. Enumerable.Range(1, 6).Select(k => Make.Sine(Rate, 12, 120 * k, gain * 0.08 / k, k))]);

    private static Listened Listened(double[] x, double[]? setOff = null)
    {
        var (on, off) = (Heard(x), setOff is null ? null : Heard(setOff));
        return new(on, off, HumVerdict.Of(on.Hum!, off?.Hum));
    }

    private static Listened Chime(double hertz)
    {
        var x = Make.Noise(2, Rate * 3, 1e-5).Select((v, n) => v + (n < Rate / 2 ? 0 : 0.3 * Math.Exp(-(n - Rate / 2.0) / Rate) * Math.Sin(2 * Math.PI * hertz * n / Rate))).ToArray();
        return Listened(x) with { Chime = ChimeMeter.Measure(x, Rate).Result };
    }

    [Fact]
    public void Ripple_over_a_quiet_lead_answers_the_check()
    {
        var found = EarFinding.Of(Listened(Ripple(), Make.Noise(3, Rate * 12, 1e-4)), "hum", Hum, null, byOwner: false);
        Assert.Equal(("ripple", "buzz", null), (found.Verdict, found.Outcome, found.Refusal));
        Assert.StartsWith("margin ", found.Margin, StringComparison.Ordinal);
    }

    [Fact]
    public void Hum_without_a_null_run_is_no_evidence_but_silence_and_a_telephone_are()
    {
        var found = EarFinding.Of(Listened(Ripple()), "hum", Hum, null, byOwner: false);
        Assert.Equal(("ripple", null), (found.Verdict, found.Outcome));
        Assert.Contains("without a null run it may be the lead", found.Refusal, StringComparison.Ordinal);
        Assert.Equal("quiet", EarFinding.Of(Listened(Make.Noise(4, Rate * 12, 1e-3)), "hum", Hum, null, byOwner: false).Outcome);
        Assert.Equal("buzz", EarFinding.Of(Listened(Ripple()), "hum", Hum, null, byOwner: true).Outcome);
    }

    [Fact]
    public void Hum_of_the_lead_itself_is_refused()
    {
        var found = EarFinding.Of(Listened(Ripple(), Ripple(0.9)), "hum", Hum, null, byOwner: false);
        Assert.Null(found.Outcome);
        Assert.Contains("lead", found.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public void A_verdict_the_sheet_is_silent_on_is_no_evidence()
    {
        var found = EarFinding.Of(Listened(Ripple(), Make.Noise(3, Rate * 12, 1e-4)), "hum", Hum with { Hears = Map(("none", "quiet")) }, null, byOwner: false);
        Assert.Equal(("ripple", null), (found.Verdict, found.Outcome));
        Assert.Contains("the sheet does not say what “ripple” means", found.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_a_telephone_no_level_is_taken_and_every_frequency_is()
    {
        var chime = Chime(659.26) with { Tone = null };
        foreach (var measure in EarMeasures.All)
        {
            var found = EarFinding.Of(chime, measure, null, null, byOwner: true);
            if (EarMeasures.OfLevel.Contains(measure)) Assert.Contains("a telephone sets its own level", found.Refusal, StringComparison.Ordinal);
            else Assert.DoesNotContain("telephone", found.Refusal ?? "", StringComparison.Ordinal);
        }
        Assert.Equal(["hum", "interval", "note", "tone"], EarMeasures.All.Where(m => !EarMeasures.OfLevel.Contains(m)));
        Assert.Equal("right", EarFinding.Of(chime, "note", Note, null, byOwner: true).Outcome);
    }

    [Theory]
    [InlineData(659.26, "right", "within its limits by 19.")]  // E5 by ISO 16; the nearer limit is 640 or 679
    [InlineData(698.46, "high", "outside its limits by 19.")]  // F5
    [InlineData(678.8, null, "")]                              // two cents of it are 0.8 Hz, the limit 0.2 Hz away
    [InlineData(440, null, "")]                                // no band
    public void A_note_answers_by_its_band_and_near_a_limit_not_at_all(double hertz, string? outcome, string margin)
    {
        var found = EarFinding.Of(Chime(hertz), "note", Note, null, byOwner: false);
        Assert.Equal(outcome, found.Outcome);
        Assert.StartsWith(margin, found.Margin, StringComparison.Ordinal);
        Assert.Equal(hertz, found.Value!.Value, 0.4);
        Assert.Equal(outcome is null, found.Refusal is not null);
        if (hertz == 678.8) Assert.Contains("too near to say", found.Refusal, StringComparison.Ordinal);
    }

    [Fact]
    public void Free_limits_are_told_with_the_margin()
    {
        var chime = Chime(659.26);
        Assert.StartsWith("within its limits by 9.2", EarFinding.Of(chime, "note", null, new(650, null, []), byOwner: false).Margin, StringComparison.Ordinal);
        var outside = EarFinding.Of(chime, "note", null, new(null, 600, []), byOwner: false);
        Assert.StartsWith("outside its limits by 59.2", outside.Margin, StringComparison.Ordinal);
        Assert.Null(outside.Refusal);
        Assert.Equal("", EarFinding.Of(chime, "note", null, null, byOwner: false).Margin);
    }

    [Theory]
    [InlineData("level -14..-10 dBFS", "level", -14.0, -10.0)]
    [InlineData("noise ..−60 dBFS A", "noise", null, -60.0)]
    [InlineData("  distortion  ..1 % ", "distortion", null, 1.0)]
    [InlineData("crosstalk 45..", "crosstalk", 45.0, null)]
    public void Limits_are_read_as_one_writes_them(string written, string measure, double? low, double? high)
    {
        var held = HeldTo.Parse(written).Held!;
        Assert.Equal((measure, low, high), (held.Measure, held.Limits.Low, held.Limits.High));
    }

    [Fact]
    public void Limits_of_a_response_are_put_together_to_one_curve()
    {
        var held = HeldTo.Gather(new[] { "level ..0", "response 100..300 -6..3", "response 300..8000 Hz -3..3 dB" }.Select(w => HeldTo.Parse(w).Held!));
        Assert.Equal(["level", "response"], held.Select(h => h.Measure));
        Assert.Equal([new ResponseLimit(100, 300, -6, 3), new ResponseLimit(300, 8000, -3, 3)], held[1].Limits.Response);
    }

    [Theory]
    [InlineData("", "no measure with limits")]
    [InlineData("loudness 1..2", "there are balance, crosstalk")]
    [InlineData("hum 1..2", "no measure with limits")]           // it ends in a word
    [InlineData("level", "write level LOW..HIGH, in dBFS")]
    [InlineData("level -10..-14", "the lower limit comes first")]
    [InlineData("level ..", "no range")]
    [InlineData("level -14:-10", "no range")]
    [InlineData("level NaN..1", "no range")]
    [InlineData("response -3..3", "FROM..TO LOW..HIGH")]
    [InlineData("response 100..8000 -3..", "all four")]
    [InlineData("response 1..8000 -3..3", "between 10 and 90 000")]
    public void Limits_that_cannot_be_read_are_said_in_one_sentence(string written, string words)
    {
        var (held, why) = HeldTo.Parse(written);
        Assert.Null(held);
        Assert.Contains(words, why, StringComparison.Ordinal);
    }

    [Fact]
    public void Whether_it_holds_is_told_as_a_number_or_not_at_all()
    {
        var chime = Chime(659.26);
        EarFinding Free(double? low, double? high) => EarFinding.Of(chime, "note", null, new(low, high, []), byOwner: false);
        Assert.True(Free(650, null).Holds);
        Assert.Equal(9.26, Free(650, null).Inside!.Value, 0.4);
        Assert.False(Free(null, 600).Holds);
        Assert.Equal(-59.3, Free(null, 600).Inside!.Value, 0.4);
        Assert.Null(Free(659.3, null).Holds);
        Assert.Null(Free(null, null).Holds);
        // By a sheet's check: what a good set shows holds, any other outcome does not.
        Assert.True(EarFinding.Of(chime, "note", Note, null, byOwner: false).Holds);
        Assert.False(EarFinding.Of(Chime(698.46), "note", Note, null, byOwner: false).Holds);
        Assert.Null(EarFinding.Of(Chime(678.8), "note", Note, null, byOwner: false).Holds);
        // A level's limits lie decibels away, whatever it is counted from.
        Assert.EndsWith(" dB", EarFinding.Of(chime, "level", null, new(-80, 0, []), byOwner: false).Margin, StringComparison.Ordinal);
    }

    [Fact]
    public void A_number_is_told_by_name_with_the_digits_it_is_worth()
    {
        // One second harmonic 100 dB under the tone: 0.001 %; noise far below it.
        var x = Make.Sum(Make.Sine(Rate, 4, 500, 0.5), Make.Sine(Rate, 4, 1000, 0.5e-5), Make.Noise(3, 4 * Rate, 1e-7));
        var found = EarFinding.Of(Listened(x) with { Tone = DistortionMeter.Measure(x, Rate).Result }, "distortion", null, null, byOwner: false);
        Assert.StartsWith("Distortion 0.001", found.Told, StringComparison.Ordinal);
        Assert.True(found.Uncertainty > 0);
        Assert.DoesNotContain("± 0 ", found.Told + " ", StringComparison.Ordinal);
        Assert.StartsWith("Level −9.03", EarFinding.Of(Listened(Make.Sine(Rate, 4, 500, 0.5)), "level", null, null, byOwner: false).Told, StringComparison.Ordinal);
        var refused = EarFinding.Of(Listened(x), "interval", null, null, byOwner: false);
        Assert.Equal(refused.Said, refused.Told);
    }

    [Fact]
    public void What_a_check_takes_for_right_is_told_in_words()
    {
        Assert.Equal("640 to 679 Hz", RightRange.Of(Note));
        Assert.Equal("none", RightRange.Of(Hum with { Matrix = ImmutableDictionary<string, ImmutableDictionary<string, double>>.Empty.Add("quiet", Odds(0.97, 0)).Add("buzz", Odds(0.03, 1)) }));
        Assert.Null(RightRange.Of(Hum)); // the sheet says of nothing that a good set shows it
        Assert.Equal("100 to 300 Hz −4 to +3 dB, 300 to 10000 Hz −3 to +3 dB, re 1 kHz", RightRange.Of(Check("response") with { Limits = [new(100, 300, -4, 3), new(300, 10_000, -3, 3)] }));
    }

    [Fact]
    public void What_is_at_least_so_much_is_not_held_within_an_upper_limit()
    {
        var (driven, noise) = (Make.Sine(Rate, 4, 1000, 0.5), Make.Noise(7, Rate * 4, 0.01));
        var hidden = Listened(driven) with { Apart = Separation.Measure(driven, noise, Rate).Result };
        Assert.True(hidden.Apart!.AtLeast);
        EarFinding Free(double? low, double? high) => EarFinding.Of(hidden, "crosstalk", null, new(low, high, []), byOwner: false);
        Assert.True(Free(20, null).Holds);
        Assert.Contains("noise hides the rest", Free(20, 150).Refusal, StringComparison.Ordinal);
        Assert.False(Free(null, 20).Holds); // it is more than that in any case
    }

    [Fact]
    public void Crosstalk_hidden_in_noise_is_taken_only_for_what_it_is_at_least()
    {
        var check = Check("crosstalk") with { Bands = ImmutableDictionary<string, (double, double)>.Empty.Add("buzz", (-20, 45)).Add("quiet", (45, 160)) };
        Listened Apart(double noise, double leak)
        {
            var (driven, other) = (Make.Sine(Rate, 4, 1000, 0.5), Make.Sum(Make.Noise(7, Rate * 4, noise), Make.Sine(Rate, 4, 1000, leak)));
            return Listened(driven) with { Apart = Separation.Measure(driven, other, Rate).Result };
        }
        // 0.5 over 0.005 is 40 dB.
        var leaks = EarFinding.Of(Apart(1e-5, 0.005), "crosstalk", check, null, byOwner: false);
        Assert.Equal(("buzz", 40.0), (leaks.Outcome, Math.Round(leaks.Value!.Value, 1)));
        Assert.Equal("quiet", EarFinding.Of(Apart(1e-5, 0), "crosstalk", check, null, byOwner: false).Outcome);
        var hidden = EarFinding.Of(Apart(0.2, 0), "crosstalk", check, null, byOwner: false);
        Assert.Null(hidden.Outcome);
        Assert.Contains("noise hides the rest", hidden.Refusal, StringComparison.Ordinal);
        Assert.Contains("two channels", EarFinding.Of(Listened(Make.Sine(Rate, 4, 1000, 0.5)), "crosstalk", check, null, byOwner: false).Refusal, StringComparison.Ordinal);
    }

    /// <summary>First-order sections: |H| of a high pass at f/c is (f/c)/√(1+(f/c)²), of a low pass 1/√(1+(f/c)²) (closed form).</summary>
    private static Response Sections(double highPass, double lowPass, double uncertaintyDb = 0.05) => new([.. Enumerable.Range(0, 121).Select(i => 20 * Math.Pow(10, 3 * i / 120.0))
        .Select(f => new ResponsePoint(f, Db(f, highPass, lowPass)))], 0, new("closed form", "", 20, 20_000, uncertaintyDb));

    private static double Db(double f, double highPass, double lowPass) =>
        10 * Math.Log10(f / highPass * (f / highPass) / (1 + f / highPass * (f / highPass))) - 10 * Math.Log10(1 + f / lowPass * (f / lowPass));

    [Theory]
    [InlineData(20, 50_000, "within")]
    [InlineData(400, 50_000, "bass-down")]
    [InlineData(20, 3000, "treble-down")]
    [InlineData(400, 3000, "outside")]
    public void A_response_is_held_against_its_limits(double highPass, double lowPass, string verdict)
    {
        ImmutableArray<ResponseLimit> limits = [new(100, 300, -4, 3), new(300, 10_000, -3, 3)];
        var found = EarFinding.Of(Listened(Make.Noise(1, Rate, 0.1)) with { Response = Sections(highPass, lowPass) }, "response", Check("response") with { Limits = limits, Hears = Map((verdict, "quiet")) }, null, byOwner: false);
        Assert.Equal((verdict, "quiet"), (found.Verdict, found.Outcome));
        // The smallest distance to a limit stands at a corner of the limits, where the closed form gives it (a little off: straight between points).
        double Margin(double f, double low) => Math.Min(Db(f, highPass, lowPass) - Db(1000, highPass, lowPass) - low, 3 - Db(f, highPass, lowPass) + Db(1000, highPass, lowPass));
        var nearest = new[] { Margin(100, -4), Margin(300, -3), Margin(10_000, -3) }.Min();
        Assert.Equal(nearest, found.Value!.Value, 0.1);
        Assert.Contains(nearest < 0 ? "outside its limits by" : "within its limits by", found.Margin, StringComparison.Ordinal);
    }

    [Fact]
    public void A_response_near_a_limit_or_beyond_what_was_measured_is_no_evidence()
    {
        var heard = Listened(Make.Noise(1, Rate, 0.1)) with { Response = Sections(20, 50_000, uncertaintyDb: 4) };
        Assert.Contains("too near to say", EarFinding.Of(heard, "response", null, new(null, null, [new(100, 10_000, -3, 3)]), byOwner: false).Refusal, StringComparison.Ordinal);
        Assert.Contains("the limits ask for 5 to 10000 Hz", EarFinding.Of(heard, "response", null, new(null, null, [new(5, 10_000, -3, 3)]), byOwner: false).Refusal, StringComparison.Ordinal);
        Assert.Contains("no limits", EarFinding.Of(heard, "response", null, null, byOwner: false).Said, StringComparison.Ordinal);
    }

    [Fact]
    public void An_unknown_measure_is_the_caller_s_mistake() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => EarFinding.Of(Listened(Make.Noise(1, Rate, 0.1)), "loudness", null, null, byOwner: false));
}
