using Bellwire.Signals;
using MathNet.Numerics.Integration;

namespace Core.Tests.Signals;

public class WatchTests
{
    private const int Rate = 8000;

    private static double[] Evening()
    {
        // Eight minutes of steady noise with hum; silent from 120 s for 7 s, 9 dB down from 200 s on, hum up from 330 s to 400 s, a gap of 60 ms at 430 s.
        var x = Make.Sum(Make.Noise(1, Rate * 480, 0.05), Make.Sine(Rate, 480, 120.1, 0.01));
        for (var n = 0; n < x.Length; n++)
        {
            var t = (double)n / Rate;
            if (t is >= 120 and < 127) x[n] *= 1e-3;
            if (t >= 200) x[n] *= 0.355;
            if (t is >= 330 and < 400) x[n] += 0.03 * Math.Sin(2 * Math.PI * 120.1 * t);
            if (t is >= 430.2 and < 430.26) x[n] *= 1e-3;
        }
        return x;
    }

    [Fact]
    public void What_happened_in_the_evening_is_told_with_its_times()
    {
        var watch = new Watcher(Rate, new());
        watch.Feed(Evening());
        Assert.Equal((480, 8), (watch.Seconds, watch.Minutes.Length));
        var silent = Assert.Single(watch.Events, e => e.Kind == WatchKind.FellSilent);
        Assert.Equal((120, 7), (silent.At, silent.Seconds));
        Assert.Equal(60, silent.Db, 1.0);
        var moved = Assert.Single(watch.Events, e => e.Kind == WatchKind.LevelMoved);
        Assert.Equal(200, moved.At, 2.0);
        Assert.Equal(-9, moved.Db, 0.5);
        var hum = Assert.Single(watch.Events, e => e.Kind == WatchKind.HumRose && e.Seconds is not null);
        Assert.Equal((330, 70), (hum.At, hum.Seconds));
        var drop = Assert.Single(watch.Events, e => e.Kind == WatchKind.DropOut && e.Seconds < 1);
        Assert.Equal(430.2, drop.At, 0.01);
        Assert.Equal(Decibels.Of(0.05), watch.Minutes[0].RmsDbfs, 0.3);
        Assert.Equal(Decibels.Of(0.01 / Math.Sqrt(2)), watch.Minutes[0].HumDbfs!.Value, 0.5);
    }

    [Fact]
    public void Blocks_do_not_matter()
    {
        var x = Evening().AsSpan(0, Rate * 150);
        var (once, often) = (new Watcher(Rate, new()), new Watcher(Rate, new()));
        once.Feed(x);
        var random = new Random(1);
        for (var at = 0; at < x.Length;)
        {
            var n = Math.Min(random.Next(1, 5000), x.Length - at);
            often.Feed(x.Slice(at, n));
            at += n;
        }
        Assert.Equal(once.Events.Select(e => (e.Kind, e.At, e.Seconds)), often.Events.Select(e => (e.Kind, e.At, e.Seconds)));
        Assert.Equal(once.Minutes[1].RmsDbfs, often.Minutes[1].RmsDbfs, 1e-9);
    }

    [Fact]
    public void A_watch_taken_up_from_its_memory_tells_of_the_same_evening()
    {
        // Cut where nothing is under way, where it is silent, where the level has just moved, and in the middle of a second.
        var x = Evening();
        var whole = new Watcher(Rate, new());
        whole.Feed(x);
        var watch = new Watcher(Rate, new());
        var at = 0;
        foreach (var cut in new[] { 60, 123, 210, 355, 420 })
        {
            watch.Feed(x.AsSpan(at, cut * Rate - at + Rate / 3));
            watch = new(Rate, new(), watch.Memory);
            at = cut * Rate;
        }
        watch.Feed(x.AsSpan(at));
        Assert.Equal((whole.Seconds, whole.Minutes.Length), (watch.Seconds, watch.Minutes.Length));
        Assert.Equal(whole.Minutes.Select(m => m.RmsDbfs), watch.Minutes.Select(m => m.RmsDbfs), (a, b) => Math.Abs(a - b) < 1e-9);
        var (silent, hum, drop) = (watch.Events.Single(e => e.Kind == WatchKind.FellSilent), watch.Events.Single(e => e.Kind == WatchKind.HumRose && e.Seconds is not null), watch.Events.Single(e => e.Kind == WatchKind.DropOut && e.Seconds < 1));
        Assert.Equal((120, 7), (silent.At, silent.Seconds));
        Assert.Equal(200, watch.Events.Single(e => e.Kind == WatchKind.LevelMoved).At, 2.0);
        // The ten seconds of hum under way at a cut begin anew: times move by so much at most.
        Assert.InRange(hum.At, 325, 340);
        Assert.Equal(430.2, drop.At, 0.01);
    }

