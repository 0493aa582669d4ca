using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel;

/// <summary>What must be so before a lead runs from a set to a sound input (safety, ear leads). Not asked of a recording that came from elsewhere.</summary>
public static class EarGate
{
    /// <summary>DC on the lead that a sound input's coupling capacitor bears for long (common practice, no source).</summary>
    public const double MostDcVolts = 0.5;

    /// <summary>What was answered, for the tape.</summary>
    public static string Said(double dcVolts) => $" (lead: {Engineering.Say(dcVolts, "V")} DC, isolated, loaded)";

    /// <param name="dcVolts">Measured across the lead's end, loaded, before it is plugged in; null when it was not.</param>
    /// <param name="isolated">An isolating transformer is in the lead; a bridge output is not earthed through it.</param>
    /// <param name="loaded">A dummy load or pad named for that input is in place, the level down.</param>
    /// <returns>Complaints by field; empty when the lead may be plugged in.</returns>
    public static IEnumerable<(string Field, string Words)> Complaints(double? dcVolts, bool isolated, bool loaded)
    {
        if (dcVolts is not { } v) yield return ("dc", "Measure DC at the end of the lead first: a leaky output capacitor puts half the rail into the sound input.");
        else if (!(Math.Abs(v) <= MostDcVolts)) yield return ("dc", string.Create(CultureInfo.InvariantCulture, $"{Engineering.Say(v, "V")} of DC would go into the sound input ({MostDcVolts} V at most). Find that first: the output capacitor leaks, or the output is a bridge."));
        if (!isolated) yield return ("lead", "Put an isolating transformer into the lead first; a bridge output must not be earthed.");
        else if (!loaded) yield return ("lead", "Put the pad or dummy load in place first, and turn the level down: small cones die of sweeps.");
    }
}
