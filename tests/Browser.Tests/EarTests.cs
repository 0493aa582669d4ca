using System.Globalization;
using System.Net.Http.Json;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>The page Ear in a real Chromium whose sound input is a file of known truth.</summary>
public class EarTests(Bench bench) : IClassFixture<Bench>
{
    private const double Hertz = 1000.3, Peak = 0.25;

    /// <summary>Mono 16 bit at 48 kHz: the sine, and at wish the line's ripple under it.</summary>
    internal static byte[] Wav(double seconds, Func<double, double> at)
    {
        var frames = (int)(48_000 * seconds);
        using var bytes = new MemoryStream();
        using var w = new BinaryWriter(bytes);
        w.Write("RIFF"u8); w.Write(36 + 2 * frames); w.Write("WAVEfmt "u8); w.Write(16); w.Write((short)1); w.Write((short)1);
        w.Write(48_000); w.Write(96_000); w.Write((short)2); w.Write((short)16); w.Write("data"u8); w.Write(2 * frames);
        for (var n = 0; n < frames; n++) w.Write((short)Math.Round(32767 * at(n / 48_000.0)));
        return bytes.ToArray();
    }

    internal static double Sine(double t) => Peak * Math.Sin(2 * Math.PI * Hertz * t);

    /// <summary>Twice a 60 Hz line and its harmonics, falling: what a dry reservoir leaves (check values of the signals engine).</summary>
    private static double Ripple(double t) => Enumerable.Range(1, 6).Sum(k => 0.08 / k * Math.Sin(2 * Math.PI * 120 * k * t + k));

    private static double Noise(double t) => 1e-4 * Math.Sin(2 * Math.PI * 3333 * t * (1 + 0.1 * Math.Sin(t)));

    [Fact]
    public async Task A_tone_at_the_sound_input_is_measured_through_the_whole_page()
    {
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await Hearing(playwright);
        var page = await (await browser.NewContextAsync(new() { BaseURL = bench.Address, Permissions = ["microphone"] })).NewPageAsync();
        var job = await page.StartStory("Emke Dahl", "Plays, but oddly", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/ear");
        await page.GetByRole(AriaRole.Radio, new() { Name = "A tone: frequency" }).CheckAsync();
        await page.GetByRole(AriaRole.Radio, new() { Name = "a microphone before the speaker" }).CheckAsync();
        await page.GetByText("Levels in volts").ClickAsync();
        await page.GetByLabel("A meter read, V RMS").FillAsync("1");
        await page.Press("Open the sound input");
        await Expect(page.Locator("#ear-db")).ToContainTextAsync("-12 dBFS");
        await page.GetByLabel("Seconds").FillAsync("3");
        await Recorded(page, 3);
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("Hz ±");
        await page.GetByText("All figures").ClickAsync();
        await Expect(page.GetByAltText("The waveform")).ToBeVisibleAsync();
        var said = await page.Locator(".figures").InnerTextAsync();
        // A meter read 1 V: the peak of that, √2 V, stands at 0.25 of full scale.
        Assert.Matches(@"Volts\s+1 V RMS, 2\.2[12] dBu, −?0\.00 dBV; full scale is 5\.6[56]", said);
        var tone = Regex.Match(said, @"Tone\s+([\d.]+) Hz ± [\d.]+, (−?[\d.]+) dBFS RMS");
        double Number(int group) => double.Parse(tone.Groups[group].Value.Replace('−', '-'), CultureInfo.InvariantCulture);
        Assert.InRange(Number(1), Hertz - 0.05, Hertz + 0.05);
        Assert.InRange(Number(2), 20 * Math.Log10(Peak / Math.Sqrt(2)) - 0.1, 20 * Math.Log10(Peak / Math.Sqrt(2)) + 0.1);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ear-tone.png"), FullPage = true });
    }

    /// <summary>Records, and as a person would once more where the page says that this PC, busy with other tests, missed some of it.</summary>
    internal static async Task Recorded(IPage page, int seconds)
    {
        var says = page.Locator("#ear-says");
        for (var again = 0; ; again++)
        {
            await page.Locator("#ear-go").ClickAsync();
            await Expect(says).ToContainTextAsync("Recording …");
            await Expect(says).ToHaveTextAsync(new Regex("seconds recorded|This PC missed"), new() { Timeout = 60_000 });
            if (again == 5 || (await says.InnerTextAsync()).Contains("recorded", StringComparison.Ordinal)) break;
        }
        await Expect(says).ToContainTextAsync($"{seconds} seconds recorded");
    }

    /// <summary>The speakers' end of the page is its own sound input: what it plays comes back through a node, delayed as a room would.</summary>
    private static string Wire(string node) => $$"""
        const Real = window.AudioContext; let wire;
        window.AudioContext = class extends Real {
          constructor() { super(); wire = new MediaStreamAudioDestinationNode(this); this.late = {{node}}; this.late.connect(wire); }
          get destination() { return this.late ?? super.destination; }
        };
        const quiet = new Real(), never = new MediaStreamAudioDestinationNode(quiet);
        navigator.mediaDevices.getUserMedia = async () => wire?.stream ?? never.stream;
        AudioContext.prototype.createMediaStreamSource = function () { return this.late; };
        """;

    [Fact]
    public async Task Pink_noise_played_into_a_filter_gives_back_the_filter()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Hidde Veenstra", "Dull sound", "Corridor Nine");
        await page.AddInitScriptAsync(Wire("new IIRFilterNode(this, { feedforward: [0.3], feedback: [1, -0.7] })"));
        await page.GotoAsync($"/job/{job}/ear");
        await page.GetByRole(AriaRole.Radio, new() { Name = "Response, by pink noise" }).CheckAsync();
        await page.GetByRole(AriaRole.Radio, new() { Name = "a microphone before the speaker" }).CheckAsync();
        await page.Press("Open the sound input");
        await Expect(page.Locator("#ear-says")).ToContainTextAsync("Open at");
        await page.GetByLabel("Play meanwhile").SelectOptionAsync("pink");
        await page.GetByLabel("Seconds").FillAsync("10");
        await Recorded(page, 10);
        var rate = double.Parse(Regex.Match(await page.EvaluateAsync<string>("String(new AudioContext().sampleRate)"), @"\d+").Value, CultureInfo.InvariantCulture);
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("no limits to hold it against");
        await page.GetByText("All figures").ClickAsync();
        var said = await page.Locator(".figures").InnerTextAsync();
        Assert.Contains("third octaves over those played", said);
        // One pole: |H|² = 0.09 / (1.49 − 1.4 cos ω).
        double Pole(double f) => 10 * Math.Log10(0.09 / (1.49 - 1.4 * Math.Cos(2 * Math.PI * f / rate)));
        var points = 0;
        foreach (Match point in Regex.Matches(said, @"^\s*(\d+) Hz\s+([+−]?[\d.]+) dB", RegexOptions.Multiline))
        {
            var (hertz, db) = (double.Parse(point.Groups[1].Value, CultureInfo.InvariantCulture), double.Parse(point.Groups[2].Value.Replace('−', '-'), CultureInfo.InvariantCulture));
            if (hertz is < 100 or > 12_000) continue;
            points++;
            Assert.InRange(db - Pole(hertz) + Pole(1000), -0.4, 0.4);
        }
        Assert.True(points > 15, said);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ear-pink.png"), FullPage = true });
    }

