namespace Bellwire.Reasoning;

/// <summary>Refuses cases that name what is not there. A caller's mistake, so it throws, and says where.</summary>
internal static class CaseCheck
{
    public static void Demand(Case c)
    {
        var f = c.Family;
        var kinds = f.Kinds.ToDictionary(k => k.Id);
        var positions = f.Positions.ToDictionary(p => p.Id);
        var signals = f.Signals.ToDictionary(s => s.Id);
        var pieces = c.Pieces.ToDictionary(p => p.Id);
        var systems = c.Systems.Select(s => s.Id).ToHashSet();
        var causes = Engine.Anatomy.CauseNames(c).ToHashSet();
        foreach (var p in c.Pieces)
        {
            Need(kinds.ContainsKey(p.Kind), $"Piece '{p.Id}' is of kind '{p.Kind}', which the family does not know.");
            Need(p.Trust is not (< 0 or > 1 or double.NaN), $"Piece '{p.Id}' has trust {p.Trust}; it lies between 0 and 1.");
        }
        foreach (var s in c.Systems)
            foreach (var (position, piece) in s.InitialPieces)
            {
                Need(positions.ContainsKey(position), $"System '{s.Id}' has no position '{position}'.");
                Need(pieces.ContainsKey(piece), $"Position '{position}' of '{s.Id}' holds piece '{piece}', which is not in the case.");
            }
        foreach (var s in f.Kinds.SelectMany(k => k.Sites).Concat(f.Positions.SelectMany(p => p.Sites)))
            foreach (var m in s.Modes)
                Need(m.BaseOdds is >= 0 and < 1 && m.ByCause.Values.All(q => q is >= 0 and < 1) && m.ShowsPerTrial is >= 0 and <= 1,
                    $"Mode '{m.Id}' of site '{s.Id}' has odds or chances outside 0..1.");
        foreach (var s in f.Signals)
            foreach (var r in s.Rules)
            {
                var where = $"Rule '{r.Id}' of signal '{s.Id}'";
                Need(r.Then == "?" || s.States.Contains(r.Then), $"{where} leads to '{r.Then}'; the signal's states are {string.Join(", ", s.States)}.");
                Need(r.Chance is >= 0 and <= 1, $"{where} has the chance {r.Chance}; it lies between 0 and 1.");
                foreach (var up in Engine.SiteOrder.Signals(r.When)) Need(signals.ContainsKey(up), $"{where} names signal '{up}', which the family does not know.");
                foreach (var (position, site) in Engine.SiteOrder.Sites(r.When))
                    Need(positions.TryGetValue(position, out var p) && (p.Sites.Any(x => x.Id == site) || kinds[p.Kind].Sites.Any(x => x.Id == site)),
                        $"{where} names site '{site}' at position '{position}', which the family does not know.");
            }
        foreach (var h in f.Hazards)
            Need(positions.TryGetValue(h.Position, out var p) && p.Sites.Concat(kinds[p.Kind].Sites).FirstOrDefault(x => x.Id == h.Site) is { } site
                && site.Modes.Any(m => m.Id == h.Mode), $"Hazard '{h.Id}' aims at {h.Position}.{h.Site}={h.Mode}, which the family does not know.");
        NoUnmarkedLoop(f);
        foreach (var e in c.Events) Event(e);

        void Event(CaseEvent e)
        {
            var where = $"Entry '{e.Entry}'";
            switch (e)
            {
                case CaseEvent.Place x:
                    At(where, x.System, x.Position);
                    Need(x.Piece is null || pieces.ContainsKey(x.Piece), $"{where} fits piece '{x.Piece}', which is not in the case.");
                    break;
                case CaseEvent.Reseat x: At(where, x.System, x.Position); break;
                case CaseEvent.PowerUp x: Need(systems.Contains(x.System), $"{where} names system '{x.System}', which is not in the case."); break;
                case CaseEvent.Mend x:
                    Site(where, x.Site);
                    Need(x.Success is >= 0 and <= 1, $"{where} mends with success {x.Success}; it lies between 0 and 1.");
                    break;
                case CaseEvent.Observe x:
                    Need(systems.Contains(x.System), $"{where} names system '{x.System}', which is not in the case.");
                    Need(x.Likelihood.Values.All(v => v is >= 0 and < double.PositiveInfinity) && x.Likelihood.Values.Any(v => v > 0),
                        $"{where} needs likelihoods ≥ 0, at least one positive.");
                    Need(x.Outcomes.IsEmpty || (x.Outcomes.All(o => o.Values.All(v => v is >= 0 and <= 1)) && x.Outcomes.Any(o => o.Values.Any(v => v > 0))),
                        $"{where} needs chances of its outcomes between 0 and 1, at least one positive.");
                    if (x.Target is Target.OfSignal s) Need(signals.ContainsKey(s.Signal), $"{where} reads signal '{s.Signal}', which the family does not know.");
                    if (x.Target is Target.OfSite t) Site(where, t.Site);
                    Need(x.Alike.IsEmpty || (x.Alike.Length == x.Outcomes.Length && x.Alike.All(a => a >= 1 && double.IsFinite(a))), $"{where} needs as many numbers of like outcomes as outcomes, each at least 1.");
                    if (x.Target is Target.OfTroubles all) Troubles(where, all);
                    if (x.Target is Target.OfCause k) Need(causes.Contains(k.Cause), $"{where} speaks of cause '{k.Cause}', which the case does not know.");
                    break;
            }
        }

        void Troubles(string where, Target.OfTroubles t)
        {
            Need(t.Parts.Select(p => p.Name).Distinct().Count() == t.Parts.Length, $"{where} names a trouble twice.");
            Need(t.Parts.All(p => p.Name is not (Target.OfTroubles.Good or Target.OfTroubles.Outside or "") && !p.Name.Contains(" + ")), $"{where} gives a trouble a name that is kept for something else.");
            Need(t.Known.Distinct().Count() == t.Known.Length, $"{where} lists a state twice.");
            foreach (var c in t.Parts.Select(p => p.When).Append(t.Beyond ?? new Condition.Always()))
            {
                foreach (var up in Engine.SiteOrder.Signals(c)) Need(signals.ContainsKey(up), $"{where} names signal '{up}', which the family does not know.");
                foreach (var (position, site) in Engine.SiteOrder.Sites(c))
                    Need(positions.TryGetValue(position, out var p) && (p.Sites.Any(s => s.Id == site) || kinds[p.Kind].Sites.Any(s => s.Id == site)),
                        $"{where} names site '{site}' at position '{position}', which the family does not know.");
            }
        }

        void At(string where, string system, string position)
        {
            Need(systems.Contains(system), $"{where} names system '{system}', which is not in the case.");
            Need(positions.ContainsKey(position), $"{where} names position '{position}', which the family does not know.");
        }

        void Site(string where, SiteRef r)
        {
            var sites = r.Piece is { } id ? pieces.TryGetValue(id, out var p) ? kinds[p.Kind].Sites : []
                : r.Position is { } at && systems.Contains(r.System ?? "") && positions.TryGetValue(at, out var spec) ? spec.Sites : [];
            Need(sites.Any(s => s.Id == r.Site), $"{where} names site '{r}', which is not in the case.");
        }
    }

    private static void NoUnmarkedLoop(Family f)
    {
        var done = new Dictionary<string, bool>();
        foreach (var s in f.Signals.Where(s => !s.Loop)) Visit(s);

        void Visit(SignalSpec s)
        {
            if (done.TryGetValue(s.Id, out var whole))
            {
                Need(whole, $"Signal '{s.Id}' feeds itself; mark a member of the loop.");
                return;
            }
            done[s.Id] = false;
            foreach (var up in s.Rules.SelectMany(r => Engine.SiteOrder.Signals(r.When)))
                if (f.Signals.First(x => x.Id == up) is { Loop: false } spec) Visit(spec);
            done[s.Id] = true;
        }
    }

    private static void Need(bool holds, string otherwise)
    {
        if (!holds) throw new ArgumentException(otherwise, "c");
    }
}
