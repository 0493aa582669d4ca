using System.Collections.Immutable;

namespace Bellwire.Counsel.Papers;

/// <summary>One paper: what it says, without a look. The same tape gives the same paper.</summary>
/// <param name="Kind">Its word in addresses and on the command line.</param>
/// <param name="Foot">Which state of the journal it was written from.</param>
public sealed record Paper(string Kind, string Title, PaperHead Head, ImmutableArray<Block> Blocks, string Foot)
{
    /// <summary>What a quote or invoice asks.</summary>
    public Money? Sum { get; init; }
}

/// <param name="Shop">Name and lines of the shop; empty when nothing was said of it.</param>
/// <param name="Logo">Content hash of a picture, or null.</param>
/// <param name="To">Name and lines of whom it goes to.</param>
/// <param name="About">Whose set and which.</param>
public sealed record PaperHead(ImmutableArray<string> Shop, string? Logo, ImmutableArray<string> To, string About, DateOnly? Day);

/// <summary>A sum with its currency: never one without the other.</summary>
public readonly record struct Money(decimal Amount, string Currency)
{
    public override string ToString() => FormattableString.Invariant($"{Amount:0.00} {Currency}");
}

/// <summary>A part of a paper.</summary>
public abstract record Block
{
    public sealed record Heading(string Text) : Block;
    public sealed record Words(string Text) : Block;

    /// <summary>Framed, never to be overlooked.</summary>
    public sealed record Caution(string Text) : Block;
    public sealed record Points(ImmutableArray<string> Items, bool Numbered = false) : Block;

    /// <param name="Foot">Rows of sums below the others.</param>
    public sealed record Table(ImmutableArray<Column> Columns, ImmutableArray<ImmutableArray<string>> Rows, ImmutableArray<ImmutableArray<string>> Foot) : Block;

    /// <summary>The hook-up, drawn.</summary>
    public sealed record HookUp(string Caption, ImmutableArray<PositionView> Positions) : Block;

    /// <summary>Readings against their limits, one strip each.</summary>
    public sealed record Strips(string Caption, ImmutableArray<Strip> Lines) : Block;

    /// <param name="Pins">Places on it that are pointed at.</param>
    public sealed record Picture(string Hash, string MediaType, string Caption, ImmutableArray<Pin> Pins) : Block;
    public sealed record Tags(ImmutableArray<Tag> Items) : Block;

    /// <summary>Lines to write or sign on.</summary>
    public sealed record Blanks(ImmutableArray<string> Labels) : Block;
}

/// <summary>text, number, tick (an empty square) or blank (a line to write on).</summary>
public enum ColumnKind { Text, Number, Tick, Blank }

public sealed record Column(string Title, ColumnKind Kind = ColumnKind.Text);

/// <param name="Low">Lower limit; null when there is none, as with <paramref name="High"/>.</param>
/// <param name="Before">As received, and <paramref name="Now"/> as it leaves; null when not read.</param>
/// <param name="NormalLow">Where good sets read, from <paramref name="NormalLow"/> to <paramref name="NormalHigh"/>; null when none taught it.</param>
public sealed record Strip(string Label, string Unit, double? Low, double? High, double? Before, double? Now, double? NormalLow = null, double? NormalHigh = null);

/// <param name="X">Across, 0..1, and <paramref name="Y"/> down.</param>
public sealed record Pin(string Number, double X, double Y);

/// <param name="Code">What the code to scan says.</param>
public sealed record Tag(string Name, ImmutableArray<string> Lines, string Code);
