using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What a parcel costs everybody, and what it costs to do without one. Money in the job's currency; all estimates but what the shop or the job says itself.</summary>
/// <param name="OneWay">Freight and insurance of the set, one way.</param>
/// <param name="PieceOneWay">What one piece more costs in the same parcel, one way.</param>
/// <param name="SmallOneWay">A small parcel of its own, one way.</param>
/// <param name="Border">Fees at the border, both ways together; 0 within one country.</param>
/// <param name="Handling">Minutes of taking in, packing and papers for one parcel.</param>
/// <param name="TakingDown">What it costs the owner to have a station off the wall and up again.</param>
/// <param name="CheckMinutes">Minutes of checking one piece more.</param>
/// <param name="Visit">Having the house looked at by an electrician.</param>
/// <param name="Worth">What the set in order is worth: what it is declared at.</param>
public sealed record SendTerms(double OneWay, double PieceOneWay, double SmallOneWay, double Border, double Handling, double TakingDown, double CheckMinutes, double Visit, double Worth, double Hourly, string Currency)
{
    public static SendTerms Of(ShopState state, string job, bool acrossBorder)
    {
        var t = new ShopTerms().For(state, job);
        var oneWay = t.FreightOut + t.InsuredValue * t.InsurancePercent / 100;
        return new(oneWay, oneWay / 4, oneWay / 2, acrossBorder ? 2 * BorderFee : 0, 84, 20, 15, 100, t.InsuredValue, t.Hourly, t.Currency);
    }

    /// <summary>A carrier's fee for presenting a parcel at customs, one way (estimate; what is repaired and goes back is relieved of duty by most customs, on papers).</summary>
    private const double BorderFee = 25;

    /// <summary>The way here is the owner's own to pay where the shop names no price for it: as much as the way home.</summary>
    public double Parcel => 2 * OneWay + Border;
    public double Minutes(double minutes) => minutes / 60 * Hourly;
}
