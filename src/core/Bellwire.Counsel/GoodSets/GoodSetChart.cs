using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Sheets.Generic;
using Bellwire.Sheets.Growing;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>One line of the chart: a point, under like conditions, in good sets.</summary>
/// <param name="Alike">"off", or feed and warmth: "limited/warm".</param>
/// <param name="Jobs">The sets that taught it, oldest first.</param>
public sealed record GoodPoint(string Point, string Quantity, string Alike, NormalValue Normal, ImmutableArray<string> Jobs)
{
    /// <summary>"unpowered", "limited feed, warm".</summary>
    public string Conditions => Alike.Split('/') is [var feed, var warmth] ? $"{ReadUnder.FeedWord(feed)}, {warmth}" : "unpowered";

    /// <summary>"16.5 V in 3 good sets, 16.2 to 16.8", with its unit.</summary>
    public string Words(string unit)
    {
        static string N(double v) => Papers.Say.N(v);
        return Normal.Values.Length == 1 ? $"{N(Normal.Mean)} {unit} in one good set"
            : $"{N(Normal.Mean)} {unit} in {Normal.Values.Length} good sets, {N(Normal.Values.Min())} to {N(Normal.Values.Max())}";
    }
}

/// <summary>What proved sets of the same family read at named points: learnt from the second set on, with or without a sheet.</summary>
public sealed record GoodSetChart(ImmutableArray<GoodPoint> Points, bool OwnFamily)
{
    /// <param name="job">Whose set it is shown beside; its own readings teach it nothing.</param>
    /// <param name="sheetOf">The sheet of any job.</param>
    /// <exception cref="ArgumentException">There is no such job.</exception>
    public static GoodSetChart For(ShopState state, string job, Func<JobState, TypeSheet> sheetOf)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheetOf);
        if (!state.Jobs.TryGetValue(job, out var mine)) throw new ArgumentException($"There is no job {job}.", nameof(job));
        var family = FamilyOf(mine);
        var taught = from other in state.Jobs.Values.OrderBy(j => j.Opened).ThenBy(j => j.Id, StringComparer.Ordinal)
                     where other.Id != job && FamilyOf(other) == family
                     let sheet = sheetOf(other)
                     where IsProved(state, other, sheet)
                     from read in LastReadings(state, other, sheet)
                     select (other.Id, read.Point, read.Quantity, read.Alike, read.Value);
        return new([.. taught.GroupBy(t => (Id: SheetGrower.IdOf(t.Point), t.Quantity, t.Alike))
            .Select(g => new GoodPoint(g.First().Point, g.Key.Quantity, g.Key.Alike, NormalValue.Of(g.Select(t => t.Value)), [.. g.Select(t => t.Id)]))
            .OrderBy(p => p.Point, StringComparer.Ordinal).ThenBy(p => p.Alike, StringComparer.Ordinal)], !family.StartsWith('~'));
    }

    /// <summary>Good readings at a point: those under like conditions, else the nearest there are (their conditions say so); null when no good set was read there.</summary>
    public GoodPoint? At(string point, string quantity, string alike) =>
        Points.Where(p => SheetGrower.IdOf(p.Point) == SheetGrower.IdOf(point) && p.Quantity == quantity)
            .OrderByDescending(p => p.Alike == alike ? 2 : (p.Alike == "off") == (alike == "off") ? 1 : 0).ThenByDescending(p => p.Normal.Values.Length).FirstOrDefault();

    /// <summary>Sets without a sheet count as one family when era, feed and features are alike.</summary>
    private static string FamilyOf(JobState job) => job.SheetId is null or GenericSheet.Id or GenericSheet.Alias
        ? $"~{job.Outline.Era}/{job.Outline.Feed}/{string.Join(",", job.Outline.Has.Order(StringComparer.Ordinal))}" : job.SheetId;

    private static bool IsProved(ShopState state, JobState job, TypeSheet sheet) =>
        job.Ending is "mended" or "no fault found" || (job.Ending is null && sheet.Proof.Length > 0 && ProofPlan.Of(state, job.Id, sheet).Complete);

    /// <summary>The last reading of each point that still holds, and what was shown with a reading at the proof.</summary>
    private static IEnumerable<(string Point, string Quantity, string Alike, double Value)> LastReadings(ShopState state, JobState job, TypeSheet sheet)
    {
        var last = new Dictionary<(string, string, string), double>();
        foreach (var read in ReadingHistory.Of(state, job.Id).Where(r => !r.Stale && double.IsFinite(r.Reading.Value)))
            last[(read.Reading.Point, read.Reading.Quantity, read.Alike)] = read.Reading.Value;
        foreach (var line in ProofPlan.Of(state, job.Id, sheet).Lines)
            if (line is { Value: { } v, Outcome: "shown", Step.Point: { } id } && sheet.Points.FirstOrDefault(p => p.Id == id) is { } point && double.IsFinite(v)
                && !last.Keys.Any(k => k.Item1 == id))
                last[(id, point.Quantity, point.Powered ? "line/warm" : "off")] = v;
        return last.Select(p => (p.Key.Item1, p.Key.Item2, p.Key.Item3, p.Value));
    }
}
