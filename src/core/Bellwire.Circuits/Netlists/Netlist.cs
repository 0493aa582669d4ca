using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>An immutable list of parts. Ground is the node <c>0</c>.</summary>
public sealed class Netlist
{
    public const string Ground = "0";
    private readonly Dictionary<string, int> _byName;

    /// <exception cref="ArgumentException">Two parts of one name.</exception>
    public Netlist(IEnumerable<Device> devices)
    {
        Devices = [.. devices];
        _byName = new(Devices.Length);
        for (var i = 0; i < Devices.Length; i++)
            if (!_byName.TryAdd(Devices[i].Name, i)) throw new ArgumentException($"Two parts are called {Devices[i].Name}; give one of them another name.", nameof(devices));
    }

    public Netlist(params Device[] devices) : this((IEnumerable<Device>)devices) { }

    public ImmutableArray<Device> Devices { get; }

    /// <summary>Every node, ground included, in order of first mention.</summary>
    public IEnumerable<string> Nodes => Devices.SelectMany(d => d.Nodes).Distinct();

    public bool Has(string name) => _byName.ContainsKey(name);

    /// <exception cref="ArgumentException">No part of that name.</exception>
    public Device this[string name] => _byName.TryGetValue(name, out var i) ? Devices[i]
        : throw new ArgumentException($"No part is called {name}; there are {string.Join(", ", Devices.Select(d => d.Name))}.", nameof(name));

    public Netlist With(params Device[] more) => new(Devices.Concat(more));
    public Netlist Without(string name) => new(Devices.Remove(this[name]));
    public Netlist Replace(string name, params Device[] by) => new(Devices.SelectMany(d => d.Name == name ? by : [d]));

    /// <summary>The netlist with faults put in, one after another.</summary>
    /// <exception cref="ArgumentException">A fault names no part, or a part that cannot have it.</exception>
    public Netlist Faulted(params IEnumerable<Fault> faults) => faults.Aggregate(this, (n, f) => f.Apply(n));

    /// <summary>Every usual single fault of every part.</summary>
    public IEnumerable<Fault> UsualFaults => Devices.SelectMany(d => d.UsualFaults);

    /// <summary>True when a source gives anything but a steady value.</summary>
    public bool Alternates => Devices.Any(d => (d switch { VoltageSource v => v.Waveform, CurrentSource i => i.Waveform, _ => null }) is { RepeatsHertz: not 0 });

    /// <summary>A node name that nothing uses yet.</summary>
    public string FreshNode(string stem)
    {
        var taken = Nodes.ToHashSet();
        if (!taken.Contains(stem)) return stem;
        for (var i = 2; ; i++) if (!taken.Contains($"{stem}_{i}")) return $"{stem}_{i}";
    }

    /// <summary>A part name that nothing uses yet.</summary>
    public string FreshName(string stem)
    {
        if (!Has(stem)) return stem;
        for (var i = 2; ; i++) if (!Has($"{stem}_{i}")) return $"{stem}_{i}";
    }

    /// <summary>All values drawn within their tolerances. A part's draw depends on the seed, the number and its own name only, so a faulted netlist shares the draws of its healthy parts.</summary>
    public Netlist Drawn(int seed, int number) => new(Devices.Select(d => d.Drawn(new Draw(seed, number, d.Name))));

    /// <summary>What is wrong with the wiring, before any matrix is built; empty when nothing is.</summary>
    public ImmutableArray<Complaint> Complaints() => Wiring.Judge(this);

    /// <summary>A hash of everything that decides an answer: equal netlists have equal fingerprints. For caches.</summary>
    public string Fingerprint()
    {
        var text = new StringBuilder();
        foreach (var d in Devices) text.Append(d).Append(" @ ").AppendJoin(',', d.Nodes).Append('\n');
        return Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())));
    }
}
