using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Where a watch stands at a whole second: what another <see cref="Watcher"/> needs to go on as the same one. What the meters
/// had of the second and of the ten seconds under way is not in it.</summary>
/// <param name="Seconds">Whole seconds listened to.</param>
/// <param name="Minute">Level of each second of the minute under way, dBFS, NaN where it was missed; fewer than 60.</param>
/// <param name="FirstHum">Hum of the first five minutes, dBFS; at most 30.</param>
/// <param name="Usual">The levels the usual one is the middle of, dBFS; at most 60.</param>
/// <param name="Moved">Seconds the level has been away from the usual one, 0..30, and <paramref name="MovedFrom"/> the second that began.</param>
/// <param name="Silent">Number of the event of silence that still lasts, or −1; <paramref name="UsualThen"/> the level it fell from, dBFS.</param>
/// <param name="Humming">Number of the hum event that still lasts, or −1.</param>
/// <param name="Peak">Highest sample of the minute under way, re full scale.</param>
/// <param name="Gaps">What was missed; a memory written before gaps were told apart has none.</param>
/// <param name="Unheard">Seconds among those listened to in which nothing was heard.</param>
public sealed record WatcherMemory(
    int Seconds, ImmutableArray<WatchEvent> Events, ImmutableArray<WatchMinute> Minutes, ImmutableArray<double> Minute, ImmutableArray<double> FirstHum,
    ImmutableArray<double> Usual, int Moved, int MovedFrom, int Silent, double UsualThen, int Humming, double Peak, double? LastHum,
    ImmutableArray<WatchGap> Gaps = default, double Unheard = 0)
{
    /// <summary>Why no watch can stand here, or null.</summary>
    public string? Complaint =>
        Events.IsDefault || Minutes.IsDefault || Minute.IsDefault || FirstHum.IsDefault || Usual.IsDefault ? "a list is missing"
        : Seconds < 0 ? $"{Seconds} seconds were listened to"
        : Minute.Length >= 60 || Minutes.Length != Seconds / 60 || Minute.Length != Seconds % 60 ? $"{Minutes.Length} minutes and {Minute.Length} seconds do not make {Seconds} seconds"
        : !(Unheard >= 0 && Unheard <= Seconds + 1) ? $"{Unheard} of {Seconds} seconds were not heard"
        : Silent < -1 || Silent >= Events.Length || Humming < -1 || Humming >= Events.Length ? "an event that still lasts is not among the events"
        : null;
}
