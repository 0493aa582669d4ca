using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;

namespace Bellwire.App.Desks;

/// <summary>Foreign sources tried on a sheet's circuits: line volts take seconds, so it is done beside the pages.</summary>
public sealed partial class Desk
{
    private const int MostTrials = 24;
    private readonly ConcurrentDictionary<string, Beside<Trials>> trials = new(StringComparer.Ordinal);

    /// <summary>The sources tried between two nodes, begun when nobody has yet; the last few are kept.</summary>
    /// <param name="sheet">Null for a circuit that stands in none.</param>
    public Beside<Trials> Tried(TypeSheet? sheet, CircuitSpec circuit, string from, string to, ImmutableArray<ForeignSource> sources)
    {
        if (trials.Count > MostTrials) trials.Clear();
        var key = $"{sheet?.Hash ?? circuit.Netlist.Fingerprint()} {circuit.Id} {from} {to} {string.Join(';', sources.Select(s => s.Named))}";
        Forget(trials, key);
        return trials.GetOrAdd(key, _ => new(key, (tell, cancel) =>
        {
            var all = ImmutableArray.CreateBuilder<ForeignOutcome>();
            foreach (var source in sources)
            {
                tell(all.Count, sources.Length);
                all.Add(ForeignTrial.Try(sheet, circuit, from, to, source, cancel: cancel));
            }
            return new Trials(all.ToImmutable());
        }));
    }
}

/// <summary>What each source did, in the order asked.</summary>
public sealed record Trials(ImmutableArray<ForeignOutcome> Outcomes);
