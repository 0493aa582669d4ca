using System.Collections.Immutable;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Checks, their bundles and points; the function grid's checks too.</summary>
internal sealed class CheckSection(Names names, Complaints complaints)
{
    private static readonly string[] Hows = ["look", "measure", "listen", "ask", "work", "reset"];
    public static ImmutableArray<string> Quantities { get; } = ["volt-dc", "volt-ac", "volt-ripple-pp", "ohm", "ampere", "watt", "hertz", "celsius"];
    /// <summary>What a person or tool may do at a set that is not allowed where its chassis may be live.</summary>
    private static readonly string[] Meanses = ["finger-test", "freeze-spray", "antenna-touch", "earthed-gear"];
    private readonly HashSet<string> earthed = new(StringComparer.Ordinal);
    private readonly Dictionary<string, double> instruments = new(StringComparer.Ordinal) { ["sure"] = 1.0 };
    private readonly List<BundleSpec> bundles = [];
    private readonly List<PointSpec> points = [];
    private readonly List<CheckSpec> checks = [];
    private readonly Dictionary<string, string> owners = new(StringComparer.Ordinal);

    public ImmutableArray<BundleSpec> Bundles => [.. bundles];
    public ImmutableArray<PointSpec> Points => [.. points];
    public ImmutableArray<CheckSpec> Checks => [.. checks];
    public ImmutableDictionary<string, string> Owners => owners.ToImmutableDictionary();

    public void Read(Fields root)
    {
        foreach (var (id, f) in root.Entries("instruments"))
        {
            instruments[id] = f.Number("right", 0, 1, required: true) ?? 1;
            f.Text("words");
            if (f.Flag("earthed") == true) earthed.Add(id);
            f.Done();
        }

        foreach (var (id, f) in root.Entries("bundles"))
        {
            bundles.Add(new(id, f.Text("words", required: true) ?? id, f.Number("minutes", 0, 1000, required: true) ?? 0));
            f.Done();
        }

        foreach (var (id, f) in root.Entries("points"))
        {
            points.Add(new(id, f.Text("words", required: true) ?? id, f.OneOf("quantity", Quantities, required: true) ?? "volt-dc",
                f.Number("nominal"), f.Number("low"), f.Number("high"), f.Flag("powered") ?? true, f.Whole("ladder", 0, 99) ?? 0)
            { LoadOhms = f.Number("load", 0.1, 1e6) });
            f.Done();
        }

        foreach (var (id, f) in root.Entries("checks")) ReadCheck(id, f);
    }

    public ImmutableArray<FunctionSpec> Functions(IReadOnlyList<FunctionSection.Draft> drafts)
    {
        var functions = ImmutableArray.CreateBuilder<FunctionSpec>();
        foreach (var d in drafts)
        {
            var f = d.Of;
            var check = d.Check;
            if (d.SignalName is { } s && !names.Signals.ContainsKey(s.Value))
                complaints.Add(s.At, f.Path, $"Unknown signal {s.What}.", Nearest.To(s.Value, names.Signals.Keys));
            if (check is not null)
            {
                if (checks.All(c => c.Id != check)) complaints.Add(f.Name("check")!.At, f.Path, $"Unknown check '{check}'.", Nearest.To(check, checks.Select(c => c.Id)));
                f.Done();
            }
            else
            {
                check = $"fn-{d.Id}";
                if (names.Signals.TryGetValue(d.Signal, out var states)) Finish(check, f, d.Words, "signal", d.Signal, states, "listen", true, usual: "ear");
                else f.Done();
            }

            foreach (var n in d.Needs.Where(n => !d.Generated && !names.Positions.ContainsKey(n.Value) && !names.Signals.ContainsKey(n.Value) && !names.IsDropped(n.Value)))
                complaints.Add(n.At, $"{f.Path}.needs", $"Unknown name {n.What}: no position or signal is called so.", Nearest.To(n.Value, names.Positions.Keys.Concat(names.Signals.Keys)));
            functions.Add(new(d.Id, d.Words, check, [.. d.Needs.Where(n => !names.IsDropped(n.Value)).Select(n => n.Value)]));
        }

        return functions.ToImmutable();
    }

    private void ReadCheck(string id, Fields f)
    {
        var words = f.Text("words", required: true) ?? id;
        var of = f.Name("of", required: true);
        var how = f.OneOf("how", Hows, required: true) ?? "look";
        var powered = f.Flag("powered");
        if (of is null || Target(of, f) is not { } target)
        {
            Finish(id, f, words, "", "", [], how, powered, null);
            return;
        }

        Finish(id, f, words, target.Kind, target.Name, target.States, how, powered, null);
    }

    private (string Kind, string Name, IReadOnlyList<string> States)? Target(Scalar of, Fields f)
    {
        var text = of.Value;
        if (text.StartsWith("cause ", StringComparison.Ordinal))
        {
            var cause = text["cause ".Length..].Trim();
            if (names.Causes.ContainsKey(cause)) return ("cause", cause, ["no", "yes"]);
            complaints.Add(of.At, $"{f.Path}.of", $"Unknown cause '{cause}'.", Nearest.To(cause, names.Causes.Keys));
            return null;
        }

        if (names.Signals.TryGetValue(text, out var states)) return ("signal", text, states);
        var dot = text.IndexOf('.');
        if (dot > 0 && names.Positions.TryGetValue(text[..dot], out var position))
        {
            if (names.Site(text[..dot], text[(dot + 1)..]) is { } site) return ("site", text, ["good", .. site.Faults.Select(x => x.Id)]);
            complaints.Add(of.At, $"{f.Path}.of", $"Position '{text[..dot]}' has no site '{text[(dot + 1)..]}'.", Nearest.To(text[(dot + 1)..], names.SitesAt(position).Select(s => s.Id)));
            return null;
        }

        if (!names.IsDropped(text))
            complaints.Add(of.At, $"{f.Path}.of", $"Unknown target {of.What}. Expected a signal, position.site, or 'cause' and its name.",
                Nearest.To(text, names.Signals.Keys.Concat(names.Positions.Values.SelectMany(p => names.SitesAt(p).Select(s => $"{p.Id}.{s.Id}")))));
        return null;
    }

