using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Finds the notes of a chime: onsets where new energy enters the spectrum, then each partial followed in phase and level
/// (heterodyned; phase slope gives the frequency, log-level slope the decay). Partials still ringing from the note before are set aside.</summary>
public static class ChimeMeter
{
    private const int MostPartials = 10;

    /// <summary>The notes, or why there are none.</summary>
    /// <param name="samples">One channel, at most 120 s.</param>
    public static (Chime? Result, string Why) Measure(ReadOnlySpan<double> samples, int rate)
    {
        Samples.Rate(rate);
        if (samples.Length > 120L * rate) return (null, "A chime is listened to for 120 s at most; cut the recording.");
        if (samples.Length < rate / 5) return (null, "The recording is shorter than a note; record the whole chime.");
        var x = samples.ToArray();
        var onsets = Onsets.Find(x, rate);
        var notes = new List<ChimeNote>();
        var last = ImmutableArray<Partial>.Empty;
        for (var i = 0; i < onsets.Count; i++)
        {
            var from = onsets[i] + (int)(0.02 * rate);
            var to = Math.Min(i + 1 < onsets.Count ? onsets[i + 1] - (int)(0.015 * rate) : x.Length, from + 4 * rate);
            if (to - from < 0.08 * rate) continue;
            var all = Follow(x.AsSpan(from, to - from), rate, (double)(from - onsets[i]) / rate);
            var gap = notes.Count > 0 ? (double)onsets[i] / rate - notes[^1].Onset : 0;
            var fresh = all.Where(p => !last.Any(o => Math.Abs(o.Hertz - p.Hertz) < Math.Max(1.5, 0.004 * p.Hertz) && o.Peak * Math.Exp(-gap / o.DecaySeconds) > 0.6 * p.Peak)).ToImmutableArray();
            if (fresh.IsEmpty) continue;
            var note = Fundamental(fresh);
            var (name, off) = NoteNames.Of(note.Hertz);
            notes.Add(new((double)onsets[i] / rate, note, fresh, notes.Count > 0 ? NoteNames.Cents(notes[^1].Fundamental.Hertz, note.Hertz) : null, name, off));
            last = all;
        }
        return notes.Count == 0 ? (null, "No note begins in this recording.")
            : (new([.. notes], new("onsets by spectral flux; partials followed by phase and level", "Hann", 60, Math.Min(12_000, 0.45 * rate), 0.3)), "");
    }

    /// <summary>The strongest partial, unless it is the second or third multiple of a lower one that is hardly weaker than a tenth.</summary>
    private static Partial Fundamental(ImmutableArray<Partial> partials)
    {
        var strong = partials[0];
        return partials.Where(p => p.Peak > 0.1 * strong.Peak && new[] { 2, 3 }.Any(m => Math.Abs(NoteNames.Cents(m * p.Hertz, strong.Hertz)) < 20)).MinBy(p => p.Hertz) ?? strong;
    }

    private static ImmutableArray<Partial> Follow(ReadOnlySpan<double> x, int rate, double late)
    {
        var first = x[..Math.Min(x.Length, rate / 2)];
        var size = 1 << (int)Math.Ceiling(Math.Log2(4.0 * first.Length));
        var (shaped, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
        Sums.Multiply(first, Window.Hann.Samples(first.Length), shaped.AsSpan(0, first.Length));
        RealFft.Of(size).Forward(shaped, re, im);
        for (var k = 0; k < re.Length; k++) re[k] = Math.Sqrt(re[k] * re[k] + im[k] * im[k]);
        var lobe = Math.Max(2, (int)Math.Ceiling(2.0 * size / first.Length));
        var (low, high) = (Math.Max(lobe, (int)(60.0 * size / rate)), (int)(Math.Min(12_000, 0.45 * rate) * size / rate));
        var floor = 5 * Sums.Median((double[])re.Clone());
        var found = new List<(double Hertz, double Height)>();
        for (var k = low; k < high; k++)
        {
            var highest = true;
            for (var j = -lobe; j <= lobe && highest; j++) highest = re[k] >= re[Math.Clamp(k + j, 0, re.Length - 1)];
            if (!highest || re[k] <= floor) continue;
            var (l, m, r) = (Math.Log(re[k - 1] + 1e-300), Math.Log(re[k] + 1e-300), Math.Log(re[k + 1] + 1e-300));
            found.Add(((k + (l - 2 * m + r < 0 ? 0.5 * (l - r) / (l - 2 * m + r) : 0)) * rate / size, re[k]));
        }
        if (found.Count == 0) return [];
        var most = found.Max(f => f.Height);
        var partials = new List<Partial>();
        foreach (var (hertz, _) in found.Where(f => f.Height > 0.01 * most).OrderByDescending(f => f.Height).Take(MostPartials))
            if (Track(x, rate, hertz, late) is { } p) partials.Add(p);
        return [.. partials.OrderByDescending(p => p.Peak)];
    }

    /// <summary>Follows one partial in frames of 100 ms (shorter in short notes) until it has fallen 35 dB.</summary>
    private static Partial? Track(ReadOnlySpan<double> x, int rate, double hertz, double late)
    {
        var frame = Math.Min(rate / 10, x.Length / 2);
        var hop = Math.Max(1, frame / 4);
        var weights = Window.Hann.Samples(frame);
        double s0 = 0, s1 = 0, s2 = 0, p0 = 0, p1 = 0, l0 = 0, l1 = 0, phase = 0, top = 0;
        for (var from = 0; from + frame <= x.Length; from += hop)
        {
            double re = 0, im = 0;
            var turn = new Turn(2 * Math.PI * hertz / rate, frame);
            for (var n = 0; n < frame; n++) { var v = x[from + n] * weights[n]; re += v * turn.Cos; im -= v * turn.Sin; turn.Next(); }
            var level = 2 * Math.Sqrt(re * re + im * im) / (0.5 * frame);
            if (level > top) top = level;
            if (level < top * 0.018 || level < 1e-9) break;
            var middle = (double)(from + frame / 2) / rate;
            var turned = Math.Atan2(im, re) - 2 * Math.PI * hertz * middle;
            phase = from == 0 ? turned : phase + Math.IEEERemainder(turned - phase, 2 * Math.PI);
            var w = level * level;
            s0 += w; s1 += w * middle; s2 += w * middle * middle;
            p0 += w * phase; p1 += w * phase * middle;
            l0 += w * Math.Log(level); l1 += w * Math.Log(level) * middle;
        }
        var spread = s0 * s2 - s1 * s1;
        if (!(spread > 1e-12 * s0 * s2)) return null;
        var slope = (s0 * l1 - s1 * l0) / spread;
        var decay = slope < -1e-3 ? -1 / slope : double.PositiveInfinity;
        // A Hann frame of an exponential reads a little more than its middle: taken back by the window's own mean.
        var bias = 1.0;
        if (double.IsFinite(decay))
        {
            bias = 0;
            for (var n = 0; n < frame; n++) bias += weights[n] * Math.Exp(-(n - frame / 2) / (decay * rate)) / (0.5 * frame);
        }
        var start = Math.Exp((l0 - slope * s1) / s0 - slope * late) / bias;
        return new(hertz + (s0 * p1 - s1 * p0) / spread / (2 * Math.PI), start, decay);
    }
}
