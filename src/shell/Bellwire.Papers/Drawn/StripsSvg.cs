using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Counsel.Papers;

namespace Bellwire.Papers;

/// <summary>Readings against their limits: one strip each, scaled so that the limits lie alike on all of them.</summary>
internal static class StripsSvg
{
    private const double Wide = 640, High = 34, Left = 235, Right = 560;

    public static string Of(ImmutableArray<Strip> strips, string label)
    {
        var svg = new StringBuilder(string.Create(CultureInfo.InvariantCulture, $"<svg class=\"drawn\" viewBox=\"0 0 {Wide} {strips.Length * High + 6}\" role=\"img\" aria-label=\"{HtmlPaper.E(label)}\">"));
        for (var i = 0; i < strips.Length; i++) One(svg, strips[i], i * High + 4);
        return svg.Append("</svg>").ToString();
    }

    private static void One(StringBuilder svg, Strip s, double y)
    {
        var (from, to) = Scale(s);
        double X(double v) => Left + Math.Clamp((v - from) / (to - from), -0.02, 1.02) * (Right - Left);
        void Put(FormattableString text) => svg.Append(text.ToString(CultureInfo.InvariantCulture));
        var middle = y + 15;
        Put($"<text x=\"0\" y=\"{middle + 4}\" font-size=\"11.5\">{HtmlPaper.E(Cut(s.Label))}</text>");
        double low = s.Low is { } l ? X(l) : Left, high = s.High is { } h ? X(h) : Right;
        if (s.Low is not null || s.High is not null) Put($"<rect x=\"{low:0.#}\" y=\"{middle - 7}\" width=\"{Math.Max(1, high - low):0.#}\" height=\"14\" fill=\"#ccc\"/>");
        Put($"<line x1=\"{Left}\" x2=\"{Right}\" y1=\"{middle}\" y2=\"{middle}\" stroke=\"#777\" stroke-width=\".8\"/>");
        if (s is { NormalLow: { } nl, NormalHigh: { } nh })
            Put($"<path d=\"M{X(nl):0.#} {middle - 5}v10M{X(nl):0.#} {middle}H{X(nh):0.#}M{X(nh):0.#} {middle - 5}v10\" stroke=\"#000\" stroke-width=\"1.2\" fill=\"none\"/>");
        if (s.Low is { } a) Put($"<text x=\"{low:0.#}\" y=\"{middle + 17}\" font-size=\"8.5\" text-anchor=\"middle\">{N(a)}</text>");
        if (s.High is { } b) Put($"<text x=\"{high:0.#}\" y=\"{middle + 17}\" font-size=\"8.5\" text-anchor=\"middle\">{N(b)}</text>");
        if (s.Before is { } before) Put($"<circle cx=\"{X(before):0.#}\" cy=\"{middle}\" r=\"4.6\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"1.6\"/>");
        if (s.Now is { } now) Put($"<circle cx=\"{X(now):0.#}\" cy=\"{middle}\" r=\"3.1\"/>");
        var said = s.Now is { } n ? $"{N(n)} {s.Unit}" : "not read since";
        Put($"<text x=\"{Wide}\" y=\"{middle + 4}\" font-size=\"11.5\" text-anchor=\"end\">{HtmlPaper.E(said)}</text>");
    }

    /// <summary>Limits in the middle half, or what was read when there are none.</summary>
    private static (double From, double To) Scale(Strip s)
    {
        double[] marks = [.. new[] { s.Low, s.High, s.NormalLow, s.NormalHigh }.OfType<double>()];
        if (marks.Length == 0) marks = [.. new[] { s.Before, s.Now }.OfType<double>()];
        double low = marks.Min(), high = marks.Max();
        if (s.Low is null && low > 0) low = 0;
        var room = high - low is > 0 and var span ? span / 2 : Math.Max(Math.Abs(high) * 0.1, 1e-6);
        return (s.Low is null && low == 0 ? 0 : low - room, high + room);
    }

    private static string Cut(string text) => text.Length <= 38 ? text : text[..37] + "…";
    private static string N(double v) => v.ToString(Math.Abs(v) >= 1000 ? "0" : "0.##", CultureInfo.InvariantCulture);
}

/// <summary>Numbered pins over a photograph.</summary>
internal static class PinsSvg
{
    public static string Of(ImmutableArray<Pin> pins)
    {
        if (pins.IsEmpty) return "";
        var marks = pins.Select(p => string.Create(CultureInfo.InvariantCulture,
            $"<svg x=\"{p.X * 100:0.##}%\" y=\"{p.Y * 100:0.##}%\" overflow=\"visible\"><circle r=\"9\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"2\"/><text font-size=\"11\" font-weight=\"700\" text-anchor=\"middle\" y=\"4\">{HtmlPaper.E(p.Number)}</text></svg>"));
        return $"<svg aria-hidden=\"true\">{string.Concat(marks)}</svg>";
    }
}
