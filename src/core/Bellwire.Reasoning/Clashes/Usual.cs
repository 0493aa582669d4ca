using System.Collections.Immutable;

namespace Bellwire.Reasoning.Clashes;

/// <summary>The usual explanations of a clash, each weighed by its own chance × p of the tape so explained: posterior odds. Slips, the wrong sheet and the unknown
/// fault must leave a plausible tape; a contact and what was forgotten must be likelier than the tape as it stands.</summary>
internal static class Usual
{
    /// <summary>Sites tried as put right and not entered, and connectors tried as moved.</summary>
    private const int Suspects = 8;

    public static ImmutableArray<Explanation> Of(Tapes tapes, ClashOptions o, string entry, ImmutableArray<ImmutableArray<string>> sets, ImmutableArray<string> clash)
    {
        var events = tapes.Case.Events;
        var found = new List<Explanation>();
        foreach (var set in sets) Add(ClashKind.Slip, set, "", Math.Log(o.Slip) * set.Length + Noise(set), tapes.Without([.. set]), 1);
        var at = FirstOf(entry);
        var look = events.OfType<CaseEvent.Observe>().First(e => e.Entry == entry);
        var before = Reasoner.Weigh(tapes.Case with { Events = events[..at] }, new WeighOptions(Samples: 200, MaxFaultSets: 1)).Posterior;
        var chance = tapes.LogEvidence(events, plausible: false) ?? double.NegativeInfinity;
        foreach (var site in Contacts(tapes.Case, look.System, before))
            if (Moved(tapes, o, entry, at, site) is { } log && log > chance) found.Add(new(ClashKind.Contact, clash, site.Site.Position!, 0, log));
        var undone = Undone(tapes.Case, before, look, entry, at).ToList();
        foreach (var (about, put) in undone)
            if (Math.Log(o.Forgotten / undone.Count) + tapes.LogEvidence(put, plausible: false) is { } log && log > chance) found.Add(new(ClashKind.Forgotten, clash, about, 0, log));
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

    /// <summary>Connectors of the system that can be unplugged, the likeliest to be bad first.</summary>
    private static IEnumerable<SiteBelief> Contacts(Case c, string system, Posterior? before)
    {
        var contacts = c.Family.Positions.Where(p => p.ContactSite is not null && p.RedrawChance > 0).Select(p => SiteRef.OfPosition(system, p.Id, p.ContactSite!)).ToHashSet();
        return before?.Sites.Where(s => contacts.Contains(s.Site)).OrderByDescending(s => s.Faulty).Take(Suspects) ?? [];
    }

    /// <summary>ln (chance × p of the tape) for a contact that was bad and came good by itself before the entry, or was good and went bad. A bad contact comes good
    /// by itself with the chance of a connector moving; a sound one goes bad as seldom as bad contacts are in all. So a rare fault is weighed as rare, not passed over.</summary>
    private static double? Moved(Tapes tapes, ClashOptions o, string entry, int at, SiteBelief contact)
    {
        var events = tapes.Case.Events;
        CaseEvent Was(bool bad) => new CaseEvent.Observe(entry, contact.Site.System!, Setting.Default, new Target.OfSite(contact.Site),
            contact.Now.Keys.ToImmutableDictionary(m => m, m => (m != "good") == bad ? 1.0 : 0));
        var good = tapes.LogEvidence([.. events[..at], Was(bad: true), new CaseEvent.Mend(entry, contact.Site, 1), .. events[at..]], plausible: false);
        // Redrawn and then seen bad: the chance of being so is that of its prior.
        var bad = tapes.LogEvidence([.. events[..at], Was(bad: false), new CaseEvent.Reseat(entry, contact.Site.System!, contact.Site.Position!), Was(bad: true), .. events[at..]], plausible: false)
            - Math.Log(tapes.Case.Family.Positions.First(p => p.Id == contact.Site.Position).RedrawChance);
        double[] both = [good ?? double.NegativeInfinity, bad ?? double.NegativeInfinity];
        var most = both.Max();
        return double.IsNegativeInfinity(most) ? null : Math.Log(o.Contact) + most + Math.Log(both.Sum(b => Math.Exp(b - most)));
    }

    /// <summary>Tapes on which something was done before the entry though nothing says so: a control turned, a suspect put right.</summary>
    private static IEnumerable<(string About, ImmutableArray<CaseEvent> Tape)> Undone(Case c, Posterior? before, CaseEvent.Observe look, string entry, int at)
    {
        var events = c.Events;
        foreach (var s in c.Family.Selectors)
            foreach (var thrown in s.Throws.Where(t => t != look.Setting.Throws.GetValueOrDefault(s.Id, s.Throws[0])))
                yield return ($"{s.Id}={thrown}", [.. events.Select(e => e.Entry == entry && e is CaseEvent.Observe o && o.System == look.System
                    ? o with { Setting = o.Setting with { Throws = o.Setting.Throws.SetItem(s.Id, thrown) } } : e)]);
        foreach (var site in before?.Sites.OrderByDescending(s => s.Faulty).Where(s => s.Faulty > 0.02).Take(Suspects) ?? [])
            yield return (site.Site.ToString(), events.Insert(at, new CaseEvent.Mend(entry, site.Site, 1)));
    }
}
