using System.Collections.Immutable;
using Bellwire.Papers;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>The plot one expects of a recording: the spectrum with line harmonics marked, the response, or the waveform of a chime.</summary>
internal static class EarPlots
{
    public static Plot Of(Hearing heard, EarReport report, string? kind) => kind switch
    {
        "response" when report.Response is { } r => Response(r),
        "chime" when report.Chime is { } c => Wave(heard.Start, c),
        _ => Spectrum(heard),
    };

    public static Plot Spectrum(Hearing heard)
    {
        var spectra = heard.Channels.Where(c => c.Spectrum is not null).ToList();
        var top = heard.Format.Rate / 2.0;
        var lines = spectra.Take(2).Select((c, i) => new PlotLine($"channel {i + 1}",
            [.. Enumerable.Range(1, c.Spectrum!.MeanSquare.Length - 1).Select(k => (k * c.Spectrum.BinHertz, Math.Max(-160, Decibels.Of(c.Spectrum.Peak(k)))))], i == 1)).ToImmutableArray();
        var marks = spectra.Count == 0 || spectra[0].Hum is not { } hum ? [] : hum.Lines.Where(l => l.Found).Take(8).Select(l => new PlotMark(l.Hertz, Decibels.Of(l.Peak), $"{l.Order}")).ToImmutableArray();
        var high = lines.SelectMany(l => l.Points).Select(p => p.Y).DefaultIfEmpty(0).Max();
        return new("Spectrum, with the orders of the line marked", new("Hz", 20, Math.Max(100, top), true), new("dBFS, peak of a sine", -150, Math.Max(0, Math.Ceiling(high / 10) * 10)), lines, marks);
    }

    private static Plot Response(Response r)
    {
        var (low, high) = (r.Points.Min(p => p.Db), r.Points.Max(p => p.Db));
        var floor = Math.Max(Math.Floor(low / 10) * 10, Math.Ceiling(high / 10) * 10 - 80);
        return new("Response", new("Hz", r.Points[0].Hertz, r.Points[^1].Hertz, true), new("dB, recorded over played", floor, Math.Max(floor + 10, Math.Ceiling(high / 10) * 10)),
            [new("response", [.. r.Points.Select(p => (p.Hertz, p.Db))])], []);
    }

    private static Plot Wave(Sound sound, Chime chime)
    {
        var x = sound.Channels[0];
        var most = Math.Max(1e-6, x.Max(Math.Abs));
        return new("Chime", new("s", 0, sound.Seconds), new("of full scale", -most, most),
            [new("waveform", [.. x.Select((v, n) => ((double)n / sound.Rate, v))])],
            [.. chime.Notes.Select(n => new PlotMark(n.Onset, 0.9 * most, n.Name))]);
    }
}
