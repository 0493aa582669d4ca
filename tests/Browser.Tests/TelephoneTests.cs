using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>A recording that an owner made by telephone, dropped on the page Story.</summary>
public class TelephoneTests(Bench bench) : IClassFixture<Bench>
{
    /// <summary>A chime struck at half a second, 1/e in half a second, quietly and with a telephone's hiss.</summary>
    private static byte[] Chime(double hertz) => EarTests.Wav(3, t => 1e-3 * Math.Sin(2 * Math.PI * 3333 * t * (1 + 0.1 * Math.Sin(t))) + (t < 0.5 ? 0 : 0.1 * Math.Exp(-(t - 0.5) / 0.5) * Math.Sin(2 * Math.PI * hertz * (t - 0.5))));

    private static FilePayload Sent(string name, byte[] bytes) => new() { Name = name, MimeType = "audio/wav", Buffer = bytes };

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task The_suspects_move_by_what_it_sounds_like(bool scripts)
    {
        var page = await bench.Open("/", scripts: scripts);
        var job = await page.StartStory("Gerlof Postma", "The bell plays the wrong tune", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/story");
        await Expect(page.Locator("#likely li").First).Not.ToContainTextAsync("Chime module");
        await page.GetByRole(AriaRole.Radio, new() { Name = "A recording of the chime of door 1" }).CheckAsync();
        // A telephone's own format: one sentence, and nothing is lost.
        await page.GetByLabel("Drop the owner’s WAV file").SetInputFilesAsync(Sent("voice.m4a", [0, 0, 0, 24, .. "ftypM4A and so on"u8]));
        await page.Press("Listen to it");
        await Expect(page.Locator("#phone .error")).ToContainTextAsync("M4A or MP4 file, as telephones record");
        await Expect(page.GetByRole(AriaRole.Radio, new() { Name = "A recording of the chime of door 1" })).ToBeCheckedAsync();
        // Nothing was struck in it: no evidence, and not kept.
        await page.GetByLabel("Drop the owner’s WAV file").SetInputFilesAsync(Sent("empty.wav", EarTests.Wav(2, _ => 0)));
        await page.Press("Listen to it");
        await Expect(page.Locator("#phone .error")).ToContainTextAsync("Nothing was kept");
        // F5 where E5 should be (equal temperament, A4 = 440 Hz).
        await page.GetByLabel("Drop the owner’s WAV file").SetInputFilesAsync(Sent("chime.wav", Chime(698.46)));
        await page.Press("Listen to it");
        await Expect(page.Locator("#phone")).ToContainTextAsync("That is the owner’s word: too high");
        await Expect(page.Locator("#likely li").First).ToContainTextAsync("Chime module");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, $"story-telephone-{(scripts ? "scripts" : "plain")}.png"), FullPage = true });
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator("#tape")).ToContainTextAsync("A recording of the owner’s");
        await Expect(page.Locator("#recordings a")).ToHaveCountAsync(1);
    }

    [Fact]
    public async Task What_is_too_large_is_said_with_its_name_and_the_limit_before_anything_is_sent()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Sjoerd Mulder", "Hums", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/story");
        await Expect(page.Locator("#phone")).ToContainTextAsync("At most 64 MB");
        var file = Path.Combine(Directory.CreateTempSubdirectory("bellwire-large-").FullName, "whole-evening.wav");
        await using (var empty = File.Create(file)) empty.SetLength(65L << 20);
        await page.GetByLabel("Drop the owner’s WAV file").SetInputFilesAsync(file);
        await page.Press("Listen to it");
        await Expect(page.Locator(".send-told")).ToHaveTextAsync("whole-evening.wav is 65 MB; 64 MB at once can be taken. Nothing was sent: cut the recording into shorter ones.");
        foreach (var place in new[] { "ear", "soak" })
        {
            await page.GotoAsync($"/job/{job}/{place}");
            await Expect(page.Locator("main")).ToContainTextAsync("at most 1024 MB", new() { IgnoreCase = true });
        }
        File.Delete(file);
    }

    [Fact]
    public async Task Of_a_set_nobody_knows_the_hum_tells_of_its_supply()
    {
        var page = await bench.Open("/", scripts: false);
        var job = await page.StartStory("Wiebe Kuiper", "Buzzes");
        await page.GotoAsync($"/job/{job}/story");
        // Twice a 60 Hz line and its harmonics, falling: ripple (check values of the signals engine).
        await page.GetByLabel("Drop the owner’s WAV file").SetInputFilesAsync(Sent("buzz.wav", EarTests.Wav(12, t => Enumerable.Range(1, 6).Sum(k => 0.05 / k * Math.Sin(2 * Math.PI * 120 * k * t + k)))));
        await page.Press("Listen to it");
        await Expect(page.Locator("#phone")).ToContainTextAsync("That is the owner’s word: harsh hum or buzz");
        await Expect(page.Locator("#likely li").First).ToContainTextAsync("Supply");
    }

    [Fact]
    public async Task On_Ear_an_owner_s_recording_answers_no_look_at_the_bench()
    {
        var page = await bench.Open("/", 360, 800, ColorScheme.Dark);
        var job = await page.StartStory("Sjoerd Adema", "Chime off", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/ear?what=check:ear-chime");
        await page.GetByRole(AriaRole.Radio, new() { Name = "the owner sent it" }).CheckAsync();
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(Sent("chime.wav", Chime(698.46)));
        await page.Press("Measure it");
        await Expect(page.Locator(".error").First).ToContainTextAsync("That is looked at on the bench. An owner’s recording answers: ");
        await page.GetByRole(AriaRole.Radio, new() { Name = "Chime: the note" }).CheckAsync();
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("698.4");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ear-owner-360-dark.png"), FullPage = true });
        Assert.True(await page.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= window.innerWidth"));
    }
}
