using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;

namespace Bellwire.Counsel.Papers;

/// <summary>Small wordings that several papers share.</summary>
internal static class Say
{
    public static Block Heading(string text) => new Block.Heading(text);
    public static Block Words(string text) => new Block.Words(text);
    public static Block Caution(string text) => new Block.Caution(text);
    public static Block Points(params IEnumerable<string> items) => new Block.Points([.. items]);
    public static Block Steps(params IEnumerable<string> items) => new Block.Points([.. items], Numbered: true);

    public static Block Table(IEnumerable<Column> columns, IEnumerable<ImmutableArray<string>> rows, params ImmutableArray<string>[] foot) =>
        new Block.Table([.. columns], [.. rows], [.. foot]);

    public static ImmutableArray<string> Row(params string?[] cells) => [.. cells.Select(c => c ?? "")];
    public static Column Num(string title) => new(title, ColumnKind.Number);
    public static Column Txt(string title) => new(title);

    public static string N(double value) => double.IsInfinity(value) ? "open" : value.ToString(Math.Abs(value) >= 1000 ? "0" : Math.Abs(value) >= 0.095 ? "0.##" : "0.####", CultureInfo.InvariantCulture);

    public static string Unit(string quantity) => Quantities.Units.Of(quantity);

    public static string Read(double? value, string quantity) => value is { } v ? $"{N(v)} {Unit(quantity)}" : "not read";

    public static string Limits(PointSpec? point) => point is null ? "no limits known" : (point.Low, point.High) switch
    {
        ({ } low, { } high) => $"{N(low)} to {N(high)} {Unit(point.Quantity)}",
        ({ } low, null) => $"at least {N(low)} {Unit(point.Quantity)}",
        (null, { } high) => $"at most {N(high)} {Unit(point.Quantity)}",
        _ => point.Nominal is { } nominal ? $"about {N(nominal)} {Unit(point.Quantity)}" : "no limits known",
    };

    public static string Upper(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];

    /// <summary>What every paper that touches the house says.</summary>
    public const string LocalRules =
        "Local codes and licensed practice come before anything written here. Nothing at line voltage is opened, measured or joined except by those whom local rules allow.";
}
