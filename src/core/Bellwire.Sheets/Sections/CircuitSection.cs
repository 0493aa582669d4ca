using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Reasoning;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Circuits: what readings are predicted from.</summary>
internal sealed class CircuitSection(Names names, Complaints complaints, IReadOnlyList<PointSpec> points)
{
    private const int MostParts = 200, MostTroubles = 40;

    /// <summary>Quantities a circuit can foretell under power, and without.</summary>
    private static readonly ImmutableArray<string> Live = ["volt-dc", "volt-ac", "volt-ripple-pp", "ampere"], Dead = ["ohm"];

    public ImmutableArray<CircuitSpec> Read(Fields root)
    {
        var circuits = ImmutableArray.CreateBuilder<CircuitSpec>();
        var named = new HashSet<string>();
        foreach (var (id, f) in root.Entries("circuits"))
        {
            named.Add(id);
            var before = complaints.Count;
            var words = f.Text("words", required: true) ?? id;
            var hertz = f.Number("hertz", 1, 1000) ?? 60;
            var feeds = f.Names("feeds");
            var known = names.Conditions["feed"];
            foreach (var x in feeds.Where(x => !known.Contains(x.Value))) complaints.Add(x.At, $"{f.Path}.feeds", $"Unknown value {x.What} of condition feed. It has: {string.Join(", ", known)}.", Nearest.To(x.Value, known));
            if (feeds.Count > 1 && feeds.Any(x => x.Value == CircuitSpec.Off)) complaints.Add(feeds[0].At, $"{f.Path}.feeds", "A circuit holds under power or without it, not both: 'off' stands alone, in a circuit of its own ('like' takes the parts of another).");
            var unpowered = feeds is [{ Value: CircuitSpec.Off }];
            ImmutableArray<TestPoint> probes = [];
            Netlist? circuit;
            if (f.Node("shape") is { } shape)
            {
                foreach (var other in new[] { "parts", "like" })
                    if (f.Node(other) is { } twice) complaints.Add(twice.At, f.Path, $"A circuit is told by its 'shape' or by its 'parts', not by both: '{other}' has no place beside 'shape'.");
                if (shape is not MapNode) complaints.Add(shape.At, $"{f.Path}.shape", $"Expected a map, found {shape.What}.");
                (circuit, probes, hertz) = shape is MapNode m ? Shape(new Fields(m, shape.At, $"{f.Path}.shape", complaints), hertz) : (null, [], hertz);
            }
            else if (f.Name("like") is { } like)
            {
                if (circuits.FirstOrDefault(c => c.Id == like.Value) is not { } model)
                {
                    // One that was named, but has mistakes of its own, was complained of already.
                    if (like.Value == id || !named.Contains(like.Value)) complaints.Add(like.At, $"{f.Path}.like", $"Unknown circuit {like.What}: it must stand before this one.", Nearest.To(like.Value, circuits.Select(c => c.Id)));
                    continue;
                }
                (circuit, hertz) = (Parts(f, model.Netlist), model.LineHertz);
            }
            else circuit = Parts(f);
            if (circuit is null) continue;
            var at = Points(f, circuit, probes, unpowered ? Dead : Live);
            var (troubles, beyond) = Troubles(f, circuit);
            var terminals = Terminals(f, circuit, probes);
            f.Done();
            if (complaints.Count > before) continue;
            foreach (var other in circuits.SelectMany(c => c.Points).Where(p => at.Any(x => x.Point == p.Point)))
                complaints.Add(f.At, $"{f.Path}.points", $"Point '{other.Point}' stands in two circuits.");
            circuits.Add(new(id, words, circuit, hertz, at, troubles, beyond, feeds.Count == 0 ? ["line"] : [.. feeds.Select(x => x.Value)]) { Terminals = terminals });
        }
        return circuits.ToImmutable();
    }

    /// <summary>A supply has a rectifier, an output stage a stage.</summary>
    private (Netlist?, ImmutableArray<TestPoint>, double Hertz) Shape(Fields shape, double hertz)
    {
        if (shape.Node("stage") is not null)
        {
            var stage = new OutputReader(complaints).Read(shape);
            return (stage?.Netlist, stage?.Points ?? [], hertz);
        }
        var supply = new ShapeReader(complaints).Read(shape);
        return (supply?.Netlist, supply?.Points ?? [], supply?.LineHertz ?? hertz);
    }

    /// <param name="like">Parts of another circuit: those named here take the place of their namesakes, others are added.</param>
    private Netlist? Parts(Fields f, Netlist? like = null)
    {
        var before = complaints.Count;
        var parts = new List<Device>();
        foreach (var (name, part) in f.Entries("parts", required: like is null))
        {
            if (parts.Count == MostParts) { complaints.Add(part.At, part.Path, $"More than {MostParts} parts."); break; }
            if (new PartReader(part, name).Read() is { } made) parts.Add(made);
        }
        if (complaints.Count > before) return null;
        if (parts.Count == 0 && like is null) { complaints.Add(f.At, $"{f.Path}.parts", "A circuit has parts."); return null; }
        var circuit = new Netlist((like?.Devices ?? []).Select(d => parts.Find(p => p.Name == d.Name) ?? d).Concat(parts.Where(p => like?.Has(p.Name) != true)));
        foreach (var c in circuit.Complaints()) complaints.Add(f.At, $"{f.Path}.parts", c.Words);
        return complaints.Count > before ? null : circuit;
    }

