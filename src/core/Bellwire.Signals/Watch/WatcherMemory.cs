using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Where a watch stands at a whole second: what another <see cref="Watcher"/> needs to go on as the same one. What the meters
/// had of the second and of the ten seconds under way is not in it.</summary>
/// <param name="Seconds">Whole seconds listened to.</param>
/// <param name="Minute">Level of each second of the minute under way, dBFS; fewer than 60.</param>
/// <param name="FirstHum">Hum of the first five minutes, dBFS; at most 30.</param>
/// <param name="Usual">The levels the usual one is the middle of, dBFS; at most 60.</param>
/// <param name="Moved">Seconds the level has been away from the usual one, 0..30, and <paramref name="MovedFrom"/> the second that began.</param>
/// <param name="Silent">Number of the event of silence that still lasts, or −1; <paramref name="UsualThen"/> the level it fell from, dBFS.</param>
/// <param name="Humming">Number of the hum event that still lasts, or −1.</param>
/// <param name="Peak">Highest sample of the minute under way, re full scale.</param>
public sealed record WatcherMemory(
    int Seconds, ImmutableArray<WatchEvent> Events, ImmutableArray<WatchMinute> Minutes, ImmutableArray<double> Minute, ImmutableArray<double> FirstHum,
    ImmutableArray<double> Usual, int Moved, int MovedFrom, int Silent, double UsualThen, int Humming, double Peak, double? LastHum)
{
    /// <summary>Why no watch can stand here, or null.</summary>
    public string? Complaint =>
        Events.IsDefault || Minutes.IsDefault || Minute.IsDefault || FirstHum.IsDefault || Usual.IsDefault ? "a list is missing"
        : Seconds < 0 ? $"{Seconds} seconds were listened to"
        : Minute.Length >= 60 || Minutes.Length != Seconds / 60 || Minute.Length != Seconds % 60 ? $"{Minutes.Length} minutes and {Minute.Length} seconds do not make {Seconds} seconds"
        : Silent < -1 || Silent >= Events.Length || Humming < -1 || Humming >= Events.Length ? "an event that still lasts is not among the events"
        : null;
}
