using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>Something wrong with the wiring, where it is, and what to do about it.</summary>
/// <param name="Kind">Which rule was broken.</param>
/// <param name="Where">The node or the parts concerned.</param>
/// <param name="Words">One sentence with the remedy.</param>
public sealed record Complaint(ComplaintKind Kind, string Where, string Words);

public enum ComplaintKind { NoGround, FloatingNode, VoltageLoop }

/// <summary>The rules of wiring that would make any matrix singular. Union-find over the nodes, no numbers.</summary>
internal static class Wiring
{
    public static ImmutableArray<Complaint> Judge(Netlist netlist)
    {
        if (!netlist.Nodes.Contains(Netlist.Ground))
            return [new(ComplaintKind.NoGround, string.Join(", ", netlist.Nodes.Take(4)), $"Nothing is tied to ground; name one node {Netlist.Ground}.")];

        var complaints = ImmutableArray.CreateBuilder<Complaint>();
        var loops = new Groups();
        foreach (var d in netlist.Devices.Where(d => d.IsIdealVoltage))
            if (!loops.Join(d.Nodes[0], d.Nodes[1]))
                complaints.Add(new(ComplaintKind.VoltageLoop, d.Name, $"{d.Name} closes a loop of sources without resistance between {d.Nodes[0]} and {d.Nodes[1]}; give one of them its source resistance."));

        var paths = new Groups();
        foreach (var d in netlist.Devices)
            foreach (var (from, to) in d.DirectPaths) paths.Join(d.Nodes[from], d.Nodes[to]);
        var ground = paths.Of(Netlist.Ground);
        foreach (var island in netlist.Nodes.GroupBy(paths.Of).Where(g => g.Key != ground))
        {
            var names = island.ToList();
            var parts = netlist.Devices.Where(d => d.Nodes.Any(names.Contains)).Select(d => d.Name).Take(4);
            complaints.Add(new(ComplaintKind.FloatingNode, names[0],
                $"{(names.Count == 1 ? $"Node {names[0]} has" : $"Nodes {string.Join(", ", names.Take(4))} have")} no path for direct current to ground (parts there: {string.Join(", ", parts)}); tie it down or add the leakage that is really there."));
        }
        return complaints.ToImmutable();
    }

    /// <exception cref="ArgumentException">The wiring has complaints; all of them are in the message.</exception>
    public static void Demand(Netlist netlist)
    {
        var complaints = Judge(netlist);
        if (complaints.Length > 0) throw new ArgumentException(string.Join(" ", complaints.Select(c => c.Words)), nameof(netlist));
    }

    private sealed class Groups
    {
        private readonly Dictionary<string, string> _parent = [];

        public string Of(string node)
        {
            while (_parent.TryGetValue(node, out var up)) node = up;
            return node;
        }

        /// <returns>False if the two were joined already.</returns>
        public bool Join(string a, string b)
        {
            var (x, y) = (Of(a), Of(b));
            if (x == y) return false;
            _parent[x] = y;
            return true;
        }
    }
}
