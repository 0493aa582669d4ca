using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace Bellwire.Papers;

/// <summary>An axis from <paramref name="Low"/> to <paramref name="High"/>, logarithmic where <paramref name="Log"/> (both ends then above 0).</summary>
public sealed record PlotAxis(string Title, double Low, double High, bool Log = false);

/// <summary>A line through points; <paramref name="Dashed"/> tells a second line from the first without colour. A line without a name is not in the legend.</summary>
public sealed record PlotLine(string Name, ImmutableArray<(double X, double Y)> Points, bool Dashed = false);

/// <summary>A word at a place on the x axis, such as a line harmonic.</summary>
public sealed record PlotMark(double X, double Y, string Words);

/// <summary>A plot for screens, papers and the command line, written as SVG that stands alone.</summary>
public sealed record Plot(string Title, PlotAxis Across, PlotAxis Up, ImmutableArray<PlotLine> Lines, ImmutableArray<PlotMark> Marks)
{
    private const double Width = 800, Height = 420, Left = 64, Right = 16, Top = 40, Bottom = 52;

    /// <exception cref="ArgumentException">An axis without extent, or a logarithmic one that reaches 0.</exception>
    public string Svg()
    {
        foreach (var axis in new[] { Across, Up })
            if (!(axis.High > axis.Low) || !double.IsFinite(axis.High - axis.Low) || (axis.Log && !(axis.Low > 0)))
                throw new ArgumentException($"The axis “{axis.Title}” cannot run from {axis.Low} to {axis.High}.");
        var svg = new StringBuilder();
        svg.Append(CultureInfo.InvariantCulture, $"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {Width} {Height}\" role=\"img\" font-family=\"system-ui, sans-serif\" font-size=\"12\" fill=\"#1a1a1a\">");
        svg.Append(CultureInfo.InvariantCulture, $"<title>{Safe(Title)}</title><rect width=\"{Width}\" height=\"{Height}\" fill=\"#fff\"/><text x=\"{Left}\" y=\"22\" font-size=\"15\" font-weight=\"600\">{Safe(Title)}</text>");
        foreach (var (value, label) in PlotTicks.Of(Across))
            svg.Append(CultureInfo.InvariantCulture, $"<path d=\"M{X(value):0.#} {Top}V{Height - Bottom}\" stroke=\"#d8d8d8\"/><text x=\"{X(value):0.#}\" y=\"{Height - Bottom + 16}\" text-anchor=\"middle\">{label}</text>");
        foreach (var (value, label) in PlotTicks.Of(Up))
            svg.Append(CultureInfo.InvariantCulture, $"<path d=\"M{Left} {Y(value):0.#}H{Width - Right}\" stroke=\"#d8d8d8\"/><text x=\"{Left - 6}\" y=\"{Y(value) + 4:0.#}\" text-anchor=\"end\">{label}</text>");
        svg.Append(CultureInfo.InvariantCulture, $"<rect x=\"{Left}\" y=\"{Top}\" width=\"{Width - Left - Right}\" height=\"{Height - Top - Bottom}\" fill=\"none\" stroke=\"#666\"/>");
        svg.Append(CultureInfo.InvariantCulture, $"<text x=\"{(Left + Width - Right) / 2}\" y=\"{Height - 14}\" text-anchor=\"middle\">{Safe(Across.Title)}</text><text transform=\"translate(16 {(Top + Height - Bottom) / 2}) rotate(-90)\" text-anchor=\"middle\">{Safe(Up.Title)}</text>");
        for (var i = 0; i < Lines.Length; i++)
        {
            svg.Append(CultureInfo.InvariantCulture, $"<path d=\"{Path(Lines[i].Points)}\" fill=\"none\" stroke=\"{(i == 0 || (Lines.Length > 2 && !Lines[i].Dashed) ? "#0b4f8a" : "#9a4a00")}\" stroke-width=\"1.5\"{(Lines[i].Dashed ? " stroke-dasharray=\"6 4\"" : "")}/>");
            if (Lines.Length > 1 && Lines[i].Name.Length > 0) svg.Append(CultureInfo.InvariantCulture, $"<text x=\"{Width - Right - 8}\" y=\"{Top + 16 + 16 * i}\" text-anchor=\"end\">{Safe(Lines[i].Name)} {(Lines[i].Dashed ? "– –" : "––")}</text>");
        }
        foreach (var mark in Marks.Where(m => Inside(m.X, Across) && double.IsFinite(m.Y)))
            svg.Append(CultureInfo.InvariantCulture, $"<circle cx=\"{X(mark.X):0.#}\" cy=\"{Y(mark.Y):0.#}\" r=\"3.5\" fill=\"none\" stroke=\"#9a0032\" stroke-width=\"1.5\"/><text x=\"{X(mark.X):0.#}\" y=\"{Math.Max(Top + 10, Y(mark.Y) - 8):0.#}\" text-anchor=\"middle\" font-size=\"11\" fill=\"#9a0032\">{Safe(mark.Words)}</text>");
        return svg.Append("</svg>").ToString();
    }

    private double X(double value) => Left + (Width - Left - Right) * Share(value, Across);
    private double Y(double value) => Height - Bottom - (Height - Top - Bottom) * Share(value, Up);

    private static bool Inside(double value, PlotAxis axis) => value >= axis.Low && value <= axis.High;

    private static double Share(double value, PlotAxis axis) => Math.Clamp(axis.Log
        ? Math.Log(Math.Max(value, 1e-300) / axis.Low) / Math.Log(axis.High / axis.Low)
        : (value - axis.Low) / (axis.High - axis.Low), 0, 1);

    /// <summary>At most a lowest and a highest point for each half pixel: what the eye would see of any number of points.</summary>
    private string Path(ImmutableArray<(double X, double Y)> points)
    {
        var path = new StringBuilder();
        foreach (var column in points.Where(p => Inside(p.X, Across) && !double.IsNaN(p.Y)).GroupBy(p => Math.Round(2 * X(p.X))))
        {
            var (low, high) = (column.Min(p => p.Y), column.Max(p => p.Y));
            path.Append(CultureInfo.InvariantCulture, $"{(path.Length == 0 ? "M" : "L")}{column.Key / 2:0.#} {Y(high):0.#}");
            if (low < high) path.Append(CultureInfo.InvariantCulture, $"V{Y(low):0.#}");
        }
        return path.ToString();
    }

    private static string Safe(string text) => text.Replace("&", "&amp;").Replace("<", "&lt;").Replace(">", "&gt;");
}

/// <summary>Where the grid lines stand and what is written at them.</summary>
internal static class PlotTicks
{
    public static IEnumerable<(double Value, string Label)> Of(PlotAxis axis)
    {
        if (axis.Log)
        {
            for (var decade = Math.Pow(10, Math.Floor(Math.Log10(axis.Low))); decade <= axis.High; decade *= 10)
                foreach (var step in new[] { 1, 2, 5 })
                    if (decade * step >= axis.Low * 0.999 && decade * step <= axis.High * 1.001) yield return (decade * step, Label(decade * step));
            yield break;
        }
        var raw = (axis.High - axis.Low) / 8;
        var size = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        var wide = new[] { 1, 2, 5, 10 }.First(m => m * size >= raw) * size;
        for (var i = Math.Ceiling(axis.Low / wide - 1e-9); i * wide <= axis.High + 1e-9 * wide; i++) yield return (i * wide, Label(i * wide));
    }

    private static string Label(double value) => Math.Abs(value) >= 1000
        ? (value / 1000).ToString("0.###", CultureInfo.InvariantCulture) + "k"
        : (Math.Abs(value) < 1e-12 ? 0 : value).ToString("0.####", CultureInfo.InvariantCulture).Replace("-", "−");
}
