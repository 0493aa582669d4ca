using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Sets whose chassis is the plus of their supply: every rail reads negative, and that is right (common practice, no source).</summary>
public static class Ground
{
    /// <summary>The feature of an outline that says so.</summary>
    public const string Positive = "positive ground";

    public const string Caution =
        "Positive-ground set: the chassis is the plus. Its rails read negative, and that is right. Before any earthed gear touches it – scope, generator, a bench supply with its minus on earth – put an isolating transformer between, or leave it off: two grounds of opposite sign are a short.";

    public static bool IsPositive(ShopState state, string job)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.Jobs.TryGetValue(job, out var known) && !known.Outline.Has.IsDefault && known.Outline.Has.Contains(Positive);
    }

    /// <summary>A reading as limits and bands are written: in a positive-ground set a negative DC voltage counts by its magnitude.</summary>
    public static double AsWritten(bool positiveGround, string quantity, double value) =>
        positiveGround && quantity == "volt-dc" && value < 0 ? -value : value;
}
