using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using Bellwire.Reasoning;
using Bellwire.Sheets.Odds;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Sections;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets;

/// <summary>Type sheet text → description, or every complaint at once. The format is docs/sheets.md.</summary>
public static class SheetReader
{
    /// <summary>The one format this reader knows.</summary>
    public const int Format = 1;
    private const int MostRepeats = 40;
    private const int MostComplaintRules = 20_000;

    /// <summary>Reads a sheet. Bounded in time and memory for any text.</summary>
    /// <param name="text">The YAML text.</param>
    /// <param name="fileName">Only named in complaints about the whole file.</param>
    /// <param name="outline">Cuts a block model to a set's size: era, feed, counts and features replace the sheet's own.</param>
    public static SheetResult Read(string text, string fileName, Outline? outline = null)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(fileName);
        var complaints = new Complaints();
        var tree = new TreeReader(complaints).Read(text);
        if (tree is null) return SheetResult.Bad(complaints.InOrder);
        var head = new Fields(tree, new Mark(1, 1), "", complaints);
        var format = head.Whole("bellwire", 0, int.MaxValue, required: true);
        if (format is { } number && number != Format)
            complaints.Add(head.Node("bellwire")!.At, "bellwire", $"Format {number} is not known here; this program reads format {Format}.");
        var names = new Names();
        var repeats = ReadRepeat(head, names, outline);
        var has = outline is null ? head.Names("has").Select(s => s.Value).ToHashSet(StringComparer.Ordinal) : [.. outline.Has];
        var era = outline?.Era ?? head.OneOf("era", Outline.Eras, required: true) ?? "unknown";
        var feed = outline?.Feed ?? head.OneOf("feed", Outline.Feeds, required: true) ?? "unknown";
        // "cassette" is an era and a feature; a set of that era need not have the machine, so only the feature counts.
        string[] always = era == "cassette" ? [feed] : [era, feed];
        var expander = new Expander(repeats, new HashSet<string>(has.Concat(always), StringComparer.Ordinal), complaints);
        var expanded = expander.Expand(tree);
        if (expanded is null) return SheetResult.Bad(complaints.InOrder);
        names.Dropped = expander.Dropped;
        var sheet = Build(new Fields(expanded, new Mark(1, 1), "", complaints), names, complaints, era, feed, Hash(text, outline));
        return sheet is not null && complaints.Count == 0 ? SheetResult.Good(sheet) : SheetResult.Bad(complaints.InOrder);
    }

    private static Dictionary<string, int> ReadRepeat(Fields head, Names names, Outline? outline)
    {
        foreach (var (index, node) in head.Map("repeat"))
            if (head.CheckId(index, "repeat") && head.AsNumber(node, $"repeat.{index.Value}", 0, MostRepeats) is { } n)
            {
                if (n != Math.Floor(n)) head.Complaints.Add(node.At, $"repeat.{index.Value}", $"Expected a whole number, found {Fields.Show(n)}.");
                names.Repeat[index.Value] = (int)n;
            }

        if (outline is not null && names.Repeat.ContainsKey("room")) names.Repeat["room"] = Math.Clamp(outline.Rooms, 0, MostRepeats);
        if (outline is not null && names.Repeat.ContainsKey("door")) names.Repeat["door"] = Math.Clamp(outline.Doors, 0, MostRepeats);
        return names.Repeat;
    }

    private static TypeSheet? Build(Fields root, Names names, Complaints complaints, string era, string feed, string hash)
    {
        foreach (var head in (string[])["bellwire", "repeat", "has", "era", "feed", "notes"]) root.Node(head);
        var id = root.Name("id", required: true);
        if (id is not null) root.CheckId(id, "id");
        var title = root.Text("title", required: true);
        var odds = root.OneOf("odds", ["general", "estimated", "counted"], required: true);
        var causes = ContextSection.Causes(root, names);
        ContextSection.Conditions(root, names);
        var selectors = ContextSection.Selectors(root, names);
        PieceSection.ReadPieces(root, names);
        PieceSection.ReadPositions(root, names);
        var drafts = FunctionSection.Read(root);
        var signals = new SignalSection(names, complaints);
        signals.Read(root, drafts);
        var hazards = signals.Hazards(root);
        var checks = new CheckSection(names, complaints);
        checks.Read(root);
        var functions = checks.Functions(drafts);
        var circuits = new CircuitSection(names, complaints, checks.Points).Read(root);
        var hardware = PaperSection.Hardware(root);
        var proof = PaperSection.Proof(root, checks.Checks, checks.Points, names);
        var terminals = PaperSection.Terminals(root);
        var gates = PaperSection.Gates(root, checks.Points, names);
        var cautions = PaperSection.Cautions(root);
        root.Done();
        CheckUnknownFaultsShow(root, names, signals.Signals);
        if (complaints.Count > 0 || signals.Signals.Sum(s => s.Rules.Length) > MostComplaintRules) return null;
        var profile = OddsScale.Fit(Risks(names), names.Causes);
        var family = Compile(id!.Value, names, causes, selectors, signals.Signals, hazards, profile.Scale);
        return new(id.Value, title!, hash, era, feed, odds == "general", family, [.. names.Positions.Values.Select(p => p.Info)],
            hardware, checks.Checks, checks.Bundles, functions, Faults(names), checks.Points, proof, terminals, gates, cautions, checks.Owners,
            names.Conditions.ToImmutableDictionary(c => c.Key, c => c.Value.ToImmutableArray()), profile) { Circuits = circuits };
    }

    private static List<IReadOnlyList<OddsScale.Risk>> Risks(Names names) =>
        [.. names.Positions.Values.SelectMany(p => names.SitesAt(p).Select(s =>
            (IReadOnlyList<OddsScale.Risk>)[.. s.Faults.Select(f => new OddsScale.Risk(f, p.Info.House || f.Passing))]))];

    private static Family Compile(
        string id, Names names, ImmutableArray<CauseSpec> causes, ImmutableArray<SelectorSpec> selectors, ImmutableArray<SignalSpec> signals,
        ImmutableArray<HazardSpec> hazards, double scale)
    {
        ImmutableArray<SiteSpec> Sites(IEnumerable<SiteDraft> sites) =>
            [.. sites.Select(s => new SiteSpec(s.Id, s.Name, [.. s.Faults.Select(f => OddsScale.Mode(f, scale))]))];
        return new(id,
            [.. names.Kinds.Values.Select(k => new PieceKind(k.Id, k.Name, Sites(k.Sites)))],
            [.. names.Positions.Values.Select(p => new PositionSpec(p.Id, p.Info.Name, p.Kind, p.Info.House, Sites(p.Sites), p.HasContact ? "contact" : null, p.Redraw))],
            causes, selectors, signals, hazards);
    }

    private static ImmutableArray<FaultInfo> Faults(Names names)
    {
        static FaultInfo Info(string kind, string? position, SiteDraft s, FaultDraft f) =>
            new(kind, position, s.Id, f.Id, f.Name, f.Mend, f.Part, f.Cost, f.Success, f.Donor, f.Passing);
        return
        [
            .. names.Kinds.Values.SelectMany(k => k.Sites.SelectMany(s => s.Faults.Select(f => Info(k.Id, null, s, f)))),
            .. names.Positions.Values.SelectMany(p => p.Sites.SelectMany(s => s.Faults.Select(f => Info(p.Kind, p.Id, s, f)))),
        ];
    }

    // An unknown fault that shows nowhere would keep its prior for ever: nothing could clear it.
    private static void CheckUnknownFaultsShow(Fields root, Names names, ImmutableArray<SignalSpec> signals)
    {
        var shown = signals.SelectMany(s => s.Rules).SelectMany(r => r.When.Leaves().OfType<Condition.SiteIn>()).Where(x => x.Site == "other").Select(x => x.Position).ToHashSet(StringComparer.Ordinal);
        foreach (var p in names.Positions.Values.Where(p => names.Site(p.Id, "other") is not null && !shown.Contains(p.Id)))
            root.Complaints.Add(root.Map("positions").FirstOrDefault(e => e.Key.Value == p.Id).Key?.At ?? root.At, $"positions.{p.Id}",
                $"The unknown fault of '{p.Id}' shows in no signal. Name it under 'through' of one, or give its piece 'other: 0'.");
    }

    private static string Hash(string text, Outline? outline)
    {
        var all = outline is null ? text : $"{text}\n{outline.Era}|{outline.Feed}|{outline.Rooms}|{outline.Doors}|{string.Join(',', outline.Has.Order(StringComparer.Ordinal))}";
        return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(all)));
    }
}
