using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Sheets;

/// <summary>A validated type sheet, format 1. Built only by <c>SheetReader</c>.</summary>
/// <param name="Hash">SHA-256 of the text, hex: what a tape pins.</param>
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
    ImmutableDictionary<string, string> OwnerChecks);

/// <param name="X">Column, and <paramref name="Y"/> row, on the hook-up drawing's grid.</param>
public sealed record PositionInfo(string Id, string Name, string Kind, bool House, bool TravelsByPost, int X, int Y, ImmutableArray<string> FeedsTo, double Worth, double SwapMinutes);
public sealed record HardwareItem(string Id, string Name, int Count, string? Note);

/// <param name="Target">Signal id, or "position.site", or cause id.</param>
/// <param name="Powered">Null when it does not matter.</param>
/// <param name="Matrix">Outcome → (state → P(outcome | state)).</param>
public sealed record CheckSpec(
    string Id, string Words, string TargetKind, string Target, string How, bool? Powered, double Minutes, string? Bundle, string? Tool,
    ImmutableDictionary<string, string> Throws, ImmutableDictionary<string, string> Circumstances,
    ImmutableArray<string> Outcomes, ImmutableDictionary<string, ImmutableDictionary<string, double>> Matrix,
    bool Owner, ImmutableDictionary<string, ImmutableDictionary<string, double>>? OwnerMatrix, bool Repeatable, string? Point, ImmutableDictionary<string, (double Low, double High)> Bands);

public sealed record BundleSpec(string Id, string Words, double SetUpMinutes);
public sealed record FunctionSpec(string Id, string Words, string Check, ImmutableArray<string> Needs);
public sealed record FaultInfo(string Kind, string? Position, string Site, string Mode, string Words, double MendMinutes, string? Part, double PartCost, double MendSuccess, string? DonorOnly);

/// <param name="Quantity">volt-dc, volt-ac, volt-ripple-pp, ohm …; limits in that unit.</param>
public sealed record PointSpec(string Id, string Words, string Quantity, double? Nominal, double? Low, double? High, bool Powered, int Ladder);
public sealed record ProofStep(string Id, string Words, string? Check, string? Point, double? Low, double? High, string? Unit, double Minutes);
public sealed record TerminalSpec(string Id, string Words, string Carries, string MayConnect);
/// <param name="Before">power, fit, hands-in, soak.</param>
public sealed record GateSpec(string Id, string Words, string Before, string? Point, double? Below, double? Above, ImmutableArray<string> Kinds);

/// <summary>One complaint: 1-based line and column, what was expected, the nearest valid name.</summary>
public sealed record SheetComplaint(int Line, int Column, string Path, string Message, string? Nearest);
