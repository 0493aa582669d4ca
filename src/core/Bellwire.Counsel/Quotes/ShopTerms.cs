using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What the shop asks for its time and pieces. All figures are the shop's own to change; the defaults are estimates.</summary>
/// <param name="Hourly">Money an attended hour costs the owner.</param>
/// <param name="FixedHours">Hours of every job besides finding and mending: taking in, proving, packing, papers.</param>
/// <param name="InsurancePercent">Of the insured value, each way.</param>
/// <param name="CoreShare">Share of a piece's worth that a mendable core is taken in for, 0..1.</param>
/// <param name="UnknownMinutes">Minutes for a fault the sheet does not know; <paramref name="UnknownPart"/> its part.</param>
/// <param name="RoundTo">A flat price and a ceiling are rounded up to multiples of this.</param>
public sealed record ShopTerms(
    string Currency = "EUR", double Hourly = 75, double FixedHours = 2.8, double FreightIn = 0, double FreightOut = 24, double InsuredValue = 250,
    double InsurancePercent = 1, double TaxPercent = 0, double CoreShare = 0.3, double UnknownMinutes = 45, double UnknownPart = 20, double RoundTo = 5)
{
    /// <summary>These terms with what the shop says of itself on its papers, and with what was set for this job.</summary>
    public ShopTerms For(ShopState state, string job)
    {
        ArgumentNullException.ThrowIfNull(state);
        var shops = this with { Currency = state.Details["currency"] ?? Currency, Hourly = (double?)state.Details.HourlyRate ?? Hourly, TaxPercent = (double?)state.Details.TaxPercent ?? TaxPercent };
        return state.TapeOf(job).Select(e => e.Act).OfType<TermsSet>().LastOrDefault() is not { } own ? shops : shops with
        {
            Currency = own.Currency, FreightIn = (double)own.FreightIn, FreightOut = (double)own.FreightOut,
            InsuredValue = (double)own.InsuredValue, TaxPercent = (double)own.TaxPercent,
        };
    }

    /// <summary>Freight and insurance both ways, before tax.</summary>
    public double Way => FreightIn + FreightOut + Insurance;
    public double Insurance => (FreightIn > 0 ? 2 : 1) * InsuredValue * InsurancePercent / 100;
    public double Tax => 1 + TaxPercent / 100;

    internal static decimal Cents(double money) => Math.Round((decimal)money, 2, MidpointRounding.AwayFromZero);
}
