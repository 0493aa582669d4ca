using System.Collections.Immutable;

namespace Bellwire.Counsel;

/// <summary>One gate in the way of an act.</summary>
/// <param name="Gate">Its name: what an override must name.</param>
/// <param name="Words">What is wanted, and how it stands.</param>
/// <param name="Liftable">False when no reason carries it: its check has not been made, or the act is barred on this set.</param>
public sealed record GateBar(string Gate, string Words, bool Liftable);

/// <summary>The gates' answer to an act. Human safety is never priced: a gate bars, or demands a kept reason that names it.</summary>
public sealed record GateAnswer(ImmutableArray<GateBar> Bars)
{
    public static GateAnswer Free { get; } = new([]);
    public bool Allowed => Bars.IsEmpty;

    /// <summary>True when a check was made and did not pass: the act does not wait for it, it is not to be made.</summary>
    public bool Failed => Bars.Any(b => b.Liftable);

    /// <summary>True when a reason for each gate in the way would carry the act.</summary>
    public bool Overridable => !Bars.IsEmpty && Bars.All(b => b.Liftable);

    /// <summary>Null when the way is free.</summary>
    public string? Words => Allowed ? null : string.Join(" ", Bars.Select(b => b.Words));
}

/// <summary>How a gate stands for a set at a moment.</summary>
/// <param name="Made">Its check has been made: measured or answered since it last fell.</param>
internal readonly record struct GateStanding(bool Made, bool Passed, string? Why);
