using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>One reading out of a typed line.</summary>
/// <param name="Point">Id of the sheet's point, or a name of the person's own.</param>
/// <param name="Value">In the quantity's base unit; infinite for a meter that shows OL.</param>
/// <param name="Lifted">A part that was read with one leg lifted.</param>
/// <param name="New">Said to be a point of the person's own.</param>
public sealed record MeterReading(string Point, string Quantity, double Value, string Typed, bool Lifted = false, bool New = false);

/// <summary>What a technician says when asked what the meter shows: <c>raw 16.9 ripple .5pp 120</c>, <c>12V 12.05</c>, <c>TP3 4.1</c>,
/// <c>R12 4k7 lifted</c>, <c>C1 310uF</c>, <c>C1 esr 2.4</c>, <c>fuse OL</c>, <c>ac-ends 24 VAC</c>, <c>new TP9 4.1 V</c> for a point the sheet does not name; several in one line, or parted by semicolons.</summary>
public static class MeterLine
{
    public const int MostReadings = 30;

    /// <summary>The readings, or what is wrong and what to type instead.</summary>
    public static (ImmutableArray<MeterReading> Readings, string? Why) Read(string line, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(line);
        ArgumentNullException.ThrowIfNull(sheet);
        var found = ImmutableArray.CreateBuilder<MeterReading>();
        foreach (var piece in line.Split([';', '\n'], StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            var words = piece.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
            string? at = null;
            for (var i = 0; i < words.Length;)
            {
                if (found.Count == MostReadings) return ([], $"More than {MostReadings} readings in one line: log some of them first.");
                var own = words[i].Equals(ReadingSense.New, StringComparison.OrdinalIgnoreCase) && i + 1 < words.Length;
                if (own) i++;
                // A voltage that names a rail ("12V 12.05") is a name when a reading follows it.
                var name = words[i];
                if (IsReading(name) && !own && !(Rail(name, sheet) is not null && i + 1 < words.Length && IsReading(words[i + 1])))
                {
                    if (at is not null && found.Count > 0 && found[^1] is { Quantity: "volt-ripple-pp" } before && TypedReading.Parse(name, "hertz", out _) is { Quantity: "hertz" } beat)
                    {
                        found.Add(new(before.Point + "-hertz", "hertz", beat.Value, name.EndsWith("z", StringComparison.OrdinalIgnoreCase) ? name : name + " Hz", New: before.New));
                        i++;
                        continue;
                    }
                    return ([], $"Where does “{name}” belong? Put the point before it: {Example(sheet)} {name}.");
                }
                var ripple = name.Equals("ripple", StringComparison.OrdinalIgnoreCase) && !own;
                var point = own ? sheet.Points.FirstOrDefault(p => p.Id == name) : ripple && at is not null ? RippleOf(at, sheet) : PointOf(name, sheet);
                if (ripple && point is null) return ([], at is null ? "Ripple of what? Put the point before it: raw ripple 0.5pp." : $"The sheet has no ripple point beside “{at}”. Log it under a name of your own: {ReadingSense.New} {at}-ripple 0.5 Vpp.");
                var part = point is null ? PartReading.Named(sheet, i + 1 < words.Length && words[i + 1].Equals("esr", StringComparison.OrdinalIgnoreCase) ? name + PartReading.SeriesEnd : name) : null;
                if (part is var (read, _) && read.EndsWith(PartReading.SeriesEnd, StringComparison.Ordinal) && !name.EndsWith(PartReading.SeriesEnd, StringComparison.OrdinalIgnoreCase)) i++;
                if (++i >= words.Length) return ([], $"“{name}” – and what did it read? Such as {name} 4.1 V.");
                // "24 V AC", "4.1 V": a number may have its unit in the words after it.
                var typed = words[i];
                if (!IsReading(typed)) return ([], $"“{typed}” after “{name}” is not a reading. Type a number and its unit, such as 4.1 V, 38 mVpp, 6k8 or OL.");
                for (i++; i < words.Length && TypedReading.Parse((typed + " " + words[i]).TrimStart('-', '−'), null, out _) is not null && !IsReading(words[i]); i++) typed += " " + words[i];
                var reading = IsOpen(typed) ? new TypedReading(double.PositiveInfinity, "ohm") : TypedReading.Parse(typed, point?.Quantity ?? part?.Quantity, out _);
                if (reading is null) return ([], $"“{name} {typed}” is below nothing; only DC volts and amperes have a sign.");
                if (reading.Quantity is null) return ([], $"“{name} {typed}”: say its unit – V, V AC, mVpp, ohm, A or Hz.");
                if (reading is { Quantity: "farad", Value: >= 1 })
                {
                    // A capacitor meter shows microfarads, and that is what a bare number on a capacitor means.
                    if (!typed.All(c => char.IsAsciiDigit(c) || c is '.' or ',')) return ([], $"“{name} {typed}” is no capacitor of these sets. Type µF, nF or pF (old parts print MF for µF), or the ohms with their unit.");
                    reading = reading with { Value = reading.Value * 1e-6 };
                    typed += " µF";
                }
                at = point?.Id ?? part?.Point ?? name;
                // "V" alone means what the point is read in.
                var quantity = point is not null && reading.Quantity == "volt-dc" && point.Quantity is ("volt-ac" or "volt-ripple-pp") && !typed.Contains("dc", StringComparison.OrdinalIgnoreCase) ? point!.Quantity : reading.Quantity;
                var lifted = point is null && i < words.Length && words[i].ToLowerInvariant() is PartReading.Lifted or "out";
                if (lifted) i++;
                found.Add(new(at, quantity, reading.Value, lifted ? typed + ", one leg lifted" : typed, lifted, own));
            }
        }
        return found.Count == 0 ? ([], $"Type what the meter says, the point first: {Example(sheet)} 16.9.") : (found.ToImmutable(), null);
    }

    private static string Example(TypeSheet sheet) => sheet.Points.FirstOrDefault(p => p.Ladder > 0)?.Id ?? sheet.Points.FirstOrDefault()?.Id ?? "TP1";

    private static bool IsOpen(string word) => word.Equals("OL", StringComparison.OrdinalIgnoreCase) || word.Equals("open", StringComparison.OrdinalIgnoreCase);

    private static bool IsReading(string word) => IsOpen(word) || TypedReading.Parse(word, null, out _) is not null;

    /// <summary>The point a name means: its own, the voltage of a rail, or the beginning of one name only.</summary>
    public static PointSpec? PointOf(string name, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(name);
        ArgumentNullException.ThrowIfNull(sheet);
        var bare = Bare(name);
        return sheet.Points.FirstOrDefault(p => Bare(p.Id) == bare) ?? Rail(name, sheet) ?? Only(sheet.Points.Where(p => Bare(p.Id).StartsWith(bare, StringComparison.Ordinal)));
    }

    /// <summary>"12V": the one rail of that nominal voltage.</summary>
    private static PointSpec? Rail(string name, TypeSheet sheet) =>
        TypedReading.Parse(name, null, out _) is { Quantity: "volt-dc" } volts ? Only(sheet.Points.Where(p => p.Quantity == "volt-dc" && p.Nominal is { } n && Math.Abs(n - Math.Abs(volts.Value)) < 0.01 * Math.Abs(n))) : null;

    private static PointSpec? RippleOf(string point, TypeSheet sheet) =>
        sheet.Points.FirstOrDefault(p => p.Quantity == "volt-ripple-pp" && (p.Id == point || p.Id.StartsWith(point + "-", StringComparison.Ordinal)));

    private static PointSpec? Only(IEnumerable<PointSpec> some) => some.Take(2).ToList() is [var one] ? one : null;

    private static string Bare(string name) => name.Replace("-", "", StringComparison.Ordinal).ToLowerInvariant();
}
