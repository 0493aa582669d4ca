using System.Globalization;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>A report in lines a technician reads.</summary>
internal static class EarWords
{
    public static IEnumerable<string> Of(EarReport report)
    {
        var heard = report.Heard;
        yield return Say($"{heard.Seconds:0.###} s, {heard.Format}");
        foreach (var remark in heard.Remarks) yield return $"Mind: {remark}";
        for (var c = 0; c < heard.Channels.Count; c++)
        {
            yield return "";
            if (heard.Channels.Count > 1) yield return $"Channel {c + 1}";
            foreach (var line in Channel(report, heard.Channels[c], report.Verdicts[c])) yield return line;
        }
        if (report.Distortion is { } d) foreach (var line in Tone(report, d, report.Separation)) yield return line;
        if (report.Balance is { } b) yield return Say($"Balance    channel {3 - report.Channel} {Signed(b.Db, 2)} dB over channel {report.Channel} ± {b.How.UncertaintyDb:0.00}, furthest from that at {b.WorstHertz:0} Hz: {Signed(b.WorstDb, 1)} dB; {b.How.Method}, {b.How.LowHertz:0}–{b.How.HighHertz:0} Hz");
        if (report.Response is { } r) foreach (var line in Response(r)) yield return line;
        if (report.Chime is { } chime) foreach (var line in Notes(chime)) yield return line;
        if (report.QuasiPeak is { } q) yield return Say($"Quasi-peak {Db(q.SteadyDbfs)} dBFS, highest {Db(Decibels.Of(q.Highest))}; {q.How.Method}");
        foreach (var h in report.Howls) yield return Say($"Howl       {h.Hertz:0} Hz from {h.At:0.0} s for {h.Seconds:0.0} s, growing {Signed(h.GrowthDb, 0)} dB a second");
        if (report.MotorBoating is { } m) yield return Say($"Pulsing    {m.Hertz:0.0} times a second, {m.DepthDb:0} dB deep: motor-boating");
    }

    private static IEnumerable<string> Channel(EarReport report, HeardChannel heard, HumVerdict? verdict)
    {
        var l = heard.Level;
        yield return Say($"Level      peak {Db(l.PeakDbfs)} dBFS, RMS {Db(l.AcRmsDbfs)} dBFS, crest {l.CrestDb:0.0} dB, DC {Signed(l.Dc, 5)}");
        if (report.Calibration is { } full)
            yield return Say($"Volts      {full.Volts(l.AcRms):0.####} V RMS, {Db(full.Dbu(l.AcRms))} dBu, {Db(full.Dbv(l.AcRms))} dBV; full scale is {full.VoltsAtFullScale:0.####} V peak, ± {full.UncertaintyDb:0.0#} dB");
        if (heard.Noise is { } n)
            yield return Say($"{(report.As == "noise" ? "Noise" : "Power")}      {Db(n.UnweightedDbfs)} dBFS flat, {Db(n.ADbfs)} A, {Db(n.Itu468Dbfs)} 468 (RMS); {n.How.LowHertz:0.#}–{n.How.HighHertz:0} Hz, {n.How.Window}, ± {n.How.UncertaintyDb:0.0#} dB");
        if (heard.Hum is { } hum && verdict is not null)
        {
            yield return Say($"Hum        {Db(hum.RmsDbfs)} dBFS in all, line {(hum.Lines.Any(x => x.Found) ? Say($"{hum.LineHertz:0.000}") : Say($"{hum.LineHertz:0}"))} Hz; {hum.How.Window}, up to {hum.How.HighHertz:0} Hz");
            var found = hum.Lines.Where(x => x.Found).ToList();
            if (found.Count > 0) yield return "           " + string.Join(", ", found.Take(10).Select(x => Say($"{x.Hertz:0.#} Hz {Db(x.RmsDbfs)} ± {x.UncertaintyDb:0.0}")));
            yield return Say($"Verdict    {verdict.Words.Replace(" -", " −")}{(verdict.Kind is HumKind.None ? "" : Say($" Margin {Signed(verdict.MarginDb, 1)} dB."))}");
            foreach (var warning in verdict.Warnings.Concat(hum.How.Warnings)) yield return $"           Mind: {warning}";
        }
        var t = heard.Troubles;
        if (t.Clipped) yield return Say($"Clipped    {t.ClippedRuns} flat tops at {Db(Decibels.Of(t.ClipLevel))} dBFS, {100 * t.ClippedShare:0.##} % of the time");
        if (t.Clicks.Length > 0) yield return Say($"Clicks     {t.Clicks.Length}{(t.Clicks.Length == 1000 ? " or more" : "")}, the first at {t.Clicks[0].At:0.000} s");
        foreach (var drop in t.DropOuts.Take(5)) yield return Say($"Drop-out   at {drop.At:0.00} s for {drop.Seconds:0.00} s, {drop.Db:0} dB down");
    }

