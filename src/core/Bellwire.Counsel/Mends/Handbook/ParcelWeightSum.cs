using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>What a carrier charges a parcel as: sides rounded to the nearest whole, product over the divisor, rounded up, or the scale if that is more.
/// Carriers' pages (divisors 139 and 166 in³/lb, 5000 and 6000 cm³/kg).</summary>
public sealed class ParcelWeightSum : Calculation
{
    private static readonly ChoiceAsk Units = new("units", "Measured in", ("cm", "centimetres and kilograms"), ("in", "inches and pounds"));
    private static readonly NumberAsk Long = new("long", "Length", "", 1, 300) { Required = true };
    private static readonly NumberAsk Wide = new("wide", "Width", "", 1, 300) { Required = true };
    private static readonly NumberAsk Tall = new("tall", "Height", "", 1, 300) { Required = true };
    private static readonly NumberAsk Divisor = new("divisor", "Carrier’s divisor", "", 50, 10000) { Hint = "Usual: 5000 with cm, 139 with inches." };
    private static readonly NumberAsk Scale = new("scale", "Weight on the scale", "", 0, 200) { Usual = 0 };

    public override string Id => "parcel";
    public override string Title => "Parcel weight by size";
    public override string About => "What a carrier charges a large light parcel as.";
    public override ImmutableArray<Ask> Asks { get; } = [Units, Long, Wide, Tall, Divisor, Scale];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var inches = given[Units] == "in";
        var divisor = given[Divisor] ?? (inches ? 139 : 5000);
        static double Side(double side) => Math.Round(side, MidpointRounding.AwayFromZero);
        var volume = Side(given.Need(Long)) * Side(given.Need(Wide)) * Side(given.Need(Tall));
        var unit = inches ? "lb" : "kg";
        var bySize = volume / divisor;
        var charged = Math.Ceiling(Math.Max(bySize, given[Scale]!.Value) - 1e-9);
        tally.Figure("volume", "Sides, rounded, multiplied", volume, inches ? "in³" : "cm³").Figure("size", "Weight by size", bySize, unit).Figure("charged", "Charged as", charged, unit);
        tally.Mind("Divisors and rounding differ between carriers and change: look at the carrier’s page.");
        return tally.Reckoned($"Charged as {Engineering.Say(charged, unit)}{(bySize > given[Scale] ? ", by its size" : "")}.");
    }
}
