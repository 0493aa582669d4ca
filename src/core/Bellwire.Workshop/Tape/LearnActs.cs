using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <param name="Site">kind.site of a piece, or @position.site.</param>
/// <param name="Odds">P(mode) with no cause at work, 0 ≤ p &lt; 1.</param>
public sealed record OddsLine(string Site, string Mode, double Odds);

/// <summary>From here on new jobs of a family go by odds learned from closed ones. They stand as long as every one of these closings does.</summary>
/// <param name="SheetHash">The sheet whose own odds they were learned over.</param>
/// <param name="Closings">Entry ids of the closings.</param>
public sealed record OddsAdopted(string SheetId, string SheetHash, ImmutableArray<string> Closings, ImmutableArray<OddsLine> Odds) : PlainAct;