    private static IEnumerable<string> Tone(EarReport report, Distortion d, Separation? apart)
    {
        var f = d.Fundamental;
        yield return "";
        yield return Say($"Tone       {f.Hertz:0.000} Hz ± {f.HertzUncertainty:0.0000}, {Db(f.RmsDbfs)} dBFS RMS ± {f.How.UncertaintyDb:0.0##} dB, phase {Signed(f.Phase * 180 / Math.PI, 1)}°");
        yield return Say($"Distortion {100 * d.Thd:0.####} % ± {100 * d.ThdUncertainty:0.####} (THD), {100 * d.ThdPlusNoise:0.####} % (THD+N), SINAD {d.SinadDb:0.0} dB, SNR {d.SnrDb:0.0} dB; {d.How.LowHertz:0}–{d.How.HighHertz:0} Hz, {d.How.Window}");
        if (apart is not null) yield return Say($"Channel {3 - report.Channel}  {(apart.AtLeast ? "at least " : "")}{apart.Db:0.0} dB below at {apart.Hertz:0} Hz; balance {Signed(apart.BalanceDb, 2)} dB");
    }

    private static IEnumerable<string> Response(Response r)
    {
        yield return "";
        yield return Say($"Response   {r.How.Method}; delay {1000 * r.DelaySeconds:0.00} ms, ± {r.How.UncertaintyDb:0.00} dB; re 1 kHz");
        foreach (var warning in r.How.Warnings) yield return $"           Mind: {warning}";
        var middle = r.Points.MinBy(p => Math.Abs(Math.Log(p.Hertz / 1000)))!.Db;
        foreach (var p in r.Points.Where((_, i) => r.Points.Length < 40 || i % 4 == 0))
            yield return Say($"{p.Hertz,9:0} Hz {Signed(p.Db - middle, 2),7} dB{(p.Second is { } s ? Say($"   2nd {100 * s:0.###} %") : "")}{(p.Third is { } t ? Say($"   3rd {100 * t:0.###} %") : "")}");
    }

    private static IEnumerable<string> Notes(Chime chime)
    {
        yield return "";
        foreach (var n in chime.Notes)
            yield return Say($"Note       {n.Onset:0.00} s  {n.Name} {Signed(n.CentsOff, 1)} cents, {n.Fundamental.Hertz:0.00} Hz{(n.CentsFromLast is { } c ? Say($", {Signed(c, 0)} cents from the last") : "")}, {(n.Fundamental.DecaySeconds < 20 ? Say($"dies to 1/e in {n.Fundamental.DecaySeconds:0.00} s") : "does not die away")}, {n.Partials.Length} partial{(n.Partials.Length == 1 ? "" : "s")}");
    }

    private static string Say(FormattableString words) => words.ToString(CultureInfo.InvariantCulture);
    private static string Signed(double value, int digits)
    {
        var rounded = Math.Round(value, digits);
        return (rounded > 0 ? "+" : rounded < 0 ? "−" : "") + Math.Abs(rounded).ToString("F" + digits, CultureInfo.InvariantCulture);
    }

    private static string Db(double db) => double.IsNegativeInfinity(db) ? "−∞" : db.ToString("0.00", CultureInfo.InvariantCulture).Replace('-', '−');
}
