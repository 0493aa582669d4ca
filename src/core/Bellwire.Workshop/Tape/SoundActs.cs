namespace Bellwire.Workshop;

/// <summary>A recording that was measured, kept with what it said. What it means for the suspects is an entry of its own.</summary>
/// <param name="Check">The check it answered, or null for a free measurement.</param>
/// <param name="Measure">What it was listened to for.</param>
/// <param name="Value">The number found, in <paramref name="Unit"/>; null when the measure ends in a word or was refused.</param>
/// <param name="Uncertainty">About two standard deviations, in the same unit.</param>
/// <param name="Said">What the measure said, in one line.</param>
/// <param name="ByOwner">The owner's own recording: frequencies are trusted, levels are not.</param>
public sealed record SoundKept(string Job, string? System, string? Check, string Measure, string ContentHash, double? Value, double? Uncertainty, string? Unit, string Said, bool ByOwner) : PlainAct
{
    public override string OfJob => Job;
}

/// <summary>A soak came to its end: how long it ran, how much of that was listened to, what happened, and what a clean run is worth.</summary>
/// <param name="Hours">From begin to end; <paramref name="Listened"/> of them with the sound input open. Hours, at least 0.</param>
/// <param name="Events">How many events the watch noticed.</param>
/// <param name="Said">In one line.</param>
public sealed record SoakEnded(string Job, string? System, double Hours, double Listened, int Events, string Said) : PlainAct
{
    public override string OfJob => Job;
}

/// <summary>The owner's account of a fault that comes and goes: how often it showed, in how long.</summary>
/// <param name="Times">1 and up.</param>
/// <param name="Weeks">Above 0. <paramref name="HoursAWeek"/>: hours the set runs in a week at home, above 0 to 168.</param>
public sealed record ComesAndGoes(string Job, int Times, double Weeks, double HoursAWeek) : PlainAct
{
    public override string OfJob => Job;
}
