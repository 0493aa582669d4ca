using System.Collections.Immutable;

namespace Bellwire.Workshop;

// ---- the shop and its papers
/// <summary>What the shop says of itself on its papers: one item, the last word on it stands.</summary>
/// <param name="Item">One of <see cref="ShopDetails.Items"/>.</param>
/// <param name="Value">Empty takes the item off the papers. The logo is the content hash of an attachment.</param>
public sealed record ShopDetailSet(string Item, string Value) : Act;

/// <summary>Where an owner is reached: erasable.</summary>
/// <param name="Item">address, telephone, mail or country.</param>
public sealed record OwnerDetail(string Job, string Item, Personal Words) : Act;

/// <summary>A paper went out as it stood: the file is an attachment, to the byte. Countered by another paper, never struck.</summary>
/// <param name="Paper">Which paper: send, came, quote …</param>
/// <param name="Channel">post, mail, by hand …</param>
/// <param name="Head">Number of the journal's last entry when it was written.</param>
/// <param name="Sum">What an invoice or quote asks, with its <paramref name="Currency"/>.</param>
public sealed record PaperSent(string Job, string Paper, string ContentHash, string MediaType, string Channel, long Head, decimal? Sum = null, string? Currency = null) : Act;

// ---- the house
/// <summary>One cable of the house as it is known: what it carries, its colours, its length. A later entry of the same run replaces what it says anew.</summary>
/// <param name="Run">Position of the sheet, or a name of one's own.</param>
/// <param name="Gauge">Wire gauge number 10 to 30; null when not known.</param>
/// <param name="Metres">One way, above 0.</param>
public sealed record RunDescribed(string Job, string Run, string? Terminal, string? Colours, int? Gauge, double? Metres) : Act;

/// <summary>A terminal pointed at on a photograph.</summary>
/// <param name="X">Across, 0 left to 1 right; <paramref name="Y"/> down, 0 to 1.</param>
public sealed record TerminalMarked(string Job, string ContentHash, string Terminal, double X, double Y, string? Colour, string? GoesTo) : Act;

/// <summary>The two wires of a run read against each other at the master, station lifted.</summary>
/// <param name="FarEnd">open, joined, or station: what hung at the other end.</param>
/// <param name="Ohms">0 or more; infinity for an open reading.</param>
/// <param name="Celsius">Of the wire; null counts as 20.</param>
public sealed record LoopRead(string Job, string Run, string FarEnd, double Ohms, double? Celsius, string By) : Act;

/// <summary>Some runs lifted, the others landed: is the trouble still there?</summary>
public sealed record GroupTried(string Job, ImmutableArray<string> Lifted, bool Remains, string By) : Act;

/// <summary>One step of putting the set back in the house, as it was told on the telephone.</summary>
/// <param name="Outcome">well, badly, or left out.</param>
public sealed record RefitTried(string Job, string Step, string Outcome, string By, Personal? Words = null) : Act;

// ---- the family's sheet
/// <summary>Something named on a tape went into the family's sheet; both texts are kept by their hash.</summary>
/// <param name="What">point, hardware, terminal or position.</param>
public sealed record SheetGrown(string? Job, string SheetId, string FromHash, string ToHash, string What, string Name) : Act;
