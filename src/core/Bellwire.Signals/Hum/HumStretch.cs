using System.Runtime.InteropServices;

namespace Bellwire.Signals;

/// <summary>One stretch of thinned sound: powers |X/Σw|² at the harmonics and of the noise beside them (middle values).</summary>
/// <param name="Strength">How firmly the line's frequency is known; 0 when nothing stands out.</param>
/// <param name="Independent">Segments as if they did not overlap.</param>
internal sealed record HumStretch(double LineHertz, double Strength, double[] Power, double[] Noise, double Seconds, double Independent)
{
    public static HumStretch Of(List<double> kept, int length, double rate, double line, int orders, double segmentSeconds, double search, Window window)
    {
        var segment = Math.Min(length, (int)Math.Round(segmentSeconds * rate));
        var size = 1 << (int)Math.Ceiling(Math.Log2(4.0 * segment));
        var binHertz = rate / size;
        var count = 1 + (length - segment) / Math.Max(1, segment / 2);
        var bins = Math.Min(size / 2, (int)((orders + 1) * (line + 1) / binHertz) + 2);
        var powers = new float[count][];
        var (shaped, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
        var weights = window.Samples(segment);
        var scale = 1 / Math.Pow(window.CoherentGain * segment, 2);
        for (var s = 0; s < count; s++)
        {
            var from = CollectionsMarshal.AsSpan(kept).Slice(s * (segment / 2), segment);
            Sums.Multiply(from, weights, shaped.AsSpan(0, segment));
            RealFft.Of(size).Forward(shaped, re, im);
            powers[s] = new float[bins];
            for (var k = 0; k < bins; k++) powers[s][k] = (float)(scale * (re[k] * re[k] + im[k] * im[k]));
        }
        var middle = new Middle(powers, bins);
        // Beside a harmonic: from beyond the main lobe to 20 bins of a segment away, never as far as the next harmonic's lobe.
        var bin = rate / segment;
        var (near, far) = ((window.LobeBins + 1) * bin, Math.Min(20 * bin, line / 2));
        if (far < near + 2 * bin) (near, far) = (line / 2 - bin, line / 2);
        var noise = new double[orders];
        for (var k = 1; k <= orders; k++) noise[k - 1] = Math.Max(1e-30, middle.Around(k * line / binHertz, near / binHertz, far / binHertz));
        var threshold = 4 + 8 / Math.Sqrt(count);
        var best = (Score: 0.0, Hertz: line);
        for (var offset = -search; offset <= search + 1e-9; offset += 0.002)
        {
            var score = Score(line + offset, orders);
            if (score > best.Score) best = (score, line + offset);
        }
        double Score(double hertz, int upTo)
        {
            var sum = 0.0;
            for (var k = 1; k <= upTo; k++)
            {
                var over = middle.At(k * hertz / binHertz) / (threshold * noise[k - 1]);
                if (over > 1) sum += Math.Log(over);
            }
            return sum;
        }
        var power = new double[orders];
        for (var k = 1; k <= orders; k++) power[k - 1] = middle.Peak(k * best.Hertz / binHertz, 0.1 * bin / binHertz);
        return new(best.Hertz, best.Score, power, noise, (double)length / rate, Math.Max(1, 0.6 * count));
    }

    /// <summary>The middle of the segments' powers, bin by bin, reckoned when asked for.</summary>
    private sealed class Middle(float[][] powers, int bins)
    {
        private readonly double[] _known = new double[bins];
        private readonly double[] _scratch = new double[powers.Length];

        private double Bin(int k)
        {
            k = Math.Clamp(k, 0, bins - 1);
            if (_known[k] > 0) return _known[k];
            for (var s = 0; s < powers.Length; s++) _scratch[s] = powers[s][k];
            return _known[k] = Math.Max(1e-36, Sums.Median(_scratch));
        }

        public double At(double bin)
        {
            var (k, part) = ((int)bin, bin - (int)bin);
            return Bin(k) * (1 - part) + Bin(k + 1) * part;
        }

        /// <summary>Through three bins in logarithms, exact for these windows to 0.001 dB at four-fold padding.</summary>
        public double Peak(double bin, double slack)
        {
            var k = (int)Math.Round(bin);
            var (l, m, r) = (Math.Log(Bin(k - 1)), Math.Log(Bin(k)), Math.Log(Bin(k + 1)));
            var (slope, bend) = ((r - l) / 2, l - 2 * m + r);
            var at = bin - k;
            // A peak a hair beside the place asked for is the same line: the frequency is known to a few thousandths of a hertz only.
            if (bend < 0 && Math.Abs(-slope / bend - at) <= Math.Max(slack, 1e-9)) at = -slope / bend;
            return Math.Exp(m + slope * at + bend * at * at / 2);
        }

        public double Around(double bin, double near, double far)
        {
            var beside = new List<double>();
            for (var d = near; d <= far; d++) { beside.Add(Bin((int)Math.Round(bin - d))); beside.Add(Bin((int)Math.Round(bin + d))); }
            return beside.Count == 0 ? 0 : Sums.Median(CollectionsMarshal.AsSpan(beside));
        }
    }
}
