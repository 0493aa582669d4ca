using System.Collections.Immutable;

namespace Bellwire.Reasoning.Clashes;

/// <summary>What may be behind a tape that cannot, or can hardly, have happened.</summary>
public enum ClashKind
{
    /// <summary>An entry says what was not seen: misread, mistyped, wrong point.</summary>
    Slip,

    /// <summary>Something was done and not entered: a control turned, a site put right.</summary>
    Forgotten,

    /// <summary>A connector moved by itself, or was knocked.</summary>
    Contact,

    /// <summary>The sheet is wrong about one signal.</summary>
    WrongSheet,

    /// <summary>A fault the sheet does not know, that spoils all the looks that clash.</summary>
    UnknownFault,
}

/// <summary>One explanation of a clash.</summary>
/// <param name="Entries">Slip: the entries to leave out. Otherwise the entries it explains, the last one first.</param>
/// <param name="About">What it is about: a position, site, control or signal; empty for slips and unknown faults.</param>
/// <param name="Share">Its weight among all explanations found, 0..1.</param>
/// <param name="LogWeight">ln (chance of the explanation × p of the tape so explained).</param>
public sealed record Explanation(ClashKind Kind, ImmutableArray<string> Entries, string About, double Share, double LogWeight);

/// <summary>What is made of a clash.</summary>
/// <param name="Entry">The entry at which the tape becomes implausible; null when it is plausible throughout.</param>
/// <param name="Smallest">All smallest sets of entries whose leaving out makes the tape plausible; empty when it is plausible, or none was found.</param>
/// <param name="Explanations">The usual explanations, likeliest first.</param>
/// <param name="Whole">False when the allowance of weighings ran out first: sets may be missing.</param>
public sealed record ClashReport(
    string? Entry, ImmutableArray<ImmutableArray<string>> Smallest, ImmutableArray<Explanation> Explanations, bool Whole);

/// <summary>When a tape counts as implausible, and how common the usual explanations are (estimates, all of them).</summary>
/// <param name="Limit">Surprise of one entry, in nats, above which the tape is implausible.</param>
/// <param name="MostLeftOut">Entries left out at most.</param>
/// <param name="Weighings">Weighings allowed.</param>
/// <param name="Slip">Chance of a slip, each entry.</param>
/// <param name="Forgotten">Chance that something was done and not entered before a given entry.</param>
/// <param name="Contact">Chance that a bad contact comes good by itself before a given entry; a sound one goes bad with that times the odds of a bad one.</param>
/// <param name="WrongSheet">Chance that the sheet is wrong about something that matters here.</param>
/// <param name="UnknownFault">Chance of a fault the sheet does not know, beyond its own "other" sites.</param>
public sealed record ClashOptions(
    double Limit = 5, int MostLeftOut = 3, int Weighings = 400,
    double Slip = 0.03, double Forgotten = 0.02, double Contact = 0.03, double WrongSheet = 0.01, double UnknownFault = 0.01)
{
    /// <summary>Told the number of weighings done after each.</summary>
    public Action<int>? Weighed { get; init; }
}
