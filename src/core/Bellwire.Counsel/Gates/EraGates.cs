using System.Collections.Immutable;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What era and feed of a set demand, whether or not its sheet says so. Limits and bars: common practice, no source,
/// except the 60 V DC below which touch is held to be safe in the dry (extra-low voltage, IEC 61140; from memory).</summary>
public static class EraGates
{
    private const double TouchSafeVolts = 60, HighVoltageDischarged = 10, SolidStateDischarged = 0.5;

    /// <summary>True for sets whose capacitors can hurt: tubes, a feed straight from the line, or a named point above 60 V DC.</summary>
    public static bool HighVoltage(TypeSheet sheet) =>
        sheet.Era == "tube" || sheet.Feed == "line-direct" || sheet.Points.Any(p => p.Quantity == "volt-dc" && Math.Max(Math.Abs(p.Nominal ?? 0), Math.Abs(p.High ?? 0)) > TouchSafeVolts);

    /// <summary>True when the chassis may hang on the line as built: a transformerless set, or a tube set of unknown feed.</summary>
    public static bool MayBeLive(TypeSheet sheet) => sheet.Feed == "line-direct" || (sheet.Era == "tube" && sheet.Feed == "unknown");

    /// <summary>The sheet's gates, and those its era demands where it states none as strict.</summary>
    public static ImmutableArray<GateSpec> For(TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var gates = sheet.Gates.ToBuilder();
        var resting = sheet.Points.FirstOrDefault(p => p.Id == "reservoir-rest")?.Id;
        bool Has(string before, Func<GateSpec, bool> strict) => sheet.Gates.Any(g => g.Before == before && g.Kinds.IsEmpty && strict(g));
        if (HighVoltage(sheet) && !Has("hands-in", g => g.Below <= HighVoltageDischarged))
            gates.Add(new("era-discharged", "Every high-voltage capacitor measured below 10 V", "hands-in", resting, HighVoltageDischarged, null, []));
        if (sheet.Era != "tube" && !Has("fit", g => g.Below <= SolidStateDischarged))
            gates.Add(new("era-fit-discharged", "Filter capacitors measured below 0.5 V before a board goes in", "fit", resting, SolidStateDischarged, null, []));
        if (MayBeLive(sheet) && !Has("power", g => g.Leakage))
            gates.Add(new("era-isolated", "An isolation transformer before the set, or cold leakage passed", "power", null, null, null, [], Leakage: true));
        if (!Has("soak", g => g.Leakage))
            gates.Add(new("era-leakage", "Leakage passed and fuse known", "soak", null, null, null, [], Leakage: true));
        return gates.ToImmutable();
    }

    /// <summary>What is barred at a chassis that may be live: nothing that makes a person, or earthed gear, part of its circuit.</summary>
    public static string BarWords(string means) => means switch
    {
        "finger-test" => "the finger test",
        "freeze-spray" => "freeze spray",
        "antenna-touch" => "touching the antenna",
        "earthed-gear" => "an earthed scope, generator or computer lead",
        _ => means,
    };
}