    private void Finish(string id, Fields f, string words, string kind, string target, IReadOnlyList<string> states, string how, bool? powered, string? usual)
    {
        var minutes = f.Number("minutes", 0, 10_000) ?? 1;
        var bundle = f.Name("bundle");
        if (bundle is not null && bundles.All(b => b.Id != bundle.Value)) complaints.Add(bundle.At, f.Path, $"Unknown bundle {bundle.What}.", Nearest.To(bundle.Value, bundles.Select(b => b.Id)));
        var point = f.Name("point");
        if (point is not null && points.All(p => p.Id != point.Value)) complaints.Add(point.At, f.Path, $"Unknown point {point.What}.", Nearest.To(point.Value, points.Select(p => p.Id)));
        var with = f.Name("with") ?? f.Name("instrument");
        var right = instruments.GetValueOrDefault(with?.Value ?? usual ?? "sure", 0.97);
        if (with is not null && !instruments.ContainsKey(with.Value)) complaints.Add(with.At, f.Path, $"Unknown instrument {with.What}.", Nearest.To(with.Value, instruments.Keys));
        var throws = ContextSection.Settings(f, "throws", names.Selectors, "selector", names);
        var circumstances = ContextSection.Settings(f, "in", names.Conditions, "condition", names);
        var groups = Groups(f, states, target);
        var outcomes = groups.Select(g => g.Outcome).ToImmutableArray();
        var matrix = Matrices.Read(f, "matrix", outcomes, states, target) ?? Matrices.Instrument(groups, states, right);
        var question = f.Text("owner");
        var ownersWord = Matrices.Read(f, "owner-matrix", outcomes, states, target) ?? Matrices.Owner(groups, states);
        var says = outcomes.ToImmutableDictionary(o => o, o => o.Replace('-', ' '));
        foreach (var (outcome, text) in f.Map("says"))
            if (!outcomes.Contains(outcome.Value) && states.Count > 0) complaints.Add(outcome.At, $"{f.Path}.says", $"Unknown outcome {outcome.What}. There are: {string.Join(", ", outcomes)}.", Nearest.To(outcome.Value, outcomes));
            else says = says.SetItem(outcome.Value, (text as Scalar)?.Value ?? outcome.Value);
        var means = f.Names("means");
        foreach (var m in means.Where(m => !Meanses.Contains(m.Value))) complaints.Add(m.At, $"{f.Path}.means", $"Unknown word {m.What}. Expected one of: {string.Join(", ", Meanses)}.", Nearest.To(m.Value, Meanses));
        var ear = EarPart.Read(f, outcomes);
        var bands = Matrices.Bands(f, outcomes, point is not null || ear.IsNumber);
        if (ear.IsNumber && bands.IsEmpty) complaints.Add(f.At, f.Path, $"The ear's '{ear.Measure}' is a number: say by 'bands' what it means.");
        var check = new CheckSpec(id, words, kind, target, how, powered, minutes, bundle?.Value, f.Text("tool"), throws, circumstances, outcomes, matrix,
            question is not null, question is null ? null : ownersWord, f.Flag("repeatable") ?? false, point?.Value, bands, says,
            [.. means.Select(m => m.Value).Concat(earthed.Contains(with?.Value ?? usual ?? "") ? ["earthed-gear"] : []).Distinct()]) { Ear = ear.Measure, Hears = ear.Hears, Limits = ear.Limits };
        f.Done();
        if (kind.Length == 0) return;
        if (checks.Any(c => c.Id == id)) complaints.Add(f.At, f.Path, $"Check '{id}' stands twice.");
        checks.Add(check);
        if (question is not null) owners[id] = question;
    }

    private List<Matrices.Group> Groups(Fields f, IReadOnlyList<string> states, string target)
    {
        var entries = f.Map("outcomes");
        if (entries.Count == 0) return [.. states.Select(s => new Matrices.Group(s, [s]))];
        var groups = new List<Matrices.Group>();
        foreach (var (outcome, node) in entries)
        {
            if (!f.CheckId(outcome, $"{f.Path}.outcomes")) continue;
            IReadOnlyList<Node> items = node is ListNode l ? l.Items : [node];
            foreach (var item in items.Where(i => states.Count > 0 && (i is not Scalar s || !states.Contains(s.Value))))
                complaints.Add(item.At, $"{f.Path}.outcomes", $"Unknown state {item.What} of {target}. It has: {string.Join(", ", states)}.", Nearest.To((item as Scalar)?.Value ?? "", states));
            groups.Add(new(outcome.Value, [.. items.OfType<Scalar>().Select(s => s.Value)]));
        }

        foreach (var s in states.Where(s => groups.All(g => !g.States.Contains(s))))
            complaints.Add(f.At, $"{f.Path}.outcomes", $"State '{s}' of {target} is in no outcome.");
        return groups;
    }
}
