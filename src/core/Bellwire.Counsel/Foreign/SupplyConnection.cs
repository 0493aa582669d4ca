using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;
using Bellwire.Counsel.Mends;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>A foreign source tied on a supply that was told by its shape.</summary>
public static class SupplyConnection
{
    private static readonly ChoiceAsk Where = new("foreignat", "Tied to",
        ("", "nothing"), ("ac", "the ends of the winding"), ("raw", "raw and common"),
        ("rail1", "the first rail and common"), ("rail2", "the second rail and common"), ("rail3", "the third rail and common"));
    private static readonly TextAsk Source = new("foreign", "The supply") { Hint = "Such as 24 V AC 2 ohm or 12 V DC; empty: the usual ones. Direct volts are tried both ways round." };

    public static ImmutableArray<Ask> Asks { get; } = [Where, Source];

    /// <summary>Null where nothing is tied on, or with complaints by the field they belong to.</summary>
    public static ((ForeignPlace Place, ImmutableArray<ForeignSource> Sources)? Tied, ImmutableDictionary<string, string> Wrong) Read(SupplyCircuit supply, Func<string, string?> typed)
    {
        ArgumentNullException.ThrowIfNull(supply);
        var (given, wrong) = Given.Read(Asks, typed);
        if (wrong.Count > 0 || given[Where].Length == 0) return (null, wrong);
        var why = "";
        ImmutableArray<ForeignSource> sources = given[Source].Trim() is not { Length: > 0 } text ? ForeignSource.Usual
            : ForeignSource.Parse(text, out why) is { } one ? [.. ConnectionCheck.Ways(one, measured: false)] : [];
        if (why.Length > 0) wrong = wrong.Add(Source.Id, why);
        if (PointOf(supply, given[Where]) is not { } point)
            wrong = wrong.Add(Where.Id, $"This supply has no such place: it has {string.Join(", ", supply.Rails.Select(r => r.Name))}.");
        else if (wrong.Count == 0)
        {
            var circuit = new CircuitSpec("shape", "A supply by its shape", supply.Netlist, supply.LineHertz, [], [], null, ["line"]);
            // Where the chassis is the plus, a rail's plus is common.
            var (from, to) = supply.Rails.Any(r => r.Name == point.Name && r.Negative) ? (point.Against, point.Node) : (point.Node, point.Against);
            return ((new(circuit, point.Name, given[Where] == "ac" ? "the ends of the winding" : $"{point.Name} and common", from, to), sources), wrong);
        }
        return (null, wrong);
    }

    private static TestPoint? PointOf(SupplyCircuit supply, string where)
    {
        var name = where switch { "ac" => "ac", "raw" => "raw", _ => supply.Rails.Skip(where[^1] - '0').FirstOrDefault()?.Name };
        return supply.Points.FirstOrDefault(p => p.Name == name);
    }
}
