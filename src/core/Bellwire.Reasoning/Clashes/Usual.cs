using System.Collections.Immutable;

namespace Bellwire.Reasoning.Clashes;

/// <summary>The usual explanations of a clash, each weighed by its own chance × p of the tape so explained.</summary>
internal static class Usual
{
    /// <summary>Sites tried as put right and not entered.</summary>
    private const int Suspects = 8;

    public static ImmutableArray<Explanation> Of(Tapes tapes, ClashOptions o, string entry, ImmutableArray<ImmutableArray<string>> sets, ImmutableArray<string> clash)
    {
        var events = tapes.Case.Events;
        var found = new List<Explanation>();
        foreach (var set in sets) Add(ClashKind.Slip, set, "", Math.Log(o.Slip) * set.Length + Noise(set), tapes.Without([.. set]), 1);
        var at = FirstOf(entry);
        var look = events.OfType<CaseEvent.Observe>().First(e => e.Entry == entry);
        foreach (var (position, share) in Contacts(tapes.Case))
            Add(ClashKind.Contact, clash, position, Math.Log(o.Contact), events.Insert(at, new CaseEvent.Reseat(entry, look.System, position)), share);
        var undone = Undone(tapes, look, entry, at).ToList();
        foreach (var (about, put) in undone) Add(ClashKind.Forgotten, clash, about, Math.Log(o.Forgotten), put, 1.0 / undone.Count);
        var signals = events.OfType<CaseEvent.Observe>().Where(e => clash.Contains(e.Entry)).Select(e => e.Target).OfType<Target.OfSignal>().Select(s => s.Signal).Distinct().ToList();
        foreach (var signal in signals)
        {
            ImmutableArray<string> of = [.. events.OfType<CaseEvent.Observe>().Where(e => e.Target is Target.OfSignal s && s.Signal == signal).Select(e => e.Entry).Distinct()];
            Add(ClashKind.WrongSheet, of, signal, Math.Log(o.WrongSheet) + Noise(of), tapes.Without([.. of]), 1.0 / signals.Count);
        }
        Add(ClashKind.UnknownFault, clash, "", Math.Log(o.UnknownFault) + Noise(clash), tapes.Without([.. clash]), 1);
        if (found.Count == 0) return [];
        var most = found.Max(f => f.LogWeight);
        var all = found.Sum(f => Math.Exp(f.LogWeight - most));
        return [.. found.Select(f => f with { Share = Math.Exp(f.LogWeight - most) / all }).OrderByDescending(f => f.Share)];

        void Add(ClashKind kind, ImmutableArray<string> entries, string about, double log, ImmutableArray<CaseEvent> tape, double share)
        {
            if (tapes.LogEvidence(tape) is { } p) found.Add(new Explanation(kind, entries, about, 0, log + Math.Log(share) + p));
        }

        int FirstOf(string name)
        {
            for (var i = 0; i < events.Length; i++)
                if (events[i] is CaseEvent.Observe && events[i].Entry == name) return i;
            return events.Length;
        }

        // A look that tells nothing: any outcome as likely as any other.
        double Noise(ImmutableArray<string> entries) => events.OfType<CaseEvent.Observe>().Where(e => entries.Contains(e.Entry))
            .Sum(e => -Math.Log(e.Outcomes.IsEmpty ? Math.Max(2, e.Likelihood.Count) : e.Outcomes.Length));
    }

    private static IEnumerable<(string Position, double Share)> Contacts(Case c)
    {
        var all = c.Family.Positions.Where(p => p.ContactSite is not null && p.RedrawChance > 0).ToList();
        return all.Select(p => (p.Id, 1.0 / all.Count));
    }

    /// <summary>Tapes on which something was done before the entry though nothing says so: a control turned, a suspect put right.</summary>
    private static IEnumerable<(string About, ImmutableArray<CaseEvent> Tape)> Undone(Tapes tapes, CaseEvent.Observe look, string entry, int at)
    {
        var (c, events) = (tapes.Case, tapes.Case.Events);
        foreach (var s in c.Family.Selectors)
            foreach (var thrown in s.Throws.Where(t => t != look.Setting.Throws.GetValueOrDefault(s.Id, s.Throws[0])))
                yield return ($"{s.Id}={thrown}", [.. events.Select(e => e.Entry == entry && e is CaseEvent.Observe o && o.System == look.System
                    ? o with { Setting = o.Setting with { Throws = o.Setting.Throws.SetItem(s.Id, thrown) } } : e)]);
        var before = Reasoner.Weigh(c with { Events = events[..at] }, new WeighOptions(Samples: 200, MaxFaultSets: 1)).Posterior;
        foreach (var site in before?.Sites.OrderByDescending(s => s.Faulty).Where(s => s.Faulty > 0.02).Take(Suspects) ?? [])
            yield return (site.Site.ToString(), events.Insert(at, new CaseEvent.Mend(entry, site.Site, 1)));
    }
}
