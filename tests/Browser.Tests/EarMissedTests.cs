using System.Text.Json;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>What the PC missed of a recording is told apart from what the set did not play.</summary>
public class EarMissedTests(Bench bench) : IClassFixture<Bench>
{
    /// <summary>Between the sound input and the page: <c>lose(ms)</c> hands over nothing, as a buffer that came too late; <c>fade(ms)</c> is
    /// the set itself falling silent, at any sample.</summary>
    private const string Between = """
        const make = AudioContext.prototype.createMediaStreamSource;
        AudioContext.prototype.createMediaStreamSource = function (stream) {
          const source = make.call(this, stream), set = new GainNode(this), hiss = new OscillatorNode(this, { frequency: 5003 }), quiet = new GainNode(this, { gain: 1e-5 });
          source.connect(set);
          hiss.connect(quiet); hiss.start();
          const join = set.connect.bind(set);
          set.connect = to => {
            const last = new GainNode(this);
            join(last); quiet.connect(last); GainNode.prototype.connect.call(last, to);
            window.lose = ms => { last.disconnect(); setTimeout(() => GainNode.prototype.connect.call(last, to), ms); };
          };
          window.fade = ms => { const t = this.currentTime + 0.05 + 37 / this.sampleRate; set.gain.setValueAtTime(0, t); set.gain.setValueAtTime(1, t + ms / 1000); };
          return set;
        };
        """;

    private async Task<IPage> Open(IBrowser browser)
    {
        var page = await (await browser.NewContextAsync(new() { BaseURL = bench.Address, Permissions = ["microphone"] })).NewPageAsync();
        await page.AddInitScriptAsync(Between);
        return page;
    }