    [Fact]
    public async Task What_is_played_comes_back_through_a_stream_within_the_page()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Ludo Brandsma", "Thin sound", "Corridor Nine");
        await page.AddInitScriptAsync(Wire("new DelayNode(this, { delayTime: 0.05 })"));
        await page.GotoAsync($"/job/{job}/ear");
        await page.GetByRole(AriaRole.Radio, new() { Name = "Response, by the sweep" }).CheckAsync();
        await page.GetByRole(AriaRole.Radio, new() { Name = "a microphone before the speaker" }).CheckAsync();
        await page.Press("Open the sound input");
        await Expect(page.Locator("#ear-says")).ToContainTextAsync("Open at");
        await page.GetByLabel("Play meanwhile").SelectOptionAsync("sweep");
        await page.GetByLabel("Seconds").FillAsync("7");
        await Recorded(page, 7);
        await page.GetByText("Limits, for what is listened for freely").ClickAsync();
        await page.GetByLabel("Lowest that is right").FillAsync("-1");
        await page.GetByLabel("Highest that is right").FillAsync("1");
        await page.GetByLabel("A response: from Hz").FillAsync("100");
        await page.GetByLabel("to Hz", new() { Exact = true }).FillAsync("15000");
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("Within its limits by");
        await page.GetByText("All figures").ClickAsync();
        var said = await page.Locator(".figures").InnerTextAsync();
        Assert.True(double.Parse(Regex.Match(said, @"delay ([\d.]+) ms").Groups[1].Value, CultureInfo.InvariantCulture) >= 49);
        // Nothing lies between output and input: flat, by the definition of a wire.
        foreach (Match point in Regex.Matches(said, @"^\s*(\d+) Hz\s+([+−]?[\d.]+) dB", RegexOptions.Multiline))
            if (int.Parse(point.Groups[1].Value, CultureInfo.InvariantCulture) is >= 100 and <= 15_000)
                Assert.InRange(double.Parse(point.Groups[2].Value.Replace('−', '-'), CultureInfo.InvariantCulture), -0.3, 0.3);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ear-response.png"), FullPage = true });
    }

    [Fact]
    public async Task Dropped_files_answer_a_check_move_the_suspects_and_wait_for_the_lead_s_gates()
    {
        var page = await bench.Open("/", scripts: false);
        var job = await page.StartStory("Sanne Hoekstra", "Hums", "Corridor Nine");
        await page.UnpackEverything(job);
        await PowerOn(bench, job);
        await page.GotoAsync($"/job/{job}/ear");
        FilePayload File(string name, Func<double, double> at) => new() { Name = name, MimeType = "audio/wav", Buffer = Wav(12, at) };
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(File("hum.wav", t => Ripple(t) + Noise(t)));
        await page.GetByLabel("The same lead with the set off (the null run)").SetInputFilesAsync(File("off.wav", Noise));
        await page.Press("Measure it");
        await Expect(page.Locator("main")).ToContainTextAsync("Measure DC at the end of the lead first");
        await page.GetByLabel("DC at the end of the lead, V").FillAsync("8.1");
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(File("hum.wav", t => Ripple(t) + Noise(t)));
        await page.Press("Measure it");
        await Expect(page.Locator("main")).ToContainTextAsync("would go into the sound input");
        await page.GetByLabel("DC at the end of the lead, V").FillAsync("0.02");
        await page.GetByRole(AriaRole.Checkbox, new() { Name = "isolating transformer" }).CheckAsync();
        await page.GetByRole(AriaRole.Checkbox, new() { Name = "pad or dummy load" }).CheckAsync();
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(File("hum.wav", t => Ripple(t) + Noise(t)));
        await page.GetByLabel("The same lead with the set off (the null run)").SetInputFilesAsync(File("off.wav", Noise));
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("ripple");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ear-hum.png"), FullPage = true });
        await page.Press("Onto the tape, with the recording");
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator("main")).ToContainTextAsync("A recording:");
        await page.GotoAsync($"/job/{job}/bench");
        await Expect(page.Locator("#sets")).ToContainTextAsync("reservoir dry");
        await page.GotoAsync($"/job/{job}/ear");
        await page.GetByRole(AriaRole.Radio, new() { Name = "a microphone before the speaker" }).CheckAsync();
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(new FilePayload { Name = "x.wav", MimeType = "audio/wav", Buffer = "not a sound"u8.ToArray() });
        await page.Press("Measure it");
        await Expect(page.Locator(".error")).ToHaveCountAsync(1);
    }

    [Fact]
    public async Task A_chime_answers_the_sheet_s_checks_with_its_margin_and_shows_how_it_dies_away()
    {
        var page = await bench.Open("/", scripts: false);
        var job = await page.StartStory("Rinske Molenaar", "The chime sounds wrong", "Corridor Nine");
        await page.UnpackEverything(job);
        await PowerOn(bench, job);
        // G5, then E5, half a second to 1/e each: the strap stands wrong (equal temperament, A4 = 440 Hz).
        static double Struck(double t, double at, double hertz) => t < at ? 0 : 0.3 * Math.Exp(-(t - at) / 0.5) * Math.Sin(2 * Math.PI * hertz * (t - at));
        await page.GotoAsync($"/job/{job}/ear?what=check:ear-chime");
        await page.GetByText("What the sheet takes for right").ClickAsync();
        await Expect(page.Locator("main")).ToContainTextAsync("640 to 679 Hz");
        await page.GetByRole(AriaRole.Radio, new() { Name = "a microphone before the speaker" }).CheckAsync();
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(new FilePayload { Name = "chime.wav", MimeType = "audio/wav", Buffer = Wav(4, t => Struck(t, 0.5, 783.99) + Struck(t, 1.5, 659.26)) });
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("too high, outside its limits by 10");
        await Expect(page.GetByAltText("How the fundamental of each note dies away")).ToHaveCountAsync(1);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ear-chime.png"), FullPage = true });
        await page.Press("Onto the tape, with the recording");
        await page.GotoAsync($"/job/{job}/bench");
        await Expect(page.Locator("#sets")).ToContainTextAsync("pitch parts off");
    }

    /// <summary>A Chromium that hears the sine: a whole number of periods, so that the looped file has no seam.</summary>
    internal static async Task<IBrowser> Hearing(IPlaywright playwright)
    {
        var file = Path.Combine(Directory.CreateTempSubdirectory("bellwire-ear-test-").FullName, "tone.wav");
        await File.WriteAllBytesAsync(file, Wav(10, Sine), TestContext.Current.CancellationToken);
        return await playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = Bench.Chromium(),
            Args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream", $"--use-file-for-fake-audio-capture={file}", "--autoplay-policy=no-user-gesture-required"],
        });
    }

    internal static async Task PowerOn(Bench bench, string job)
    {
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        foreach (var (kind, act) in new (string, object)[]
        {
            ("gate-answered", new { job, system = "set-" + job, gate = "ohms-first", passed = true, value = 900.0 }),
            ("gate-answered", new { job, system = "set-" + job, gate = "limited-feed", passed = true }),
            ("powered", new { job, system = "set-" + job, feed = "limited" }),
        })
            Assert.True((await http.PostAsJsonAsync("/api/entries", new { id = $"{job}-{kind}-{Guid.NewGuid():N}", kind, act }, TestContext.Current.CancellationToken)).IsSuccessStatusCode, kind);
    }
}
