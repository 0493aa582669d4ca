using System.Globalization;
using System.Text;

namespace Bellwire.Perf;

/// <summary>How entry and ranking times grow with the set and with the tape.</summary>
internal static class Growth
{
    private static readonly int[] Pieces = [12, 40, 120, 300], Entries = [10, 30, 60, 120, 200];

    /// <summary>Prints a row as each is done, so that a run that is ended early leaves what it had; <see cref="Draw"/> draws such rows.</summary>
    public static void Run(int seeds)
    {
        Measure.Warm();
        Console.WriteLine(Measure.Head);
        foreach (var p in Pieces)
            foreach (var e in Entries)
                Console.WriteLine(Measure.Of(p, e, 4, seeds).Row);
    }

    public static void Draw(IEnumerable<string> rows, string folder)
    {
        double Number(string cell) => double.Parse(cell, CultureInfo.InvariantCulture);
        List<Measure.Figures> all = [.. rows.Select(r => r.Split('|', StringSplitOptions.TrimEntries)).Where(c => c.Length > 12 && int.TryParse(c[1], out _))
            .Select(c => new Measure.Figures((int)Number(c[1]), (int)Number(c[2]), Number(c[4]), Number(c[5]), Number(c[6]), Number(c[7]), Number(c[9]), ""))];
        List<(string, List<(double, double)>)> By(Func<Measure.Figures, double> what) => [.. all.GroupBy(f => f.Pieces).Select(g => ($"{g.Key} pieces", g.Select(f => ((double)f.Entries, what(f))).ToList()))];
        File.WriteAllText(Path.Combine(folder, "growth-entry.svg"), Chart.Svg("One more entry, median (worst: dashed)", "entries on the tape", "ms of processor time", By(f => f.Entry), By(f => f.WorstEntry)));
        File.WriteAllText(Path.Combine(folder, "growth-ranking.svg"), Chart.Svg("A full ranking, median (worst: dashed)", "entries on the tape", "ms of processor time", By(f => f.Ranking), By(f => f.WorstRanking)));
        File.WriteAllText(Path.Combine(folder, "growth-memory.svg"), Chart.Svg("Memory held by one weighed tape", "entries on the tape", "MB", By(f => Math.Max(1, f.Memory)), []));
    }
}

/// <summary>Lines on logarithmic axes, as SVG that follows the reader's light or dark page.</summary>
internal static class Chart
{
    private const double Wide = 640, High = 400, Left = 64, Right = 120, Top = 36, Bottom = 48;
    private static readonly string[] Inks = ["#0072b2", "#d55e00", "#009e73", "#cc79a7"];   // Okabe and Ito: told apart by colour-blind readers too

    public static string Svg(string title, string x, string y, List<(string Name, List<(double X, double Y)> Points)> lines, List<(string Name, List<(double X, double Y)> Points)> dashed)
    {
        var points = lines.Concat(dashed).SelectMany(l => l.Points).ToList();
        var (x0, x1) = (points.Min(p => p.X), points.Max(p => p.X));
        var (y0, y1) = (Math.Pow(10, Math.Floor(Math.Log10(points.Min(p => p.Y)))), Math.Pow(10, Math.Ceiling(Math.Log10(points.Max(p => p.Y)))));
        double X(double v) => Left + (Wide - Left - Right) * Math.Log(v / x0) / Math.Log(x1 / x0);
        double Y(double v) => High - Bottom - (High - Top - Bottom) * Math.Log(v / y0) / Math.Log(y1 / y0);
        var svg = new StringBuilder();
        void Add(FormattableString s) => svg.Append(s.ToString(CultureInfo.InvariantCulture)).Append('\n');
        Add($"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {Wide} {High}' font-family='sans-serif' font-size='13' role='img' aria-label='{title}'>");
        Add($"<style>svg{{color:#222;background:#fff}}@media(prefers-color-scheme:dark){{svg{{color:#ddd;background:#1b1b1b}}}}text{{fill:currentColor}}.g{{stroke:currentColor;opacity:.2}}</style>");
        Add($"<text x='{Left}' y='20' font-weight='bold'>{title}</text><text x='{(Left + Wide - Right) / 2}' y='{High - 10}' text-anchor='middle'>{x}</text>");
        Add($"<text transform='translate(16 {(Top + High - Bottom) / 2}) rotate(-90)' text-anchor='middle'>{y}</text>");
        for (var v = y0; v <= y1 * 1.001; v *= 10) Add($"<line class='g' x1='{Left}' x2='{Wide - Right}' y1='{Y(v):0.0}' y2='{Y(v):0.0}'/><text x='{Left - 6}' y='{Y(v) + 4:0.0}' text-anchor='end'>{v}</text>");
        foreach (var v in points.Select(p => p.X).Distinct().Order()) Add($"<line class='g' y1='{Top}' y2='{High - Bottom}' x1='{X(v):0.0}' x2='{X(v):0.0}'/><text x='{X(v):0.0}' y='{High - Bottom + 18}' text-anchor='middle'>{v}</text>");
        foreach (var (set, dash) in new[] { (lines, ""), (dashed, " stroke-dasharray='5 4' opacity='.7'") })
            for (var i = 0; i < set.Count; i++)
            {
                var ink = Inks[i % Inks.Length];
                Add($"<polyline fill='none' stroke='{ink}' stroke-width='2'{dash} points='{string.Join(' ', set[i].Points.Select(p => string.Create(CultureInfo.InvariantCulture, $"{X(p.X):0.0},{Y(p.Y):0.0}")))}'/>");
                if (dash.Length == 0) Add($"<text x='{Wide - Right + 8}' y='{Y(set[i].Points[^1].Y) + 4:0.0}' style='fill:{ink}'>{set[i].Name}</text>");
            }
        return svg.Append("</svg>\n").ToString();
    }
}
