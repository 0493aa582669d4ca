using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel;

/// <summary>One leg of swapping back and forth: which piece sat there, and how often it was tried, and failed.</summary>
/// <param name="Suspect">True while the suspect sat in its place, false while a good one did.</param>
public sealed record SwapLeg(bool Suspect, int Tried, int Failed);

/// <summary>What swapping back and forth (A-B-A-B) has shown of a fault that comes and goes. Three ways it can be: it goes with the piece; it lies elsewhere
/// and shows whichever piece is in; or the first unplugging cured it (a contact), and it has not shown since. A leg with the good piece tells the first from the second, a leg with the
/// suspect back in tells the first from the third: that is why both are wanted.</summary>
/// <param name="Piece">P(it goes with the piece), 0..1; <paramref name="Elsewhere"/> and <paramref name="Contact"/> make up the rest.</param>
/// <param name="NextGood">What the next leg with the good piece is worth: the chance of <paramref name="Piece"/> if that leg stays clean.</param>
/// <param name="NextSuspect">Likewise for the next leg with the suspect, if it fails.</param>
/// <param name="ShowsPerTrial">Chance that it shows in one trial where it is, by what was tried.</param>
public sealed record SwapLegs(double Piece, double Elsewhere, double Contact, double NextGood, double NextSuspect, double ShowsPerTrial, int TrialsALeg)
{
    /// <summary>Surer than this the piece is held to be found, or cleared (estimate; as for mends).</summary>
    public const double SureEnough = 0.9;

    /// <param name="legs">In their order, the first with the suspect in; trials from 0 up, failures among them.</param>
    /// <param name="before">P(it goes with the piece) and P(contact) before the first swap, each above 0, together below 1.</param>
    /// <exception cref="ArgumentException">A leg with fewer trials than failures, or chances out of range.</exception>
    public static SwapLegs Of(IReadOnlyList<SwapLeg> legs, (double Piece, double Contact) before)
    {
        ArgumentNullException.ThrowIfNull(legs);
        if (!(before.Piece > 0 && before.Contact > 0 && before.Piece + before.Contact < 1)) throw new ArgumentException($"Chances {before.Piece} and {before.Contact}: each above 0, together below 1.", nameof(before));
        foreach (var leg in legs)
            if (leg.Tried < 0 || leg.Failed < 0 || leg.Failed > leg.Tried) throw new ArgumentException($"A leg of {leg.Tried} trials cannot fail {leg.Failed} times.", nameof(legs));
        double[] prior = [before.Piece, 1 - before.Piece - before.Contact, before.Contact];
        var now = After(legs, prior);
        var trials = legs.Count == 0 ? 1 : Math.Max(1, (int)Math.Round(legs.Average(l => l.Tried)));
        // Under "it goes with the piece" only the suspect's legs say how often it shows.
        var own = legs.Where(l => l.Suspect).ToList();
        var shows = (own.Sum(l => l.Failed) + 0.5) / (own.Sum(l => l.Tried) + 1);
        return new(now[0], now[1], now[2], After([.. legs, new(false, trials, 0)], prior)[0], After([.. legs, new(true, trials, Math.Max(1, (int)Math.Round(trials * shows)))], prior)[0], shows, trials);
    }

    private static double[] After(IReadOnlyList<SwapLeg> legs, double[] prior)
    {
        (int Tried, int Failed) Sum(Func<SwapLeg, int, bool> which) => (legs.Where(which).Sum(l => l.Tried), legs.Where(which).Sum(l => l.Failed));
        var (own, good, first, later) = (Sum((l, _) => l.Suspect), Sum((l, _) => !l.Suspect), Sum((_, i) => i == 0), Sum((_, i) => i > 0));
        double[] likelihood =
        [
            good.Failed > 0 ? 0 : Math.Exp(Log(own)),
            Math.Exp(Log((own.Tried + good.Tried, own.Failed + good.Failed))),
            later.Failed > 0 ? 0 : Math.Exp(Log(first)),
        ];
        var all = likelihood.Zip(prior, (l, p) => l * p).ToArray();
        return all.Sum() <= 0 ? prior : [.. all.Select(a => a / all.Sum())];
    }

    /// <summary>ln of the chance of one order of so many failures, the chance per trial unknown: beta with the prior of Jeffreys (½, ½).</summary>
    private static double Log((int Tried, int Failed) of)
    {
        double log = 0;
        for (var i = 0; i < of.Failed; i++) log += Math.Log((0.5 + i) / (1 + i));
        for (var i = 0; i < of.Tried - of.Failed; i++) log += Math.Log((0.5 + i) / (1 + of.Failed + i));
        return log;
    }

    /// <summary>In a sentence or two, with what is worth doing next and when it is enough.</summary>
    public string Say(string piece, bool suspectIn)
    {
        var now = string.Create(CultureInfo.InvariantCulture, $"Swapped back and forth: {Words.Band(Piece)} that it goes with {piece}, {Words.Band(Elsewhere)} that it lies elsewhere, {Words.Band(Contact)} that unplugging cured it.");
        if (Piece >= SureEnough) return now + " That is enough: mend it or change it.";
        if (Elsewhere >= SureEnough) return now + " That is enough: the piece is cleared, look elsewhere.";
        if (Contact >= SureEnough) return now + " That is enough: clean and tighten the connector, then let it soak.";
        return now + (suspectIn
            ? $" Next the good piece in, {Times(TrialsALeg)}: clean, that makes it {Words.Band(NextGood)}."
            : $" Next the suspect back in, {Times(TrialsALeg)}: if it shows again, that makes it {Words.Band(NextSuspect)}.");
    }

    private static string Times(int trials) => trials == 1 ? "one trial" : $"{trials} trials";
}
