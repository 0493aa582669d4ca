using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>The soak watch in a real Chromium, and long recordings sent to it.</summary>
public class SoakTests(Bench bench) : IClassFixture<Bench>
{
    [Fact]
    public async Task A_soak_is_listened_to_goes_on_after_a_reload_and_ends_on_the_tape()
    {
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await EarTests.Hearing(playwright);
        var page = await (await browser.NewContextAsync(new() { BaseURL = bench.Address, Permissions = ["microphone"] })).NewPageAsync();
        var job = await page.StartStory("Wim Aalbers", "Falls silent now and then", "Corridor Nine");
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/soak");
        await page.Press("Begin the soak");
        await Expect(page.Locator("main")).ToContainTextAsync("the set is off");
        await EarTests.PowerOn(bench, job);
        await page.GotoAsync($"/job/{job}/soak");
        await page.Press("Begin the soak");
        await Expect(page.Locator("#watch")).ToContainTextAsync("Nothing has happened");
        await page.Press("Open the sound input and listen");
        await Expect(page.Locator("#soak-listened")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex("0 min ([5-9]|[1-5][0-9]) s"), new() { Timeout = 60_000 });
        await page.ReloadAsync();
        // The browser still allows it: it goes on by itself, where it was.
        await Expect(page.Locator("#soak-listened")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex("0 min [1-5][0-9] s"), new() { Timeout = 60_000 });
        await page.Press("Called and chimed as it should");
        await Expect(page.Locator("#watch")).ToContainTextAsync("Last tried");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "soak.png"), FullPage = true });
        await page.GetByLabel("It showed, times").FillAsync("3");
        await page.Press("End the soak");
        await Expect(page.Locator(".error").First).ToContainTextAsync("Say this too");
        await page.GetByLabel("within weeks").FillAsync("2");
        await page.GetByLabel("running hours a week").FillAsync("10");
        await page.Press("End the soak");
        await Expect(page.Locator("main")).ToContainTextAsync("would have shown");
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator("main")).ToContainTextAsync("Soak ended after");
    }

    [Fact]
    public async Task A_soak_outlives_the_program_and_says_when_a_call_is_due()
    {
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await EarTests.Hearing(playwright);
        var page = await (await browser.NewContextAsync(new() { BaseURL = bench.Address, Permissions = ["microphone"] })).NewPageAsync();
        var job = await page.StartStory("Tette Rooker", "Drops out in the evening", "Corridor Nine");
        await page.UnpackEverything(job);
        await EarTests.PowerOn(bench, job);
        await page.Clock.InstallAsync();
        await page.GotoAsync($"/job/{job}/soak");
        await page.Press("Begin the soak");
        await Expect(page.Locator("#soak-due")).ToContainTextAsync("Next due at");
        await page.Press("Open the sound input and listen");
        await Expect(page.Locator("#soak-says")).ToContainTextAsync("Listening. Nothing has happened.");
        await bench.Restart();
        // Nothing is pressed: what was recorded meanwhile is handed over to the new run of the program, which goes on counting.
        await Expect(page.Locator("#soak-listened")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex("0 min (2[0-9]|[3-5][0-9]) s"), new() { Timeout = 60_000 });
        await page.Clock.FastForwardAsync("16:00");
        await Expect(page.Locator("#soak-due")).ToHaveTextAsync("A call and a chime are due now.");
        await Expect(page).ToHaveTitleAsync(new System.Text.RegularExpressions.Regex("^Due: "));
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "soak-due.png"), FullPage = true });
        await page.Press("Called and chimed as it should");
        await Expect(page.Locator("#watch")).ToContainTextAsync("Last tried");
        // The form came back without a reload: one input goes on listening, and only one.
        var before = await page.Locator("#soak-listened").InnerTextAsync();
        await Expect(page.Locator("#soak-listened")).Not.ToHaveTextAsync(before);
        await page.ReloadAsync();
        await Expect(page.Locator("#watch")).ToContainTextAsync("Listened to for");
    }

    [Fact]
    public async Task A_night_recorded_elsewhere_is_sent_watched_and_its_clips_kept()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Noor Wessels", "Goes silent", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/soak");
        var file = Path.Combine(Directory.CreateTempSubdirectory("bellwire-soak-test-").FullName, "night.wav");
        // Ten minutes; silent for six seconds after two.
        await File.WriteAllBytesAsync(file, EarTests.Wav(600, t => t is >= 120 and < 126 ? 0 : EarTests.Sine(t)), TestContext.Current.CancellationToken);
        await page.GetByLabel("Hours of it: drop a WAV file, or choose one").SetInputFilesAsync(file);
        // Over a slow line, so that there is time to give it up however fast the bench is.
        var line = await page.Context.NewCDPSessionAsync(page);
        await line.SendAsync("Network.enable");
        async Task Upload(double bytesASecond) => await line.SendAsync("Network.emulateNetworkConditions", new() { ["offline"] = false, ["latency"] = 0, ["downloadThroughput"] = -1, ["uploadThroughput"] = bytesASecond });
        await Upload(1_500_000);
        await page.Press("Watch it through");
        await Expect(page.Locator("#sending")).ToContainTextAsync("% sent");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "soak-sending.png"), FullPage = true });
        await page.Press("Give it up");
        await Expect(page.Locator(".send-told")).ToContainTextAsync("nothing of it was kept");
        await Upload(-1);
        await page.Press("Watch it through");
        await Expect(page.Locator("#watch")).ToContainTextAsync("Fell silent at 0:02:00 for 6 s");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "soak-night.png"), FullPage = true });
        await page.Press("End the soak");
        await Expect(page.Locator("main")).ToContainTextAsync("It is on the tape");
        Assert.DoesNotContain(Directory.EnumerateDirectories(Path.Combine(bench.Folder, "shop.db.soaks")), d => File.ReadAllText(Path.Combine(d, "watch.json")).Contains(job, StringComparison.Ordinal));
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator("#tape")).ToContainTextAsync("in the soak, fell silent at 0:02:00");
        var clip = await page.RunAndWaitForDownloadAsync(() => page.Locator("#recordings a").First.ClickAsync());
        Assert.InRange(new FileInfo(await clip.PathAsync()).Length, 19 * 96_000, 21 * 96_000);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "soak-tape.png"), FullPage = true });
    }

    [Fact]
    public async Task What_is_refused_comes_back_with_the_file_still_chosen()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Pier Haan", "Hums", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/ear");
        await page.GetByLabel("The recording: drop a WAV file, or choose one").SetInputFilesAsync(new FilePayload { Name = "set.wav", MimeType = "audio/wav", Buffer = EarTests.Wav(2, EarTests.Sine) });
        await page.GetByRole(AriaRole.Radio, new() { Name = "A tone: frequency" }).CheckAsync();
        await page.Press("Measure it");
        await Expect(page.Locator("main")).ToContainTextAsync("Measure DC at the end of the lead first");
        Assert.Equal(1, await page.Locator("#ear-recording").EvaluateAsync<int>("i => i.files.length"));
        await page.GetByRole(AriaRole.Radio, new() { Name = "a microphone before the speaker" }).CheckAsync();
        await page.Press("Measure it");
        await Expect(page.Locator("#result")).ToContainTextAsync("Hz ±");
        Assert.EndsWith("#result", page.Url, StringComparison.Ordinal);
    }
}