    [Fact]
    public void Taking_a_watch_up_again_is_no_event_of_the_set()
    {
        // Blocks as a browser hands them on, of no whole number of seconds: at each cut a part of a second goes.
        const int fast = 48_000, block = 118 * 2048;
        var tone = Make.Sum(Make.Sine(fast, 60, 1000.3, 0.25), Make.Noise(9, 60 * fast, 1e-4));
        var watch = new Watcher(fast, new());
        for (var at = 0; at + block <= tone.Length; at += block)
        {
            watch.Feed(tone.AsSpan(at, block));
            watch = new(fast, new(), watch.Memory);
        }
        Assert.Empty(watch.Events);
        Assert.Equal(11 * 5, watch.Seconds);
    }

    [Fact]
    public void What_the_machine_missed_is_no_event_of_the_set()
    {
        // Two minutes of a tone with hum. Buffers that came too late stand in it as exact silence: 80 ms, 3 s across a whole second, and
        // 130 s samples once; and 40 s were lost without a trace. The set itself drops out for 60 ms at 100.2 s.
        var x = Make.Sum(Make.Noise(3, Rate * 300, 0.001), Make.Sine(Rate, 300, 440, 0.2), Make.Sine(Rate, 300, 120.1, 0.01));
        for (var n = (int)(100.2 * Rate); n < 100.26 * Rate; n++) x[n] *= 1e-3;
        Missed[] missed = [new(20 * Rate + 77, 640, 0.08), new(30 * Rate + 4000, 3 * Rate, 3), new(50 * Rate, 0, 40), new(120 * Rate, 130 * Rate, 130)];
        foreach (var m in missed) x.AsSpan(m.From, m.Samples).Clear();
        var watch = new Watcher(Rate, new());
        watch.Feed(x, missed);
        var only = Assert.Single(watch.Events);
        Assert.Equal(WatchKind.DropOut, only.Kind);
        Assert.Equal(100.2, only.At, 0.01);
        Assert.Equal(300, watch.Seconds);
        Assert.Equal([(20.0, 0.08), (30.5, 3), (50, 40), (120, 130)], watch.Gaps.Select(g => (Math.Round(g.At, 1), g.Seconds)));
        Assert.Equal(133.08, watch.Unheard, 1e-9);
        Assert.Equal(Decibels.Of(0.2 / Math.Sqrt(2)), watch.Minutes[0].RmsDbfs, 0.1);
        Assert.True(double.IsNaN(watch.Minutes[3].RmsDbfs)); // 180 to 240 s: nothing was heard
        // The same without being told: silences and a drop-out, as of a set that fails.
        var untold = new Watcher(Rate, new());
        untold.Feed(x);
        Assert.Contains(untold.Events, e => e.Kind == WatchKind.DropOut && Math.Abs(e.At - 20) < 0.1);
        Assert.Contains(untold.Events, e => e.Kind == WatchKind.FellSilent);
        // Taken up from its memory, cut into other blocks: the same.
        var often = new Watcher(Rate, new());
        for (var at = 0; at < x.Length; at += 7 * Rate)
        {
            var (from, to) = (at, Math.Min(at + 7 * Rate, x.Length));
            Missed Clip(Missed m) { var (a, b) = (Math.Max(m.From, from), Math.Min(m.From + m.Samples, to)); return new(a - from, b - a, m.Samples == 0 ? m.Seconds : (double)(b - a) / Rate); }
            often.Feed(x.AsSpan(from, to - from), [.. missed.Where(m => m.From < to && m.From + Math.Max(1, m.Samples) > from).Select(Clip)]);
            often = new(Rate, new(), often.Memory);
        }
        Assert.Equal(watch.Gaps.Select(g => (g.At, Math.Round(g.Seconds, 6))), often.Gaps.Select(g => (g.At, Math.Round(g.Seconds, 6))));
        Assert.Equal(watch.Events.Select(e => e.Kind), often.Events.Select(e => e.Kind));
        Assert.Equal(watch.Unheard, often.Unheard, 1e-9);
    }

    [Fact]
    public void A_missed_stretch_that_does_not_lie_in_its_block_is_the_caller_s_mistake()
    {
        foreach (var wrong in new Missed[][] { [new(-1, 1, 1)], [new(0, 101, 1)], [new(10, 20, 1), new(29, 1, 1)], [new(0, 1, double.NaN)], [new(0, -1, 0)], [new(5, 0, -1)] })
        {
            var watch = new Watcher(Rate, new());
            Assert.Throws<ArgumentException>(() => watch.Feed(new double[100], wrong));
            Assert.Equal((0, 0), (watch.Seconds, watch.Gaps.Length)); // nothing of it was taken
        }
    }

    [Fact]
    public void A_memory_that_contradicts_itself_is_refused()
    {
        var memory = new Watcher(Rate, new()).Memory;
        Assert.Null(memory.Complaint);
        foreach (var wrong in new[] { memory with { Seconds = -1 }, memory with { Seconds = 61 }, memory with { Silent = 0 }, memory with { Humming = -2 }, memory with { Usual = default }, memory with { Unheard = -1 }, memory with { Unheard = double.NaN } })
        {
            Assert.NotNull(wrong.Complaint);
            Assert.Throws<ArgumentException>(() => new Watcher(Rate, new(), wrong));
        }
    }

