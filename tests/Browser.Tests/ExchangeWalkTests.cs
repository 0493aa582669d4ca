using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>A proof that fails on what nothing on the sheet explains: the boards that may have it are exchanged one at a time, and what is left is gone through.</summary>
public class ExchangeWalkTests(Bench bench) : IClassFixture<Bench>
{
    private static readonly Dictionary<string, string> None = [];
    private static readonly string[] Shown = ["clock", "keys", "presets", "fm", "am", "aux", "tone", "mutes",
        "room-1", "room-2", "room-3", "talk-1", "talk-2", "talk-3", "answer-1", "answer-2", "answer-3", "call-1", "call-2", "call-3", "chime-1", "chime-2", "door-talk-1", "door-talk-2", "door-listen-2"];

    [Fact]
    public async Task What_the_sheet_does_not_explain_is_exchanged_and_then_gone_through()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Solveig Dahl", "The house cannot hear the front door", "Corridor Nine");
        await page.UnpackEverything(job);
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        var set = "set-" + job;
        await http.Log(job, "system-set-up", new { system = "mule-nine", sheetId = "corridor-nine", pieces = None });
        await http.Log(job, "gate-answered", new { job, system = set, gate = "ohms-first", passed = true, value = 900.0 });
        await http.Log(job, "gate-answered", new { job, system = set, gate = "limited-feed", passed = true });
        await http.Log(job, "powered", new { job, system = set, feed = "limited" });
        foreach (var function in Shown) await http.Log(job, "proved", new { job, function, outcome = "shown" });
        await http.Log(job, "proved", new { job, function = "door-listen-1", outcome = "failed" });

        await page.GotoAsync($"/job/{job}/bench");
        var moves = page.Locator("#moves");
        await Expect(moves).ToContainTextAsync("Nothing on the sheet explains it: exchange, one at a time");
        await Expect(moves).ToContainTextAsync("tells where to look");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "exchange.png"), FullPage = true });
        Assert.Empty((await page.RunAxe()).Violations);
        var narrow = await bench.Open($"/job/{job}/bench", width: 360, height: 800, light: ColorScheme.Dark);
        await narrow.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "exchange-narrow.png"), FullPage = true });

        // The intercom board works in the mule, and so does the door station: it is the terminal board.
        await WorksInMule("intercom");
        await page.ReloadAsync();
        await Expect(page.Locator("#moves")).Not.ToContainTextAsync("Put Intercom board into the mule");
        await WorksInMule("door-1");
        await page.ReloadAsync();
        await Expect(page.Locator("#moves")).ToContainTextAsync("a fault that the sheet does not list is looked for there");
        await Expect(page.Locator("#moves")).ToContainTextAsync("the last one left");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "exchanged.png"), FullPage = true });

        async Task WorksInMule(string position)
        {
            var piece = $"{job}-{position}";
            await http.Log(job, "unpowered", new { job, system = set });
            await Discharged(set);
            await http.Log(job, "pulled", new { job, piece, system = set, position });
            await http.Log(job, "fitted", new { job, piece, system = "mule-nine", position });
            await http.Log(job, "powered", new { job, system = "mule-nine", feed = "limited" });
            await http.Log(job, "checked", new { job, system = "mule-nine", check = "fn-door-listen-1", outcome = "good", throws = None, circumstances = None, minutes = 1 });
            await http.Log(job, "unpowered", new { job, system = "mule-nine" });
            await Discharged("mule-nine");
            await http.Log(job, "pulled", new { job, piece, system = "mule-nine", position });
            await http.Log(job, "fitted", new { job, piece, system = set, position });
        }

        Task Discharged(string system) => http.Log(job, "reading-taken", new { job, system, point = "reservoir-rest", quantity = "volt-dc", value = 0.1, typed = "0.1 V", circumstances = None });
    }
}
