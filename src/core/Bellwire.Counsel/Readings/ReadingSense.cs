using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Sheets;
using Bellwire.Sheets.Text;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What a hand types that can hardly be a reading: a place no sheet names, another unit than the place is read in, a range that slipped.
/// Each complaint says what to type instead.</summary>
public static class ReadingSense
{
    /// <summary>Said before a name of the person's own, which the sheet may take in later.</summary>
    public const string New = "new";

    /// <summary>Nothing in these sets reads more; and no point reads so many times what is right there (estimates).</summary>
    private const double MostVolts = 2000, MostAmperes = 100, MostTimes = 1000;

    private const int MostNamed = 12;

    /// <summary>Names of the person's own that this job's tape has already.</summary>
    public static ImmutableHashSet<string> OwnNames(ShopState state, string job)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.TapeOf(job).Select(e => e.Act).OfType<ReadingTaken>().Select(r => r.Point).ToImmutableHashSet(StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>Null when sheet or tape know the place.</summary>
    /// <param name="typed">As it was typed, the reading too.</param>
    public static string? NoSuchPlace(TypeSheet sheet, ImmutableHashSet<string> own, string place, string typed)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(own);
        ArgumentNullException.ThrowIfNull(place);
        var parts = sheet.Circuits.SelectMany(c => c.Netlist.Devices).Select(d => d.Name).ToHashSet(StringComparer.OrdinalIgnoreCase);
        var bare = Without(Without(place, "-hertz"), PartReading.SeriesEnd);
        if (own.Contains(place) || own.Contains(bare) || parts.Contains(bare) || sheet.Points.Any(p => p.Id == bare)) return null;
        var names = sheet.Points.Select(p => p.Id).Concat(parts.Order(StringComparer.Ordinal)).ToList();
        var near = Nearest.To(place.ToLowerInvariant(), names.Select(n => n.ToLowerInvariant())) is { } low ? names.First(n => n.Equals(low, StringComparison.OrdinalIgnoreCase)) : null;
        var meant = near is not null ? $"did you mean “{near}”?" : names.Count == 0 ? "the sheet names none." : $"there are {string.Join(", ", names.Take(MostNamed))}{(names.Count > MostNamed ? " …" : "")}.";
        return $"No such point as “{place}”: {meant} If it is one of your own, put “{New}” before it: {New} {typed}.";
    }

    /// <summary>Null when the place could read so.</summary>
    public static string? Slip(TypeSheet sheet, string place, string quantity, double value, string typed)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var point = sheet.Points.FirstOrDefault(p => p.Id == place);
        if (point is not null && !TypedReading.Tells(point.Quantity, quantity))
            return $"“{typed}” is not what is read at {place} ({point.Words}): type {Units.Of(point.Quantity)}.";
        if (point is null && PartReading.Named(sheet, place) is not null && quantity is not ("ohm" or "farad"))
            return $"“{typed}”: {place} by itself is read in ohms or farads. Volts across it go under a name of your own: {New} {place}-volts {typed}.";
        var (volts, amperes) = (quantity.StartsWith("volt", StringComparison.Ordinal), quantity == "ampere");
        if (!volts && !amperes) return null;
        var (size, most, unit) = (Math.Abs(value), volts ? MostVolts : MostAmperes, volts ? "V" : "A");
        var right = new[] { point?.Low, point?.High, point?.Nominal }.Max(v => Math.Abs(v ?? 0));
        if (size > most) return FormattableString.Invariant($"“{typed}” is more than {most:0} {unit}, which nothing in such a set reads: a slip of the range or of the prefix. Read it again.");
        return right > 0 && size > MostTimes * right ? FormattableString.Invariant($"“{typed}” is more than {MostTimes:0} times what {place} reads in a good set ({right:0.###} {unit}): a slip of the range or of the prefix. Read it again.") : null;
    }

    private static string Without(string place, string end) => place.EndsWith(end, StringComparison.OrdinalIgnoreCase) ? place[..^end.Length] : place;
}
