using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="Wanted">Pieces of that kind expected to be wanted in a year; <paramref name="OnShelf"/> the shop's own at hand.</param>
public sealed record DonorPiece(string Position, string Name, string Kind, double Wanted, int OnShelf, bool Break);

/// <summary>A donor: what is left in it, and whether to break it.</summary>
public sealed record DonorLine(DonorState Donor, ImmutableArray<DonorPiece> Left, string Word)
{
    /// <summary>A kind is worth breaking a donor for when a year wants more of it than lie on the shelf by this much (estimate).</summary>
    private const double Short = 0.5;

    public static IReadOnlyList<DonorLine> Of(ShopState state, IEnumerable<TypeSheet> sheets)
    {
        ArgumentNullException.ThrowIfNull(state);
        var all = sheets.ToList();
        return [.. state.Donors.Values.OrderBy(d => d.Id, StringComparer.Ordinal).Select(d => Line(state, d, all.FirstOrDefault(s => s.Id == d.SheetId)))];
    }

    private static DonorLine Line(ShopState state, DonorState donor, TypeSheet? sheet)
    {
        var yearly = sheet is null ? 0 : PerYear(state, sheet.Id);
        ImmutableArray<DonorPiece> left = [.. donor.Left.OrderBy(p => p.Key, StringComparer.Ordinal).Select(p =>
        {
            var shelf = state.Pieces.Values.Count(x => x.Kind == p.Value && x is { Owner: Party.Shop, Gone: false });
            var wanted = sheet?.Family.Kinds.FirstOrDefault(k => k.Id == p.Value) is { } kind ? yearly * (1 - kind.Sites.SelectMany(s => s.Modes).Aggregate(1.0, (q, m) => q * (1 - m.BaseOdds))) : 0;
            return new DonorPiece(p.Key, sheet?.Positions.FirstOrDefault(x => x.Id == p.Key)?.Name ?? p.Key, p.Value, wanted, shelf, wanted - shelf > Short);
        })];
        var first = left.Where(p => p.Break).MaxBy(p => p.Wanted - p.OnShelf);
        var word = left.IsEmpty ? "nothing left in it" : first is not null ? $"break it, first for the {first.Name.ToLowerInvariant()}" : sheet is null ? "keep it: its family is not known" : "keep it whole: what it holds is not short";
        return new(donor, left, word);
    }

    /// <summary>Jobs of the family a year, over the time since the first one, at least a year.</summary>
    private static double PerYear(ShopState state, string sheet)
    {
        var jobs = state.Jobs.Values.Where(j => j.SheetId == sheet).ToList();
        return jobs.Count == 0 ? 0 : jobs.Count / Math.Max(1, (jobs.Max(j => j.LastTouched) - jobs.Min(j => j.Opened)).TotalDays / 365.25);
    }
}
