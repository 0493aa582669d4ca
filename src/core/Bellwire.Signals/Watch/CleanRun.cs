namespace Bellwire.Signals;

/// <summary>What a run without the fault is worth, given the owner's account of how often it showed.</summary>
/// <param name="WouldHaveShown">Chance that the fault, were it still there, had shown in this run, 0..1.</param>
/// <param name="ForNineInTen">Hours (or trials) of clean running after which it would have shown with 9 in 10.</param>
/// <param name="Words">A sentence for screen and paper.</param>
public sealed record CleanRun(double WouldHaveShown, double ForNineInTen, string Words)
{
    /// <summary>By the hour: the fault showed <paramref name="timesSeen"/> times in <paramref name="weeks"/> weeks of
    /// <paramref name="hoursAWeek"/> hours. The rate is uncertain (gamma of shape k over H hours, the scale-free prior), hence
    /// P(clean for h hours | still there) = (H/(H+h))^k; a known rate would give the larger 1 − e^(−kh/H).</summary>
    /// <param name="timesSeen">1 or more.</param>
    /// <param name="hoursAWeek">Hours the set ran in a week at home, 0..168, above 0.</param>
    /// <param name="cleanHours">Hours run here without it, 0 or more.</param>
    public static CleanRun ByHours(int timesSeen, double weeks, double hoursAWeek, double cleanHours)
    {
        if (timesSeen < 1) throw new ArgumentOutOfRangeException(nameof(timesSeen), timesSeen, "The fault was seen at least once.");
        Samples.Positive(weeks, nameof(weeks), "weeks");
        if (!(hoursAWeek is > 0 and <= 168)) throw new ArgumentOutOfRangeException(nameof(hoursAWeek), hoursAWeek, "Above 0 and at most 168 hours a week.");
        if (!(cleanHours >= 0 && double.IsFinite(cleanHours))) throw new ArgumentOutOfRangeException(nameof(cleanHours), cleanHours, "A run lasts 0 hours or more.");
        var hours = weeks * hoursAWeek;
        var shown = 1 - Math.Pow(hours / (hours + cleanHours), timesSeen);
        var enough = hours * (Math.Pow(0.1, -1.0 / timesSeen) - 1);
        return new(shown, enough, FormattableString.Invariant($"At {Count(hoursAWeek, "hour")} a week, {Count(cleanHours, "clean hour")} {Says(cleanHours, shown)}: {InHundred(shown)} would have shown. {Enough(shown, enough, "hour")}"));
    }

    /// <summary>By the trial: it failed <paramref name="failed"/> times in <paramref name="tried"/> trials. Chance per trial: beta with
    /// the prior of Jeffreys (½, ½), hence P(clean in m | still there) = Π (b+i)/(a+b+i), a = failed + ½, b = tried − failed + ½.</summary>
    public static CleanRun ByTrials(int failed, int tried, int cleanTrials)
    {
        if (failed < 1 || failed > tried) throw new ArgumentOutOfRangeException(nameof(failed), failed, $"It failed 1 to {tried} times.");
        if (cleanTrials is < 0 or > 1_000_000) throw new ArgumentOutOfRangeException(nameof(cleanTrials), cleanTrials, "0 to 1 000 000 trials.");
        var (a, b, clean, enough) = (failed + 0.5, tried - failed + 0.5, 1.0, 0);
        for (var i = 0; i < cleanTrials; i++) clean *= (b + i) / (a + b + i);
        for (var left = 1.0; left > 0.1 && enough < 1_000_000; enough++) left *= (b + enough) / (a + b + enough);
        return new(1 - clean, enough, FormattableString.Invariant($"At {failed} in {tried} trials, {Count(cleanTrials, "clean trial")} {Says(cleanTrials, 1 - clean)}: {InHundred(1 - clean)} would have shown. {Enough(1 - clean, enough, "trial")}"));
    }

    /// <summary>Chance that it is mended after this run, from the chance before it.</summary>
    /// <param name="before">P(mended) before the run, 0..1.</param>
    public double Mended(double before) => before is >= 0 and <= 1
        ? before == 0 ? 0 : before / (before + (1 - before) * (1 - WouldHaveShown))
        : throw new ArgumentOutOfRangeException(nameof(before), before, "A probability lies between 0 and 1.");

    private static string Says(double run, double shown)
    {
        var s = run == 1 ? "s" : "";
        return shown switch { < 0.25 => $"say{s} little", < 0.6 => $"say{s} something", < 0.9 => $"say{s} a good deal", _ => run == 1 ? "is good evidence" : "are good evidence" };
    }

    private static string InHundred(double chance) => (100 * chance) switch
    {
        < 0.5 => "fewer than 1 in 100",
        > 99.5 => "more than 99 in 100",
        var c => FormattableString.Invariant($"{Math.Round(c):0} in 100"),
    };

    private static string Enough(double shown, double enough, string unit) => shown >= 0.9 ? "" : FormattableString.Invariant($"{Count(Math.Ceiling(enough), "clean " + unit)} would be worth 9 in 10.");

    private static string Count(double number, string unit)
    {
        string[] small = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
        var word = number == Math.Floor(number) && number <= 12 ? small[(int)number] : FormattableString.Invariant($"{number:0.#}");
        return $"{word} {unit}{(number == 1 ? "" : "s")}";
    }
}
