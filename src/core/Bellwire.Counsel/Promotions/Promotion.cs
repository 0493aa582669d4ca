using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Sheets.Growing;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Something a tape names that the family's sheet could take in.</summary>
/// <param name="What">point, hardware, terminal or position.</param>
/// <param name="Name">As it stands on the tape.</param>
/// <param name="Words">What would be taken in, in words.</param>
/// <param name="Growths">The entries it makes.</param>
public sealed record Promotable(string What, string Name, string Words, ImmutableArray<Growth> Growths)
{
    /// <summary>Fields a person may put right before they go into the sheet. What may be connected is none of them: that is measured, not typed.</summary>
    private static readonly ImmutableArray<(string Key, string Label)> Labels =
        [("words", "Called"), ("name", "Called"), ("nominal", "Good value"), ("low", "From"), ("high", "To"), ("count", "How many belong"), ("carries", "Carries")];

    /// <summary>What is asked before the tap, with what would be written; a new point also asks for its good value.</summary>
    public ImmutableArray<(string Key, string Label, object? Value)> Asked
    {
        get
        {
            var fields = Growths.SelectMany(g => g.Fields).DistinctBy(f => f.Key).ToList();
            var asks = from l in Labels where fields.Any(f => f.Key == l.Key) select (l.Key, l.Label, (object?)fields.First(f => f.Key == l.Key).Value);
            return What == "point" && fields.Any(f => f.Key == "words") ? [.. asks, ("nominal", "Good value", null)] : [.. asks];
        }
    }

    /// <summary>True for a field that is a number.</summary>
    public static bool IsNumber(string key) => key is "nominal" or "low" or "high" or "count";

    /// <summary>The same with fields put right. Keys are those of <see cref="Asked"/>.</summary>
    /// <exception cref="ArgumentException">A field that is not asked for, or a number that is none.</exception>
    public Promotable With(IReadOnlyDictionary<string, object> typed)
    {
        ArgumentNullException.ThrowIfNull(typed);
        foreach (var (key, value) in typed)
        {
            if (Asked.All(a => a.Key != key)) throw new ArgumentException($"“{key}” is not asked for; asked are {string.Join(", ", Asked.Select(a => a.Key))}.", nameof(typed));
            if (IsNumber(key) && !(value is int || value is double d && double.IsFinite(d))) throw new ArgumentException($"{key}: {value} is not a finite number.", nameof(typed));
        }
        var added = typed.Where(t => Growths.All(g => g.Fields.All(f => f.Key != t.Key))).Select(t => (t.Key, t.Value));
        return this with
        {
            Growths = [.. Growths.Select((g, i) => g with { Fields = [.. g.Fields.Select(f => (f.Key, typed.GetValueOrDefault(f.Key, f.Value))), .. i == 0 ? added : []] })],
        };
    }
}

/// <summary>What grows out of a job into its family's sheet.</summary>
public static class Promotion
{
    /// <summary>What may be said of a terminal nobody has measured.</summary>
    public const string NotKnown = "not known: own wires, own transformer, own chime";

    public static ImmutableArray<Promotable> From(ShopState state, string job, TypeSheet sheet, GoodSetChart good)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(good);
        return [.. Points(state, job, sheet), .. Values(sheet, good), .. Hardware(state, job, sheet), .. Terminals(state, job, sheet), .. Positions(state, job, sheet)];
    }

    private static IEnumerable<Promotable> Points(ShopState state, string job, TypeSheet sheet)
    {
        foreach (var read in ReadingHistory.Of(state, job).GroupBy(r => SheetGrower.IdOf(r.Reading.Point)).Select(g => g.Last()))
        {
            var id = SheetGrower.IdOf(read.Reading.Point);
            if (id.Length == 0 || sheet.Points.Any(p => p.Id == id || p.Id == read.Reading.Point)) continue;
            yield return new("point", read.Reading.Point, $"a point, read in {Papers.Say.Unit(read.Reading.Quantity)}, {read.Words}",
                [new("points", id, [("words", read.Reading.Point), ("quantity", read.Reading.Quantity), ("powered", read.Warmth != "off")])]);
        }
    }

    /// <summary>A point of the sheet that names no value, and what good sets read there.</summary>
    private static IEnumerable<Promotable> Values(TypeSheet sheet, GoodSetChart good)
    {
        foreach (var point in sheet.Points.Where(p => p.Nominal is null && p.Low is null && p.High is null))
        {
            var known = good.Points.Where(g => SheetGrower.IdOf(g.Point) == point.Id && g.Quantity == point.Quantity).MaxBy(g => g.Normal.Values.Length);
            if (known is null) continue;
            (string, object) nominal = ("nominal", Round(known.Normal.Mean));
            ImmutableArray<(string, object)> fields = known.Normal is { Expected: { } e, Values.Length: >= 3 } ? [nominal, ("low", Round(e.Low)), ("high", Round(e.High))] : [nominal];
            yield return new("point", point.Id, $"{point.Words}: its good value, {known.Words(Papers.Say.Unit(point.Quantity))}, {known.Conditions}", [new("points", point.Id, fields)]);
        }
    }

    private static double Round(double v) => v == 0 ? 0 : Math.Round(v, Math.Clamp(3 - (int)Math.Floor(Math.Log10(Math.Abs(v))), 0, 6));

    private static IEnumerable<Promotable> Hardware(ShopState state, string job, TypeSheet sheet) =>
        from h in state.Jobs[job].Hardware.Values.OrderBy(h => h.Item, StringComparer.Ordinal)
        let id = SheetGrower.IdOf(h.Item)
        where id.Length > 0 && sheet.Hardware.All(x => x.Id != h.Item && x.Id != id)
        select new Promotable("hardware", h.Item, $"{h.Expected ?? h.Came} of them belong", [new("hardware", id, [("name", h.Item), ("count", h.Expected ?? h.Came)])]);

    private static IEnumerable<Promotable> Terminals(ShopState state, string job, TypeSheet sheet) =>
        from name in state.TapeOf(job).Select(e => e.Act).OfType<TerminalMarked>().Select(t => t.Terminal).Distinct()
        let id = SheetGrower.IdOf(name)
        where id.Length > 0 && sheet.Terminals.All(t => t.Id != id)
        select new Promotable("terminal", name, "a terminal; what may be connected stays “not known” until it was measured",
            [new("terminals", id, [("words", name), ("carries", "not measured yet"), ("may-connect", NotKnown)])]);

    /// <summary>A piece that came and has no place in the sheet: a kind of its own and one position of it, to the right of the drawing.</summary>
    private static IEnumerable<Promotable> Positions(ShopState state, string job, TypeSheet sheet)
    {
        var x = sheet.Positions.Length == 0 ? 0 : sheet.Positions.Max(p => p.X) + 1;
        return from p in state.Pieces.Values.Where(p => p.Job == job && p.Owner == Party.OwnerOf(job) && !p.Gone).OrderBy(p => p.Id, StringComparer.Ordinal)
               where sheet.Family.Kinds.All(k => k.Id != p.Kind)
               let id = SheetGrower.IdOf(p.Name)
               where id.Length > 0 && sheet.Positions.All(s => s.Id != id) && sheet.Family.Kinds.All(k => k.Id != id)
               select new Promotable("position", p.Name, "a kind of piece and its place; which functions need it is told on the sheet",
                   [new("pieces", id, [("name", p.Name), ("other", 0)]), new("positions", id, [("name", p.Name), ("piece", id), ("at", ImmutableArray.Create(x, 0))])]);
    }
}
