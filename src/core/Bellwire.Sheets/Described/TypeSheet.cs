using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Sheets;

/// <summary>A validated type sheet, format 1. Built only by <c>SheetReader</c>.</summary>
/// <param name="Hash">SHA-256 of the text (and of the outline, when a sheet was cut to one), hex: what a tape pins.</param>
/// <param name="Era">tube, transistor, cassette, microprocessor, later or unknown.</param>
/// <param name="Feed">transformer, centre-tapped, adapter, line-direct, battery or unknown.</param>
/// <param name="GeneralOdds">True for a block model whose odds are general: every page says so.</param>
/// <param name="OwnerChecks">Check id → the question for the owner. What the owner tells was seen with place = home.</param>
/// <param name="Conditions">Circumstance name → its values, the default first (feed, warmth, weather, place and the sheet's own).</param>
public sealed record TypeSheet(
    string Id, string Title, string Hash, string Era, string Feed, bool GeneralOdds,
    Family Family,
    ImmutableArray<PositionInfo> Positions,
    ImmutableArray<HardwareItem> Hardware,
    ImmutableArray<CheckSpec> Checks,
    ImmutableArray<BundleSpec> Bundles,
    ImmutableArray<FunctionSpec> Functions,
    ImmutableArray<FaultInfo> Faults,
    ImmutableArray<PointSpec> Points,
    ImmutableArray<ProofStep> Proof,
    ImmutableArray<TerminalSpec> Terminals,
    ImmutableArray<GateSpec> Gates,
    ImmutableArray<string> Cautions,
    ImmutableDictionary<string, string> OwnerChecks,
    ImmutableDictionary<string, ImmutableArray<string>> Conditions,
    FaultProfile Profile)
{
    /// <summary>Circuits that foretell readings; a point stands in one at most.</summary>
    public ImmutableArray<CircuitSpec> Circuits { get; init; } = [];
}

/// <summary>How many faults a set of the family has before anything is known of it. Probabilities 0..1.</summary>
/// <param name="Nothing">P(no fault anywhere).</param>
/// <param name="One">P(exactly one | at least one); likewise <paramref name="Two"/>, <paramref name="Three"/>, <paramref name="More"/> (four or more).</param>
/// <param name="NothingLasting">P(nothing lasting is wrong in what comes to the bench | anything is wrong): no fault found.</param>
/// <param name="Scale">Factor from the sheet's weights to base odds (as −ln(1 − p)).</param>
public sealed record FaultProfile(double Nothing, double One, double Two, double Three, double More, double NothingLasting, double Scale);

/// <param name="X">Column, and <paramref name="Y"/> row, on the hook-up drawing's grid.</param>
public sealed record PositionInfo(string Id, string Name, string Kind, bool House, bool TravelsByPost, int X, int Y, ImmutableArray<string> FeedsTo, double Worth, double SwapMinutes);
public sealed record HardwareItem(string Id, string Name, int Count, string? Note);

/// <param name="Target">Signal id, or "position.site", or cause id.</param>
/// <param name="Powered">Null when it does not matter.</param>
/// <param name="How">look, measure, listen, ask, work, reset.</param>
/// <param name="Minutes">Attended minutes without the bundle's set-up.</param>
/// <param name="Matrix">Outcome → (state → P(outcome | state)); for each state the outcomes add up to 1.</param>
/// <param name="OwnerMatrix">The same for the owner's word, when <paramref name="Owner"/>.</param>
/// <param name="Bands">Outcome → readings [low, high) at <paramref name="Point"/>, in the point's unit.</param>
/// <param name="Says">Outcome → words for a person; every outcome has some.</param>
/// <param name="Means">What else is used: finger-test, freeze-spray, antenna-touch, earthed-gear – barred where the chassis may be live.</param>
public sealed record CheckSpec(
    string Id, string Words, string TargetKind, string Target, string How, bool? Powered, double Minutes, string? Bundle, string? Tool,
    ImmutableDictionary<string, string> Throws, ImmutableDictionary<string, string> Circumstances,
    ImmutableArray<string> Outcomes, ImmutableDictionary<string, ImmutableDictionary<string, double>> Matrix,
    bool Owner, ImmutableDictionary<string, ImmutableDictionary<string, double>>? OwnerMatrix, bool Repeatable, string? Point, ImmutableDictionary<string, (double Low, double High)> Bands,
    ImmutableDictionary<string, string> Says, ImmutableArray<string> Means)
{
    /// <summary>The measure of a recording that answers it (<see cref="EarMeasures"/>), or null.</summary>
    public string? Ear { get; init; }

    /// <summary>Verdict of the measure → outcome; for a measure that ends in a number the bands say which.</summary>
    public ImmutableDictionary<string, string> Hears { get; init; } = ImmutableDictionary<string, string>.Empty;

    /// <summary>What a response is held against; empty for every other measure.</summary>
    public ImmutableArray<ResponseLimit> Limits { get; init; } = [];
}

