using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace Bellwire.Workshop;

/// <summary>An act that says by itself which job and pieces it touches.</summary>
public abstract record PlainAct : Act
{
    [JsonIgnore] public virtual string? OfJob => null;
    [JsonIgnore] public virtual IEnumerable<string> OfPieces => [];
}

// ---- the quote and the owner's word
/// <summary>The money side of one job. Sums are in <paramref name="Currency"/>, at least 0.</summary>
/// <param name="FreightIn">What the way here costs the owner through the shop; <paramref name="FreightOut"/> the way home.</param>
/// <param name="InsuredValue">Value declared to the carrier, each way.</param>
/// <param name="TaxPercent">0..100, on everything.</param>
public sealed record TermsSet(string Job, string Currency, decimal FreightIn, decimal FreightOut, decimal InsuredValue, decimal TaxPercent) : PlainAct
{
    public override string OfJob => Job;
}

/// <summary>What is to be done about one suspect.</summary>
/// <param name="What">A piece, or system/position for a connector, as the bench names its suspects.</param>
/// <param name="Way">One of <see cref="Ways"/>.</param>
/// <param name="With">The shop's piece that would go in, or null.</param>
public sealed record WayChosen(string Job, string What, string Way, string? With) : PlainAct
{
    public override string OfJob => Job;
}

public static class Ways
{
    public const string Mend = "mend", Replace = "replace", CoreKept = "exchange-core-kept", CoreReturned = "exchange-core-returned", Decline = "decline";
    public static readonly ImmutableArray<string> All = [Mend, Replace, CoreKept, CoreReturned, Decline];
}

/// <param name="Kind">labour, part, piece, core, freight, insurance, tax.</param>
/// <param name="Amount">May be negative for a core taken in.</param>
public sealed record QuoteLine(string What, string Kind, decimal Amount, string? Piece);

/// <summary>Work that is done only if it turns out to be needed, at its own price; agreed or not with the quote.</summary>
public sealed record QuoteExtra(string Id, string What, decimal Amount, string? Piece);

/// <summary>A quote as it was given: never derived again.</summary>
/// <param name="Flat">The lines added up. <paramref name="Ceiling"/>: what it will not go above without another word; at least Flat.</param>
public sealed record QuoteGiven(string Job, ImmutableArray<QuoteLine> Lines, decimal Flat, ImmutableArray<QuoteExtra> Extras, decimal Ceiling, string Currency, Personal? Words) : PlainAct
{
    public override string OfJob => Job;
    public override IEnumerable<string> OfPieces => [];
}

/// <summary>Ties an owner's word to what it was about: a quote, its extras, pieces. A word so tied covers nothing else.</summary>
/// <param name="Word">Entry id of the owner's word; <paramref name="Quote"/> of the quote.</param>
public sealed record WordTied(string Job, string Word, string? Quote, ImmutableArray<string> Extras, ImmutableArray<string> Pieces) : PlainAct
{
    public override string OfJob => Job;
}

/// <summary>A swap that stays: the shop's piece becomes the owner's, its core goes where it was agreed. One deed, all or nothing.</summary>
/// <param name="Core">The owner's piece it stands for, or null when there was none.</param>
/// <param name="CoreFate">kept (the shop's from now on), returned (stays the owner's), scrapped.</param>
/// <param name="Word">Entry id of the owner's yes.</param>
/// <param name="Serial">Serial or mark read off the piece that stays; <paramref name="CoreSerial"/> off the core.</param>
public sealed record Exchanged(
    string Job, string Piece, string? Core, string CoreFate, string Word, decimal Price, string Currency,
    string? Serial, string? CoreSerial, string? OverrideReason = null) : PlainAct
{
    public override string OfJob => Job;
    public override IEnumerable<string> OfPieces => Core is null ? [Piece] : [Piece, Core];
}