    [Fact]
    public void A_clean_run_is_worth_what_the_owners_account_makes_it()
    {
        var run = CleanRun.ByHours(1, 120, 2, 18);
        Assert.StartsWith("At two hours a week, 18 clean hours say little: 7 in 100 would have shown.", run.Words);
        foreach (var (k, weeks, perWeek, clean) in new[] { (1, 120.0, 2.0, 18.0), (3, 4.0, 10.0, 24.0), (7, 1.0, 168.0, 5.0) })
        {
            // Judge: the integral over the rate, gamma of shape k over H hours, by MathNet's quadrature.
            var hours = weeks * perWeek;
            var clear = GaussLegendreRule.Integrate(u => u >= 1 ? 0 : Gamma(u / (1 - u)) * Math.Exp(-clean / hours * (u / (1 - u))) / ((1 - u) * (1 - u)), 0, 1, 512);
            double Gamma(double y) => Math.Pow(y, k - 1) * Math.Exp(-y) / Enumerable.Range(1, k - 1).Aggregate(1.0, (a, b) => a * b);
            var worth = CleanRun.ByHours(k, weeks, perWeek, clean);
            Assert.Equal(1 - clear, worth.WouldHaveShown, 1e-6);
            Assert.True(worth.WouldHaveShown < 1 - Math.Exp(-k * clean / hours));
            Assert.Equal(0.9, CleanRun.ByHours(k, weeks, perWeek, worth.ForNineInTen).WouldHaveShown, 1e-9);
        }
        // Bayes by hand: 6 in 10 before, would have shown with 9 in 10: 0.6 / (0.6 + 0.4·0.1).
        Assert.Equal(0.6 / 0.64, new CleanRun(0.9, 0, "").Mended(0.6), 1e-12);
        Assert.Throws<ArgumentOutOfRangeException>(() => CleanRun.ByHours(0, 1, 1, 1));
    }

    [Fact]
    public void Clean_trials_follow_the_beta_binomial()
    {
        var run = CleanRun.ByTrials(2, 10, 5);
        // Judge: ∫ p^a−1 (1−p)^(b−1+5) over ∫ p^a−1 (1−p)^(b−1), a = 2.5, b = 8.5.
        double Beta(double a, double b) => GaussLegendreRule.Integrate(p => Math.Pow(p, a - 1) * Math.Pow(1 - p, b - 1), 0, 1, 512);
        Assert.Equal(1 - Beta(2.5, 13.5) / Beta(2.5, 8.5), run.WouldHaveShown, 1e-6);
        Assert.Contains("5 in", CleanRun.ByTrials(5, 20, 1).Words.Replace("five", "5"));
        Assert.True(CleanRun.ByTrials(2, 10, (int)run.ForNineInTen).WouldHaveShown >= 0.9);
        Assert.True(CleanRun.ByTrials(2, 10, (int)run.ForNineInTen - 1).WouldHaveShown < 0.9);
    }

    [Fact]
    public void A_howl_is_found_and_music_or_hum_is_none()
    {
        var quiet = Make.Noise(1, Rate * 6, 0.003);
        var x = quiet.ToArray();
        for (var n = 2 * Rate; n < 5 * Rate; n++)
        {
            var t = (double)n / Rate;
            x[n] += Math.Min(0.3, 0.005 * Math.Exp(3 * (t - 2))) * Math.Sin(2 * Math.PI * 1234 * t);
        }
        var (howls, _) = OscillationMeter.Howls(x, Rate);
        var howl = Assert.Single(howls);
        Assert.Equal(1234, howl.Hertz, 3.0);
        Assert.InRange(howl.At, 1.9, 2.6);
        Assert.InRange(howl.Seconds, 2.3, 3.2);
        Assert.True(howl.GrowthDb > 3 && howl.Share > 0.9);
        Assert.Empty(OscillationMeter.Howls(quiet, Rate).Howls);
        Assert.Empty(OscillationMeter.Howls(Make.Sum(quiet, Make.Sine(Rate, 6, 120, 0.3)), Rate).Howls);
    }

    [Fact]
    public void Motor_boating_is_told_by_its_beat()
    {
        var noise = Make.Noise(2, Rate * 8, 0.05);
        foreach (var beat in new[] { 1.3, 3.0, 8.0 })
        {
            var x = noise.Select((v, n) => v * (Math.Sin(2 * Math.PI * beat * n / Rate) > 0.3 ? 1 : 0.1)).ToArray();
            var found = OscillationMeter.Pulses(x, Rate)!;
            Assert.Equal(beat, found.Hertz, 0.05 * beat);
            Assert.InRange(found.DepthDb, 17, 25);
        }
        Assert.Null(OscillationMeter.Pulses(noise, Rate));
        Assert.Null(OscillationMeter.Pulses(new double[Rate], Rate));
    }
}
