using Bellwire.Circuits;
using Bellwire.Quantities;

namespace Bellwire.Counsel;

/// <summary>A part of a circuit as a technician would name it.</summary>
public static class PartWords
{
    /// <summary>"resistor R1, 22 Ω".</summary>
    public static string Of(Device part)
    {
        ArgumentNullException.ThrowIfNull(part);
        return part switch
        {
            Resistor r => $"resistor {r.Name}, {Engineering.Say(r.Ohms, "Ω")}",
            Capacitor c => $"capacitor {c.Name}, {Engineering.Say(c.Farads, "F")}",
            Zener z => $"zener {z.Name}, {Engineering.Say(z.Volts, "V")}",
            Diode or SeleniumStack => $"rectifier {part.Name}",
            BipolarTransistor or Mosfet => $"transistor {part.Name}",
            Regulator r => $"regulator {r.Name}, {Engineering.Say(r.Volts, "V")}",
            Fuse f => $"fuse {f.Name}, {Engineering.Say(f.RatedAmperes, "A")}",
            Inductor => $"coil {part.Name}",
            Transformer => $"transformer {part.Name}",
            _ => $"part {part.Name}",
        };
    }
}
