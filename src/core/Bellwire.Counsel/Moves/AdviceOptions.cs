using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>What the shop's time and pieces are worth.</summary>
/// <param name="HourlyValue">Money an attended hour is worth, above 0.</param>
/// <param name="ShopPieceFactor">How much dearer a shop's known-good piece is than its worth on the sheet: there are no more. At least 1.</param>
/// <param name="DonorOnlyFactor">How much dearer an owner's piece is than its worth on the sheet when only another set could give a new one (estimate). At least 1.</param>
/// <param name="MovesPerBundle">How many moves a bundle shows.</param>
/// <param name="FixedHours">Attended hours of every job besides finding and mending: taking in, proving, packing, papers (common practice, no source).</param>
/// <param name="MissedMinutes">What a fault that is still there costs when the proof fails on it. Null: the minutes of
/// the proof until it fails, in its best order, and finding it then; 40 where the sheet has no proof (estimate).</param>
/// <param name="Seed">Seed of every draw.</param>
public sealed record AdviceOptions(double HourlyValue = 75, double ShopPieceFactor = 2, int MovesPerBundle = 6, double FixedHours = 2.8, double? MissedMinutes = null, ulong Seed = 1, int Samples = 2000,
    double DonorOnlyFactor = 3)
{
    /// <summary>The engine's limits; null: its own. Samples and seed are those given here.</summary>
    public WeighOptions? Limits { get; init; }

    /// <summary>What circuits foretell; a circuit that is not in it lets its readings count by the bands of checks, as without a circuit.</summary>
    public Forecasts? Forecasts { get; init; }
}
