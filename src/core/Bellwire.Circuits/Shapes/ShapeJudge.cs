using System.Collections.Immutable;
using System.Globalization;

namespace Bellwire.Circuits.Shapes;

/// <summary>What makes no sense in the description of a supply.</summary>
internal static class ShapeJudge
{
    private static readonly string[] Taken = ["line", "primary", "sec-a", "sec-b", "tap", "fused", "rect", "rect-neg", "mid", "ac", "ac-a", "ac-b", "fuse"];

    public static ImmutableArray<ShapeComplaint> Judge(SupplyShape s)
    {
        var on = new Checks();
        s.Transformer.Check(on.At("Transformer"));
        s.Reservoir.Check(on.At("Reservoir"));
        s.Diodes.Check(on.At("Diodes"));
        on.Range("SurgeOhms", s.SurgeOhms, 0, 10_000, "Ω");
        if (s.Negative && s.Rectifier == RectifierKind.DualFromTap) on.Say("Negative", "A dual supply has a positive and a negative rail already; leave this false.");
        Fuse(s, on);
        var rails = Stages(s, on);
        for (var k = 0; k < s.Loads.Length; k++)
        {
            var at = on.At($"Loads[{k}]");
            s.Loads[k].Check(at);
            if (!rails.Contains(s.Loads[k].Rail)) at.Say("Rail", $"There is no rail {s.Loads[k].Rail}; there are {string.Join(", ", rails)}.");
        }
        return [.. on.Found];
    }

    private static void Fuse(SupplyShape s, Checks on)
    {
        if (s.Fuse.Place == FusePlace.None) return;
        var at = on.At("Fuse");
        at.Range("Amperes", s.Fuse.Amperes, 0.01, 30, "A");
        at.Range("Ohms", s.Fuse.Ohms, 1e-4, 100, "Ω");
        at.Range("MeltingAmpereSquaredSeconds", s.Fuse.MeltingAmpereSquaredSeconds, 1e-6, 1e6, "A²s");
        if (s.Fuse.Place == FusePlace.Tap && !s.Tapped) at.Say("Place", "Only a winding with a tap has a fuse in its tap; say line or secondary.");
        if (s.Fuse.Place == FusePlace.Secondary && s.Tapped) at.Say("Place", "With a tapped winding the fuse is in the tap or in the line; one in a single end would leave the other half running.");
    }

    private static List<string> Stages(SupplyShape s, Checks on)
    {
        var below = new Dictionary<string, bool> { [SupplyShape.Raw] = s.Negative, [SupplyShape.RawNegative] = true };
        List<string> rails = s.Rectifier == RectifierKind.DualFromTap ? [SupplyShape.Raw, SupplyShape.RawNegative] : [SupplyShape.Raw];
        for (var k = 0; k < s.Stages.Length; k++)
        {
            var (stage, at) = (s.Stages[k], on.At($"Stages[{k}]"));
            stage.Check(at);
            var negative = below.GetValueOrDefault(stage.From);
            if (stage.Rail is { } named) below.TryAdd(named, negative);
            if (stage is SeriesRegulator { MadeNegative: { } made } && made != negative)
                at.Say("MadeNegative", $"The rail stands {(negative ? "below" : "above")} common; its number is of a {(made ? "negative" : "positive")} kind.");
            if (!rails.Contains(stage.From)) at.Say("From", $"No rail {stage.From} comes before this stage; there are {string.Join(", ", rails)}.");
            if (stage.Rail is null || !IsName(stage.Rail) || Taken.Contains(stage.Rail) || stage.Rail.EndsWith("-ref", StringComparison.Ordinal) || stage.Rail.EndsWith("-adj", StringComparison.Ordinal))
                at.Say("Rail", $"{(stage.Rail is null or "" ? "Nothing" : stage.Rail)} cannot name a rail: use letters, digits, - and ., not 0 and none of {string.Join(", ", Taken)}, not ending in -ref or -adj.");
            else if (rails.Contains(stage.Rail)) at.Say("Rail", $"There is a rail {stage.Rail} already.");
            else rails.Add(stage.Rail);
        }
        return rails;
    }

    internal static bool IsName(string? name) => !string.IsNullOrEmpty(name) && name.Length <= 40 && name.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '.') && name.Trim('0', '-', '.').Length > 0;

    internal static string N(double v) => v.ToString("g4", CultureInfo.InvariantCulture);
}
