using System.Text.RegularExpressions;
using Bellwire.Circuits.Shapes;
using Bellwire.Quantities;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>What readers of shapes have in common: amounts with their units, capacitors as printed, complaints that end the reading.</summary>
internal abstract partial class ShapeFields(Complaints complaints)
{
    /// <summary>Something was complained of; the shape is not built.</summary>
    protected bool Wrong { get; set; }

    /// <summary>What was built, or null after its complaints.</summary>
    protected T? Judged<T>(Fields f, Built<T> built) where T : class
    {
        foreach (var c in built.Complaints) complaints.Add(f.At, f.Path, $"{c.Field}: {c.Words}");
        return built.Value;
    }

    protected Fields? Sub(Fields f, string key) => f.Node(key) switch
    {
        MapNode m => new(m, m.At, $"{f.Path}.{key}", complaints),
        { } other => Say<Fields>(other.At, $"{f.Path}.{key}", $"Expected a map, found {other.What}."),
        _ => Say<Fields>(f.At, f.Path, $"Missing key '{key}'."),
    };

    /// <summary>"2200 uF 35 V", or a map with <c>is</c>, <c>volts</c>, <c>esr</c>.</summary>
    protected CapacitorAsRead? Capacitor(Fields f, string key, bool required)
    {
        switch (f.Node(key))
        {
            case null:
                if (required) { f.Missing(key); Wrong = true; }
                return null;
            case Scalar s:
                var parts = FaradsAndVolts().Match(s.Value.Trim());
                if (parts.Success && Engineering.Parse(parts.Groups[1].Value, "F", "", out _) is { } farads)
                    return new(farads) { WorkingVolts = parts.Groups[2].Success && Engineering.Parse(parts.Groups[2].Value, "V", "", out _) is { } volts ? volts : null };
                return Say<CapacitorAsRead>(s.At, $"{f.Path}.{key}", $"Expected a capacitor such as '2200 uF 35 V', found {s.What}.");
            default:
                if (Sub(f, key) is not { } g) return null;
                var value = Value(g, "is", "F", required: true);
                var made = value is { } v ? new CapacitorAsRead(v) { WorkingVolts = Value(g, "volts", "V"), EsrOhms = Value(g, "esr", "Ω") } : null;
                g.Done();
                return made;
        }
    }

    protected double? Ohms(Scalar s, Fields f)
    {
        if (Engineering.Parse(s.Value, "Ω", "", out var why) is { } v) return v;
        Say<Stage>(s.At, f.Path, why);
        return null;
    }

    protected double? Value(Fields f, string key, string unit, bool required = false)
    {
        if (f.Name(key, required) is not { } s) { Wrong |= required; return null; }
        if (Engineering.Parse(s.Value, unit, "", out var why) is { } v) return v;
        Say<Stage>(s.At, $"{f.Path}.{key}", why);
        return null;
    }

    protected T? Say<T>(Mark at, string path, string words) where T : class
    {
        Wrong = true;
        complaints.Add(at, path, words);
        return null;
    }

    [GeneratedRegex(@"^(\S+(?:\s*[munµp]?F)?)(?:[\s,]+(\d\S*\s*V))?$")]
    private static partial Regex FaradsAndVolts();
}
