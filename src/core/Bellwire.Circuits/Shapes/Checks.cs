using System.Globalization;

namespace Bellwire.Circuits.Shapes;

/// <summary>Gathers complaints, each with the path of its field.</summary>
internal sealed class Checks
{
    private readonly List<ShapeComplaint> _found;
    private readonly string _path;

    public Checks() => (_found, _path) = ([], "");
    private Checks(List<ShapeComplaint> found, string path) => (_found, _path) = (found, path);

    public IReadOnlyList<ShapeComplaint> Found => _found;
    public Checks At(string field) => new(_found, $"{_path}{field}.");

    /// <summary>About a field below this path, or with an empty name about the path itself.</summary>
    public void Say(string field, string words) => _found.Add(new((_path + field).TrimEnd('.'), words));

    public void Range(string field, double? value, double low, double high, string unit = "")
    {
        if (value is not { } v || (v >= low && v <= high)) return; // NaN is outside of every range
        Say(field, string.Create(CultureInfo.InvariantCulture, $"{v:g6}{Unit(unit)} is not between {low:g6} and {high:g6}{Unit(unit)}."));
    }

    private static string Unit(string unit) => unit.Length == 0 ? "" : " " + unit;
}
