namespace Bellwire.Signals;

/// <summary>Where notes begin: new energy entering the spectrum (spectral flux; Bello et al., IEEE Trans. SAP 13(5), 2005).</summary>
internal static class Onsets
{
    public static List<int> Find(double[] x, int rate)
    {
        var size = 1 << (int)Math.Round(Math.Log2(0.021 * rate));
        var hop = Math.Max(1, size / 4);
        var weights = Window.Hann.Samples(size);
        var (shaped, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
        var past = new Queue<double[]>();
        var flux = new List<double>();
        var sums = new List<double>();
        var fft = RealFft.Of(size);
        for (var from = -size / 2; from + size <= x.Length; from += hop)
        {
            for (var n = 0; n < size; n++) shaped[n] = from + n < 0 ? 0 : x[from + n] * weights[n];
            fft.Forward(shaped, re, im);
            var now = new double[re.Length];
            for (var k = 0; k < now.Length; k++) now[k] = Math.Sqrt(re[k] * re[k] + im[k] * im[k]);
            past.Enqueue(now);
            var before = past.Peek();
            var rise = 0.0;
            for (var k = 0; k < now.Length; k++) rise += Math.Max(0, now[k] - before[k]);
            flux.Add(past.Count > 1 ? rise : now.Sum());
            sums.Add(now.Sum());
            if (past.Count > 4) past.Dequeue();
        }
        var most = flux.Count == 0 ? 0 : flux.Max();
        var apart = (int)(0.12 * rate / hop);
        var found = new List<int>();
        for (var i = 0; i < flux.Count; i++)
        {
            // Higher than everything about it, a fair share of the loudest onset, and a third of what sounds is new.
            if (!(flux[i] > 0.1 * most && flux[i] > 0.33 * sums[i] && flux[i] > 0)) continue;
            var (a, b) = (Math.Max(0, i - apart), Math.Min(flux.Count - 1, i + apart));
            var highest = true;
            for (var j = a; j <= b && highest; j++) highest = j < i ? flux[j] < flux[i] : flux[j] <= flux[i];
            if (!highest) continue;
            // The flux is highest when the frame is full of the note; it began about half a frame and the look-back before.
            var start = i;
            while (start > a && flux[start - 1] > 0.15 * flux[i]) start--;
            found.Add(Math.Clamp(-size / 2 + start * hop + size / 2, 0, x.Length - 1));
        }
        return found;
    }
}
