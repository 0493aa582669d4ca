using System.Collections.Immutable;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Pieces with their sites, and positions with theirs.</summary>
internal static class PieceSection
{
    /// <summary>Weight of the unknown fault of a piece that says nothing of its own.</summary>
    public const double UsualOther = 0.5;

    public static void ReadPieces(Fields root, Names names)
    {
        foreach (var (id, f) in root.Entries("pieces", required: true))
        {
            var name = f.Text("name", required: true) ?? id;
            var sites = Sites(f, names);
            var other = f.Number("other", 0, 1000) ?? UsualOther;
            if (other > 0 && sites.Count >= 0 && f.Flag("perfect") != true)
                sites.Add(new("other", $"{name}, otherwise", [new("other", "an unknown fault", other, null, [], 1, false, false, 90, null, 0, 0.7, null)]));
            f.Done();
            names.Kinds[id] = new(id, name, sites);
        }
    }

    public static void ReadPositions(Fields root, Names names)
    {
        var feeds = new List<(string From, Scalar To, Fields Of)>();
        foreach (var (id, f) in root.Entries("positions", required: true))
        {
            var name = f.Text("name", required: true) ?? id;
            var kind = f.Name("piece", required: true);
            if (kind is not null && !names.Kinds.ContainsKey(kind.Value) && !names.IsDropped(kind.Value))
                f.Complaints.Add(kind.At, f.Path, $"Unknown piece {kind.What}.", Nearest.To(kind.Value, names.Kinds.Keys));
            var at = f.List("at", required: true);
            double? x = 0, y = 0;
            if (at.Count == 2) (x, y) = (f.AsNumber(at[0], $"{f.Path}.at", 0, 200), f.AsNumber(at[1], $"{f.Path}.at", 0, 200));
            else if (at.Count > 0) f.Complaints.Add(at[0].At, $"{f.Path}.at", $"Expected two numbers, column and row, found {at.Count}.");
            var to = f.Names("feeds");
            var contact = f.Node("contact");
            var sites = Sites(f, names);
            var redraw = 0.0;
            if (contact is not null) redraw = Contact(new Fields(contact as MapNode, contact.At, $"{f.Path}.contact", f.Complaints), contact, name, sites, names);
            var info = new PositionInfo(id, name, kind?.Value ?? "", f.Flag("house") ?? false, f.Flag("post") ?? true, (int)(x ?? 0), (int)(y ?? 0),
                [.. to.Where(t => !names.IsDropped(t.Value)).Select(t => t.Value)], f.Number("worth", 0, 1e6) ?? 0, f.Number("swap", 0, 1000) ?? 10);
            f.Done();
            if (names.Kinds.TryGetValue(info.Kind, out var k))
                foreach (var clash in sites.Where(s => k.Sites.Any(o => o.Id == s.Id)))
                    f.Complaints.Add(f.At, $"{f.Path}.sites", $"Site '{clash.Id}' is already a site of the piece '{info.Kind}': give it another name.");
            names.Positions[id] = new(id, info.Kind, sites, contact is not null, redraw, info);
            feeds.AddRange(to.Select(t => (id, t, f)));
        }

        foreach (var (_, to, f) in feeds.Where(x => !names.Positions.ContainsKey(x.To.Value) && !names.IsDropped(x.To.Value)))
            f.Complaints.Add(to.At, $"{f.Path}.feeds", $"Unknown position {to.What}.", Nearest.To(to.Value, names.Positions.Keys));
    }

    private static double Contact(Fields f, Node node, string position, List<SiteDraft> sites, Names names)
    {
        if (node is not MapNode) f.Complaints.Add(node.At, f.Path, $"Expected a map such as {{weight: 2, redraw: 0.6}}, found {node.What}.");
        var name = f.Text("name") ?? $"connector of {position}";
        var redraw = f.Number("redraw", 0, 1, required: node is MapNode) ?? 0;
        List<FaultDraft> faults = [];
        if (f.Node("faults") is not null) faults = Faults(f, names);
        else faults.Add(new("open", $"{name} makes no contact", f.Number("weight", 0, 1000, required: node is MapNode) ?? 0, null, ByCauses(f, names), 1, false, false, 5, null, 0, 0.9, null));
        f.Done();
        sites.Add(new("contact", name, faults));
        return redraw;
    }

    private static List<SiteDraft> Sites(Fields of, Names names)
    {
        var sites = new List<SiteDraft>();
        foreach (var (id, f) in of.Entries("sites"))
        {
            if (id is "other" or "contact")
                f.Complaints.Add(f.At, f.Path, $"'{id}' is made by the reader: use the key '{id}' of the piece or position.");
            var name = f.Text("name", required: true) ?? id;
            var faults = Faults(f, names);
            f.Done();
            sites.Add(new(id, name, faults));
        }

        return sites;
    }

    private static List<FaultDraft> Faults(Fields of, Names names)
    {
        var faults = new List<FaultDraft>();
        foreach (var (id, f) in of.Entries("faults", required: true))
        {
            if (id == "good") f.Complaints.Add(f.At, f.Path, "'good' is what a site is without a fault and cannot be one.");
            var weight = f.Number("weight", 0, 1000);
            var odds = f.Number("odds", 0, 1, belowHigh: true);
            if (weight is null && odds is null && f.Node("weight") is null && f.Node("odds") is null) f.Missing("weight");
            if (weight is not null && odds is not null) f.Complaints.Add(f.At, f.Path, "Either 'weight' or 'odds', not both.");
            var words = f.Text("words") ?? id;
            var draft = new FaultDraft(id, words, weight, odds, ByCauses(f, names), f.Number("shows", 0.01, 1) ?? 1, f.Flag("passing") ?? false, f.Flag("quiet") ?? false,
                f.Number("mend", 0, 10_000) ?? 30, f.Text("part"), f.Number("cost", 0, 1e6) ?? 0, f.Number("success", 0, 1) ?? 0.95, f.Text("donor"));
            f.Done();
            faults.Add(draft);
        }

        return faults;
    }

    private static List<(string, double?, double?)> ByCauses(Fields f, Names names)
    {
        var by = new List<(string, double?, double?)>();
        foreach (var (cause, value) in f.Map("by"))
        {
            var path = $"{f.Path}.by.{cause.Value}";
            if (!names.Causes.ContainsKey(cause.Value))
            {
                if (!names.IsDropped(cause.Value)) f.Complaints.Add(cause.At, path, $"Unknown cause {cause.What}.", Nearest.To(cause.Value, names.Causes.Keys));
                continue;
            }

            if (value is Scalar s && s.Value.StartsWith('x') && Fields.TryNumber(s.Value[1..], out var times))
            {
                if (times is >= 1 and <= 1000) by.Add((cause.Value, times, null));
                else f.Complaints.Add(value.At, path, $"Out of range: {Fields.Show(times)}. Expected a factor from x1 to x1000.");
            }
            else if (f.AsNumber(value, path, 0, 1, belowHigh: true) is { } chance) by.Add((cause.Value, null, chance));
        }

        return by;
    }
}
