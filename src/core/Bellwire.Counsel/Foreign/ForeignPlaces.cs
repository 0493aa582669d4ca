using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>Two nodes a foreign source may be tied between, and what a person calls them.</summary>
public sealed record ForeignPlace(CircuitSpec Circuit, string Id, string Words, string From, string To);

/// <summary>Where on a sheet's circuits a foreign source may be tied.</summary>
public static class ForeignPlaces
{
    /// <summary>Every terminal of every circuit, in the order of the sheet.</summary>
    public static ImmutableArray<ForeignPlace> Of(TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return [.. from c in sheet.Circuits from t in c.Terminals
                   select new ForeignPlace(c, t.Id, sheet.Terminals.FirstOrDefault(x => x.Id == t.Id)?.Words ?? t.Id, t.From, t.To)];
    }

    /// <summary>Terminals that wires of the house end on, one of each sort (door-1 stands for every door); those of the set's own transformer are left out.</summary>
    public static ImmutableArray<ForeignPlace> Lines(TypeSheet sheet) =>
        [.. Of(sheet).Where(p => !p.Circuit.Netlist.Devices.OfType<Transformer>().Any(t => t.Nodes.Contains(p.From) && t.Nodes.Contains(p.To)))
            .DistinctBy(p => (p.Circuit.Id, Sort(p.Id)))];

    /// <summary>The id without the number of the place it stands for.</summary>
    public static string Sort(string id)
    {
        ArgumentNullException.ThrowIfNull(id);
        return id.TrimEnd('0', '1', '2', '3', '4', '5', '6', '7', '8', '9').TrimEnd('-');
    }
}