    private ImmutableArray<CircuitPoint> Points(Fields f, Netlist circuit, ImmutableArray<TestPoint> probes, ImmutableArray<string> quantities)
    {
        var at = ImmutableArray.CreateBuilder<CircuitPoint>();
        var nodes = circuit.Nodes.ToHashSet();
        foreach (var (key, node) in f.Map("points"))
        {
            var path = $"{f.Path}.points.{key.Value}";
            if (points.FirstOrDefault(p => p.Id == key.Value) is not { } point)
            {
                if (!names.IsDropped(key.Value)) complaints.Add(key.At, path, $"Unknown point {key.What}.", Nearest.To(key.Value, points.Select(p => p.Id)));
                continue;
            }
            if (!quantities.Contains(point.Quantity))
            {
                complaints.Add(key.At, path, $"A circuit {(quantities == Dead ? "without power" : "under power")} foretells {string.Join(", ", quantities)}; '{point.Id}' is {point.Quantity}.");
                continue;
            }
            var written = node is ListNode l ? [.. l.Items.OfType<Scalar>()] : node is Scalar s ? (ImmutableArray<Scalar>)[s] : [];
            if (point.Quantity == "ampere")
            {
                if (written is [var through] && circuit.Has(through.Value) && circuit[through.Value] is Resistor r) at.Add(new(point.Id, r.Nodes[0], r.Nodes[1], r.Ohms));
                else complaints.Add(node.At, path, $"Expected a resistor of the circuit that the amperes pass through, found {node.What}.", Nearest.To((node as Scalar)?.Value ?? "", circuit.Devices.OfType<Resistor>().Select(d => d.Name)));
                continue;
            }
            if (written is [var named] && probes.FirstOrDefault(p => p.Name == named.Value) is { } probe) { at.Add(new(point.Id, probe.Node, probe.Against)); continue; }
            if (written.Length is < 1 or > 2) { complaints.Add(node.At, path, $"Expected a node, or two in a list, found {node.What}."); continue; }
            foreach (var n in written.Where(n => !nodes.Contains(PartReader.Node(n.Value))))
                complaints.Add(n.At, path, $"Unknown node {n.What}.", Nearest.To(n.Value, nodes.Concat(probes.Select(p => p.Name))));
            at.Add(new(point.Id, PartReader.Node(written[0].Value), written.Length == 2 ? PartReader.Node(written[1].Value) : Netlist.Ground));
        }
        return at.ToImmutable();
    }

    /// <summary>Pairs of nodes that wires of the house end on.</summary>
    private ImmutableArray<CircuitTerminal> Terminals(Fields f, Netlist circuit, ImmutableArray<TestPoint> probes)
    {
        var all = ImmutableArray.CreateBuilder<CircuitTerminal>();
        var nodes = circuit.Nodes.ToHashSet();
        foreach (var (key, node) in f.Map("terminals"))
        {
            var path = $"{f.Path}.terminals.{key.Value}";
            if (node is not ListNode { Items: [Scalar a, Scalar b] })
            {
                complaints.Add(node.At, path, $"Expected two nodes in a list, such as [line, common], found {node.What}.");
                continue;
            }
            Scalar[] pair = [a, b];
            string[] at = [.. pair.Select(s => probes.FirstOrDefault(p => p.Name == s.Value) is { Name: not null } p ? p.Node : PartReader.Node(s.Value))];
            for (var i = 0; i < 2; i++)
                if (!nodes.Contains(at[i])) complaints.Add(pair[i].At, path, $"Unknown node {pair[i].What}.", Nearest.To(pair[i].Value, nodes.Select(n => n == Netlist.Ground ? "common" : n)));
            if (at[0] == at[1]) complaints.Add(b.At, path, "A terminal has two nodes that differ.");
            all.Add(new(key.Value, at[0], at[1]));
        }
        return all.ToImmutable();
    }

    private (ImmutableArray<CircuitTrouble>, Condition?) Troubles(Fields f, Netlist circuit)
    {
        var reader = new TroubleReader(names, complaints);
        var rules = new RuleReader(names, complaints);
        var all = ImmutableArray.CreateBuilder<CircuitTrouble>();
        foreach (var item in f.List("troubles", required: true))
        {
            var path = $"{f.Path}.troubles";
            if (rules.Sentence(item, path) is not { } sentence || reader.Read(sentence, circuit, path) is not { } trouble) continue;
            if (all.Any(t => t.Words == trouble.Words)) complaints.Add(item.At, path, $"'{trouble.Words}' stands twice: join its conditions by 'or'.");
            else if (all.Count == MostTroubles) { complaints.Add(item.At, path, $"More than {MostTroubles} troubles."); break; }
            else all.Add(trouble);
        }
        var beyond = new List<Condition>();
        foreach (var item in f.Node("beyond") is ListNode l ? l.Items : f.Node("beyond") is { } one ? [one] : [])
            if (rules.Sentence(item, $"{f.Path}.beyond") is { } sentence && reader.Alone(sentence, $"{f.Path}.beyond") is { } c) beyond.Add(c);
        // An unknown fault of a piece the circuit runs through may do anything to it.
        foreach (var position in all.SelectMany(t => t.When.Leaves().OfType<Condition.SiteIn>()).Select(x => x.Position).Distinct())
            if (names.Site(position, "other") is not null) beyond.Add(new Condition.SiteIn(position, "other", ["other"]));
        var any = ConditionReader.AnyOf(beyond);
        return (all.ToImmutable(), ConditionReader.IsNever(any) ? null : any);
    }
}
