using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>Speakers on one amplifier: their load together, the power each gets, what the run takes. P = V²/Z.</summary>
public sealed class SpeakerLoadSum : Calculation
{
    private static readonly TextAsk Speakers = new("speakers", "Impedances in parallel, Ω") { Required = true, Hint = "Such as 45 45 45 8." };
    private static readonly NumberAsk Volts = new("volts", "Volts the amplifier gives, RMS", "V", 0.01, 200);
    private static readonly NumberAsk Least = new("least", "Lowest load it bears", "Ω", 0.5, 1000);
    private static readonly NumberAsk Run = new("run", "Ohms of the run, there and back", "Ω", 0, 200) { Usual = 0 };
    private static readonly NumberAsk Inner = new("inner", "Amplifier’s own ohms", "Ω", 0, 100) { Usual = 0 };

    public override string Id => "speaker-load";
    public override string Title => "Speaker load";
    public override string About => "What several speakers together ask of the amplifier, and what each gets.";
    public override ImmutableArray<Ask> Asks { get; } = [Speakers, Volts, Least, Run, Inner];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var ohms = new List<double>();
        foreach (var text in given[Speakers].Split([' ', ';', '/', '∥', '|'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            if (Engineering.Parse(text.Trim(','), "Ω", "", out var why) is not { } value) return tally.NoAdvice(why);
            if (!(value is >= 1 and <= 5000)) return tally.NoAdvice($"{Engineering.Say(value, "Ω")} is outside 1 Ω to 5 kΩ.");
            ohms.Add(value);
        }
        if (ohms.Count is 0 or > 60) return tally.NoAdvice("Type one to sixty impedances, apart by spaces.");
        var together = 1 / ohms.Sum(z => 1 / z);
        var run = given[Run]!.Value;
        tally.Figure("load", "Together", together, "Ω").Figure("seen", "With the run, as the amplifier sees it", together + run, "Ω");
        tally.Figure("loss", "Lost on the run", 20 * Math.Log10((together + run) / together), "dB");
        if (run + given[Inner]!.Value > 0) tally.Figure("damping", "Damping factor", together / (run + given[Inner]!.Value), "");
        if (given[Volts] is { } volts)
        {
            var there = volts * together / (together + run);
            tally.Figure("amplifier", "The amplifier gives", volts * volts / (together + run), "W").Figure("watts", "All speakers get", there * there / together, "W");
            foreach (var group in ohms.GroupBy(z => z).OrderBy(g => g.Key))
                tally.Figure(string.Create(CultureInfo.InvariantCulture, $"each-{group.Key:0.##}"), $"Each of {Engineering.Say(group.Key, "Ω")}", there * there / group.Key, "W");
        }
        if (ohms.Max() > 1.5 * ohms.Min()) tally.Why("At the same volts a low impedance takes the most power: it plays loud while the others whisper.");
        tally.Mind("Impedance is not ohms: a meter shows six to nine tenths of it.");
        if (given[Least] is { } least && together + run < least)
            return tally.Mind("A run that shorts, or one station more, and the output stage goes.").Reckoned($"Too heavy: {Engineering.Say(together + run, "Ω")} is below the {Engineering.Say(least, "Ω")} it bears.");
        return tally.Reckoned($"{Engineering.Say(together, "Ω")} together{(given[Least] is null ? "" : ": within what it bears")}.");
    }
}
