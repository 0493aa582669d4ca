using System.Diagnostics;
using System.Globalization;
using Bellwire.Signals;

namespace Bellwire.Perf;

/// <summary>Level, hum, noise, spectrum and troubles of a ten-minute 48 kHz stereo file, from the file, beside sox stats on the same file.</summary>
internal static class SignalsSpeed
{
    private const int Rate = 48_000, Minutes = 10;

    public static void Run()
    {
        var file = Path.Combine(Path.GetTempPath(), $"bellwire-perf-{Environment.ProcessId}.wav");
        try
        {
            Make(file);
            Console.WriteLine("| what | seconds, best of 5 | times real time | processor seconds | peak memory MB |");
            Console.WriteLine("| --- | --- | --- | --- | --- |");
            Row("level, hum, noise, spectrum, troubles (both channels)", () => Listen(file, new()));
            Row("the same without hum", () => Listen(file, new(Hum: false)));
            Row("level and troubles alone", () => Listen(file, new(Hum: false, Spectrum: false)));
            Row("sox stats on the same file", () => { using var sox = Process.Start(new ProcessStartInfo("sox", [file, "-n", "stats"]) { RedirectStandardError = true })!; sox.StandardError.ReadToEnd(); sox.WaitForExit(); });
            Fft();
        }
        finally { File.Delete(file); }
    }

    private static void Row(string what, Action act)
    {
        var (best, processor) = (double.PositiveInfinity, 0.0);
        for (var n = 0; n < 5; n++)
        {
            var before = Process.GetCurrentProcess().TotalProcessorTime;
            var watch = Stopwatch.StartNew();
            act();
            if (watch.Elapsed.TotalSeconds >= best) continue;
            best = watch.Elapsed.TotalSeconds;
            processor = (Process.GetCurrentProcess().TotalProcessorTime - before).TotalSeconds;
        }
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {what} | {best:0.00} | {Minutes * 60 / best:0} | {processor:0.00} | {Process.GetCurrentProcess().PeakWorkingSet64 / 1e6:0} |"));
    }

    private static void Listen(string file, ListenAsked asked)
    {
        using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16, FileOptions.SequentialScan);
        var reader = WavOpening.Of(stream).Reader!;
        var listener = new Listener(reader.Format.Rate, reader.Format.Channels, asked);
        double[][] now = [new double[1 << 16], new double[1 << 16]], next = [new double[1 << 16], new double[1 << 16]];
        for (var got = reader.Read(now, 1 << 16); got > 0;)
        {
            var fetch = Task.Run(() => reader.Read(next, 1 << 16));
            listener.Feed(now, got);
            got = fetch.Result;
            (now, next) = (next, now);
        }
        if (listener.Finish()[0].Level.Frames != (long)Rate * 60 * Minutes) throw new InvalidOperationException("The file was not heard whole.");
    }

    private static void Fft()
    {
        const int size = 1 << 16;
        var (x, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
        var fft = RealFft.Of(size);
        var count = 0;
        for (var n = 0; n < 20; n++) fft.Forward(x, re, im);
        for (var watch = Stopwatch.StartNew(); watch.ElapsedMilliseconds < 1000; count++) fft.Forward(x, re, im);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"\nReal transforms of 65 536 samples a second, one core: {count}"));
    }

    private static void Make(string file)
    {
        // Hum, a tone and noise, one minute over and over: what it sounds like does not change the work.
        var random = new Random(1);
        var minute = new byte[Rate * 60 * 4];
        for (var n = 0; n < Rate * 60; n++)
            for (var c = 0; c < 2; c++)
                BitConverter.TryWriteBytes(minute.AsSpan(4 * n + 2 * c), (short)(3000 * Math.Sin(2 * Math.PI * 120.1 * n / Rate) + 5000 * Math.Sin(2 * Math.PI * 997 * n / Rate) + 400 * (random.NextDouble() - 0.5)));
        using var head = new MemoryStream();
        WavWriter.Write(head, new Sound(Rate, [0], [0]));
        var header = head.ToArray()[..44];
        BitConverter.TryWriteBytes(header.AsSpan(40), minute.Length * Minutes);
        BitConverter.TryWriteBytes(header.AsSpan(4), minute.Length * Minutes + 36);
        using var stream = File.Create(file);
        stream.Write(header);
        for (var m = 0; m < Minutes; m++) stream.Write(minute);
    }
}
