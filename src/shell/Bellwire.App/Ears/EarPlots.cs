using System.Collections.Immutable;
using Bellwire.Counsel.Ears;
using Bellwire.Papers;
using Bellwire.Sheets;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>The plot one expects of a recording: the spectrum with line harmonics marked, the response within its limits, the waveform of a chime, or how its notes die away.</summary>
internal static class EarPlots
{
    public static Plot Of(Hearing heard, EarReport report, string? kind, ImmutableArray<ResponseLimit> limits = default) => kind switch
    {
        "response" or "pink" or "steps" when report.Response is { } r => Response(r, limits.IsDefault ? [] : limits),
        "chime" when report.Chime is { } c => Wave(heard.Start, report.Channel, c),
        "wave" => Wave(heard.Start, report.Channel, null),
        "chime-decay" when report.Chime is { } c => Decay(heard.Start[report.Channel - 1], heard.Format.Rate, c),
        "balance" when report.Balance is { } b => OfBalance(b),
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

    /// <summary>Re 1 kHz where there are limits, since they are.</summary>
    private static Plot Response(Response r, ImmutableArray<ResponseLimit> limits)
    {
        var zero = limits.IsEmpty || ResponseFinding.ReferenceHertz(limits) is not (var hertz and >= 1) || hertz < r.Points[0].Hertz || hertz > r.Points[^1].Hertz ? 0 : r.At(hertz);
        ImmutableArray<(double X, double Y)> points = [.. r.Points.Select(p => (p.Hertz, p.Db - zero))];
        var (low, high) = (points.Min(p => p.Y), points.Max(p => p.Y));
        if (!limits.IsEmpty) (low, high) = (Math.Min(low, limits.Min(l => l.LowDb)), Math.Max(high, limits.Max(l => l.HighDb)));
        var floor = Math.Max(Math.Floor(low / 10) * 10, Math.Ceiling(high / 10) * 10 - 80);
        PlotLine Edge(string name, Func<ResponseLimit, double> of) => new(name, [.. limits.OrderBy(l => l.LowHertz).SelectMany(l => new[] { (l.LowHertz, of(l)), (l.HighHertz, of(l)) })], true);
        return new("Response" + (limits.IsEmpty ? "" : " and its limits"), new("Hz", r.Points[0].Hertz, r.Points[^1].Hertz, true), new(limits.IsEmpty ? "dB, recorded over played" : "dB re 1 kHz", floor, Math.Max(floor + 10, Math.Ceiling(high / 10) * 10)),
            limits.IsEmpty ? [new("response", points)] : [new("response", points), Edge("limits", l => l.HighDb), Edge("", l => l.LowDb)], []);
    }

    private static Plot OfBalance(Balance b)
    {
        var far = Math.Max(3, Math.Ceiling(b.Bands.Max(x => Math.Abs(x.Db)) / 3) * 3);
        return new("Balance, second channel over the first", new("Hz", b.Bands[0].Hertz, b.Bands[^1].Hertz, true), new("dB", -far, far),
            [new("third octaves", [.. b.Bands.Select(x => (x.Hertz, x.Db))]), new("mean", [(b.Bands[0].Hertz, b.Db), (b.Bands[^1].Hertz, b.Db)], true)], []);
    }

    /// <summary>The fundamental of each note from its onset to the next, and the decay that was fitted to it.</summary>
    private static Plot Decay(ReadOnlySpan<double> x, int rate, Chime chime)
    {
        var (frame, hop) = ((int)(0.08 * rate), (int)(0.02 * rate));
        var lines = new List<PlotLine>();
        for (var i = 0; i < chime.Notes.Length; i++)
        {
            var note = chime.Notes[i];
            var until = i + 1 < chime.Notes.Length ? chime.Notes[i + 1].Onset : (double)x.Length / rate;
            var heard = ImmutableArray.CreateBuilder<(double, double)>();
            for (var at = (int)(note.Onset * rate); at + frame <= Math.Min(x.Length, until * rate); at += hop)
                heard.Add(((at + frame / 2.0) / rate, Math.Max(-140, Decibels.Of(SineFit.At(x.Slice(at, frame), rate, note.Fundamental.Hertz).Peak))));
            lines.Add(new(i == 0 ? "fundamental, heard" : "", heard.ToImmutable()));
            var dies = double.IsFinite(note.Fundamental.DecaySeconds) ? 8.686 / note.Fundamental.DecaySeconds : 0;
            ImmutableArray<double> times = [.. Enumerable.Range(0, 41).Select(k => note.Onset + (until - note.Onset) * k / 40)];
            lines.Add(new(i == 0 ? "as fitted" : "", [.. times.Select(t => (t, Decibels.Of(note.Fundamental.Peak) - dies * (t - note.Onset)))], true));
        }
        var top = Math.Ceiling(lines.SelectMany(l => l.Points).Select(p => p.Y).DefaultIfEmpty(0).Max() / 10) * 10;
        return new("Chime: how its notes die away", new("s", 0, Math.Max(0.1, (double)x.Length / rate)), new("dBFS, peak of the fundamental", top - 70, top), [.. lines.Select(l => l with { Points = [.. l.Points.Where(p => p.Y >= top - 70)] })],
            [.. chime.Notes.Select(n => new PlotMark(n.Onset, Math.Min(top - 4, Decibels.Of(n.Fundamental.Peak)), n.Name))]);
    }

    /// <summary>Lowest and highest of each of some two thousand stretches: what can be seen, and no more.</summary>
    private static Plot Wave(Sound sound, int channel, Chime? chime)
    {
        const int columns = 2000;
        var x = sound.Channels[channel - 1];
        var most = Math.Max(1e-6, x.Length == 0 ? 0 : x.Max(Math.Abs));
        var step = Math.Max(1, x.Length / columns);
        var points = ImmutableArray.CreateBuilder<(double, double)>();
        for (var n = 0; n < x.Length; n += step)
        {
            var part = x.AsSpan(n, Math.Min(step, x.Length - n));
            var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
            foreach (var v in part) (low, high) = (Math.Min(low, v), Math.Max(high, v));
            points.Add(((double)n / sound.Rate, low));
            if (high > low) points.Add(((double)n / sound.Rate, high));
        }
        return new(chime is null ? "Waveform" : "Chime", new("s", 0, Math.Max(0.001, sound.Seconds)), new("of full scale", -most, most), [new("waveform", points.ToImmutable())],
            chime is null ? [] : [.. chime.Notes.Select(n => new PlotMark(n.Onset, 0.9 * most, n.Name))]);
    }
}