/// <summary>From <paramref name="LowHertz"/> to <paramref name="HighHertz"/> a response lies from <paramref name="LowDb"/> to <paramref name="HighDb"/>, dB re 1 kHz.</summary>
public sealed record ResponseLimit(double LowHertz, double HighHertz, double LowDb, double HighDb);

public sealed record BundleSpec(string Id, string Words, double SetUpMinutes);
public sealed record FunctionSpec(string Id, string Words, string Check, ImmutableArray<string> Needs);
/// <param name="Position">Null for a fault of the piece; otherwise of that position (run, contact, setting).</param>
/// <param name="MendSuccess">Chance 0..1 that the mend holds.</param>
/// <param name="DonorOnly">Why only another set can give the part, or null.</param>
/// <param name="Passing">Leaves nothing to mend (a hung controller, a switch left off).</param>
public sealed record FaultInfo(string Kind, string? Position, string Site, string Mode, string Words, double MendMinutes, string? Part, double PartCost, double MendSuccess, string? DonorOnly, bool Passing = false);

/// <param name="Ladder">1.. = place on the rail ladder; 0 = not on it.</param>
/// <param name="Quantity">volt-dc, volt-ac, volt-ripple-pp, ohm …; limits in that unit.</param>
public sealed record PointSpec(string Id, string Words, string Quantity, double? Nominal, double? Low, double? High, bool Powered, int Ladder)
{
    /// <summary>What loads the rail in a whole set, Ω: a resistor of that size stands in for the pieces on it when they are unplugged. Null where nothing is known.</summary>
    public double? LoadOhms { get; init; }

    /// <summary>The resistor that stands in, in words; null where no load is known. Its watts are the next usual size above twice what it turns to heat (common practice, no source).</summary>
    public string? LoadWords => LoadOhms is { } ohms && Nominal is { } volts
        ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{ohms:0.##} ohm, {UsualWatts.First(w => w >= 2 * volts * volts / ohms || w == UsualWatts[^1]):0.##} W") : null;

    private static readonly double[] UsualWatts = [0.25, 0.5, 1, 2, 3, 5, 7, 10, 17, 25, 50, 100];
}
public sealed record ProofStep(string Id, string Words, string? Check, string? Point, double? Low, double? High, string? Unit, double Minutes);
public sealed record TerminalSpec(string Id, string Words, string Carries, string MayConnect);
/// <param name="Before">power, fit, hands-in, soak.</param>
/// <param name="Point">The test point whose reading answers it, if one does.</param>
/// <param name="Below">Answered only by a measured magnitude below this, and above <paramref name="Above"/>.</param>
/// <param name="Kinds">The kinds of piece it is about; empty = all.</param>
/// <param name="Leakage">Its answer tells whether the chassis leaks to the line.</param>
public sealed record GateSpec(string Id, string Words, string Before, string? Point, double? Below, double? Above, ImmutableArray<string> Kinds, bool Leakage = false);

/// <summary>One complaint: 1-based line and column, what was expected, the nearest valid name.</summary>
public sealed record SheetComplaint(int Line, int Column, string Path, string Message, string? Nearest);