    [Fact]
    public async Task A_buffer_that_came_too_late_is_the_PC_s_and_a_silence_is_the_set_s()
    {
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await EarTests.Hearing(playwright);
        var page = await Open(browser);
        var job = await page.StartStory("Jelle Wester", "Drops out", "Corridor Nine");
        await page.UnpackEverything(job);
        await EarTests.PowerOn(bench, job);
        await page.GotoAsync($"/job/{job}/soak");
        await page.Press("Begin the soak");
        await page.Press("Open the sound input and listen");
        await Expect(page.Locator("#soak-listened")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex("0 min ([5-9]|[1-5][0-9]) s"), new() { Timeout = 60_000 });
        await page.EvaluateAsync("lose(300)");
        await Expect(page.Locator("#soak-says")).ToContainTextAsync("This PC missed", new() { Timeout = 60_000 });
        await Expect(page.Locator("#soak-says")).ToContainTextAsync("Nothing has happened");
        await Expect(page.Locator("#soak-missed")).ToContainTextAsync("which says nothing of the set");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "soak-missed.png"), FullPage = true });
        await page.EvaluateAsync("fade(300)");
        await Expect(page.Locator("#soak-heard li").First).ToContainTextAsync("Drop-out at", new() { Timeout = 60_000 });
        await page.Press("End the soak");
        await Expect(page.Locator("main")).ToContainTextAsync("the PC missed");
        await Expect(page.Locator("main")).ToContainTextAsync("rop-out once");
    }

    [Fact]
    public async Task A_recording_that_is_not_whole_is_not_kept()
    {
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await EarTests.Hearing(playwright);
        var page = await Open(browser);
        var job = await page.StartStory("Wytske Haven", "Hums", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/ear");
        await page.Press("Open the sound input");
        await Expect(page.Locator("#ear-db")).ToContainTextAsync("-12 dBFS");
        await page.GetByLabel("Seconds").FillAsync("4");
        await page.Locator("#ear-go").ClickAsync();
        await Expect(page.Locator("#ear-says")).ToContainTextAsync("Recording");
        await page.WaitForTimeoutAsync(500);
        await page.EvaluateAsync("lose(200)");
        await Expect(page.Locator("#ear-says")).ToContainTextAsync("This PC missed");
        Assert.Equal(0, await page.Locator("#ear-recording").EvaluateAsync<int>("i => i.files.length"));
        await EarTests.Recorded(page, 4);
        Assert.Equal(1, await page.Locator("#ear-recording").EvaluateAsync<int>("i => i.files.length"));
    }

    /// <summary>The processor itself, quantum by quantum, with clock and samples of known truth: 48 kHz, four seconds of a tone.</summary>
    [Fact]
    public async Task Every_kind_of_gap_is_marked_where_it_is_and_nothing_else_is()
    {
        var page = await (await bench.Browser.NewContextAsync(new() { BaseURL = bench.Address, BypassCSP = true })).NewPageAsync();
        await page.GotoAsync("/");
        var said = await page.EvaluateAsync<JsonElement>("""
            async () => {
              const text = await (await fetch("/ear-worklet.js")).text(), fs = 48000, n = 4 * fs;
              const tone = k => Math.fround(0.3 * Math.sin(2 * Math.PI * 1000.3 * k / fs + 0.1));
              function run(sample, late = () => 0, muted = () => false) {
                let make, frame = 0;
                const posts = [], scope = {
                  get currentFrame() { return frame; }, sampleRate: fs, Date: { now: () => 1e12 + 1000 * (frame / fs + late(frame / fs)) },
                  AudioWorkletProcessor: class { port = { postMessage: m => posts.push(structuredClone(m)) }; }, registerProcessor: (_, c) => { make = c; },
                };
                new Function("scope", "with (scope) {" + text + "}")(scope);
                const ear = new make();
                for (; frame < n; frame += 128) {
                  ear.port.onmessage({ data: { muted: muted(frame) } });
                  ear.process([[Float32Array.from({ length: 128 }, (_, i) => sample(frame + i))]]);
                }
                const marks = posts.flatMap(p => p.missed), samples = posts.flatMap(p => [...p.block]);
                // Handed on in order, whole, each mark before the samples behind it.
                const whole = samples.every((v, k) => v === sample(k)) && posts.every((p, i) => p.frame === i * 2048) && samples.length > n - 2048;
                return { marks, whole };
              }
              const hole = (from, to) => k => k >= from && k < to ? 0 : tone(k);
              return {
                nothing: run(tone),
                late: run(hole(100 * 128, 110 * 128)),
                twice: run(k => k >= 12800 && k < 12928 ? 0 : k >= 128000 && k < 128256 ? 0 : tone(k)),
                set: run(hole(12800 + 50, 14080 + 30)),
                half: run(hole(12800, 14080 + 30)),
                other: run(hole(12800 + 50, 14080)),
                card: run(hole(12800 + 50, 12800 + 50 + 960)),
                brief: run(hole(12800, 12800 + 96)),
                long: run(hole(12800, 12800 + 128 * 1000)),
                start: run(hole(0, 12800)),
                stalled: run(tone, t => t > 2.2 ? 0.3 : 0),
                bursts: run(tone, t => 0.04 * (t % 0.04 > 0.03) + 0.0001 * t),
                caught: run(tone, t => t > 2.2 && t < 2.4 ? 0.3 : 0),
                muted: run(tone, undefined, f => f >= 12800 && f < 25600),
              };
            }
            """);
        (int From, int Samples, double Seconds)[] Marks(string name)
        {
            Assert.True(said.GetProperty(name).GetProperty("whole").GetBoolean(), name);
            return [.. said.GetProperty(name).GetProperty("marks").EnumerateArray().Select(m => (m[0].GetInt32(), m[1].GetInt32(), m[2].GetDouble()))];
        }
        foreach (var name in new[] { "nothing", "set", "half", "other", "brief", "long", "start", "bursts", "caught" }) Assert.Empty(Marks(name));
        Assert.Equal([(12800, 1280, 1280 / 48000.0)], Marks("late"));
        Assert.Equal([(12850, 960, 0.02)], Marks("card")); // two hundredths of a second, as a sound card hands over
        Assert.Equal([(12800, 128), (128000, 256)], Marks("twice").Select(m => (m.From, m.Samples)));
        var stalled = Assert.Single(Marks("stalled"));
        Assert.Equal(0, stalled.Samples);
        Assert.Equal(0.3, stalled.Seconds, 0.005);
        Assert.InRange(stalled.From / 48000.0, 2.2, 3.1); // known at the end of the half second that is wholly behind it
        Assert.Equal((12800, 12800), (Marks("muted")[0].From, Marks("muted").Sum(m => m.Samples)));
    }
}
