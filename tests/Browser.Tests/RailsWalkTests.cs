using System.Net;
using System.Net.Http.Json;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>A mended fuse, the rail read before the boards meet it, an entry that stands against the rest, and what the sheet cannot tell.</summary>
public class RailsWalkTests(Bench bench) : IClassFixture<Bench>
{
    private static readonly Dictionary<string, string> None = [];
    [Fact]
    public async Task After_a_fuse_the_boards_come_off_the_rail_is_read_and_they_go_back()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Ragnhild Moe", "Dead since the storm", "Corridor Nine");
        await page.UnpackEverything(job);
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        var set = "set-" + job;
        await http.Log(job, "mended", new { job, piece = job + "-fuse", site = "link", what = "new fuse", success = 0.8, minutes = 3 });
        await http.Log(job, "gate-answered", new { job, system = set, gate = "ohms-first", passed = true, value = 900.0 });
        await http.Log(job, "gate-answered", new { job, system = set, gate = "limited-feed", passed = true });
        var refused = await http.PostAsJsonAsync("/api/entries", new { id = job + "-refused", kind = "powered", act = new { job, system = set, feed = "limited" } });
        Assert.Equal(HttpStatusCode.Conflict, refused.StatusCode);
        Assert.Contains("rail-rail5", await refused.Content.ReadAsStringAsync(), StringComparison.Ordinal);

        await page.GotoAsync($"/job/{job}/bench");
        await page.Press("Unplugged: Control board, Display, Tuner");
        await Expect(page.Locator("#moves")).ToContainTextAsync("With what is unplugged left out");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "rails-first.png"), FullPage = true });
        await http.Log(job, "powered", new { job, system = set, feed = "limited" });
        await http.Log(job, "reading-taken", new { job, system = set, point = "rail-5", quantity = "volt-dc", value = 5.02, typed = "5.02 V", circumstances = None });
        await http.Log(job, "unpowered", new { job, system = set });
        await http.Log(job, "reading-taken", new { job, system = set, point = "reservoir-rest", quantity = "volt-dc", value = 0.1, typed = "0.1 V", circumstances = None });
        await page.ReloadAsync();
        await page.Press("All plugged in again");
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "All plugged in again" })).ToHaveCountAsync(0);
        await http.Log(job, "powered", new { job, system = set, feed = "limited" });

        // All works, and then one reading says it cannot.
        foreach (var check in new[] { "fn-clock", "fn-keys", "fn-fm", "fn-aux" })
            await http.Log(job, "checked", new { job, system = set, check, outcome = "good", throws = None, circumstances = None, minutes = 1 });
        await http.Log(job, "checked", new { job, system = set, check = "rail5-volts", outcome = "dead", throws = None, circumstances = None, minutes = 1 });
        await page.GotoAsync($"/job/{job}/tape");
        await page.Press("Look for it");
        await Expect(page.Locator("#behind")).ToContainTextAsync("is a slip: misread, mistyped, or the wrong point", new() { Timeout = 120_000 });
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "tape-behind.png"), FullPage = true });
        await Sound(page);

        // The bench asks for the odd reading once more before anything is built on it.
        await page.GotoAsync($"/job/{job}/bench");
        var again = page.GetByRole(AriaRole.Article, new() { Name = "Once more: " });
        await Expect(again).ToContainTextAsync("a slip before it is a fault");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "once-more.png"), FullPage = true });
        await again.GetByRole(AriaRole.Button, new() { Name = "good", Exact = true }).ClickAsync();
        await Expect(again).ToHaveCountAsync(0);

        // A proof that fails, a mend, and what failed comes first in both places.
        await http.Log(job, "proved", new { job, function = "am", outcome = "failed" });
        await page.GotoAsync($"/job/{job}/prove");
        await Expect(page.Locator("#order")).ToContainTextAsync("is shown again after the mend");
        await page.Locator("#order").GetByRole(AriaRole.Link, new() { Name = "back to the bench" }).ClickAsync();
        await page.WaitForURLAsync("**/bench");
        await http.Log(job, "unpowered", new { job, system = set });
        await http.Log(job, "reading-taken", new { job, system = set, point = "reservoir-rest", quantity = "volt-dc", value = 0.1, typed = "0.1 V", circumstances = None });
        await http.Log(job, "mended", new { job, system = set, position = "tuner", site = "am-lead", what = "lead joined", success = 0.95, minutes = 10 });
        await page.GotoAsync($"/job/{job}/bench");
        await Expect(page.Locator("#moves")).ToContainTextAsync("Before proving again: what failed");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "before-proving-again.png"), FullPage = true });
        await page.GotoAsync($"/job/{job}/prove");
        await Expect(page.Locator("#proof tbody tr").First).ToContainTextAsync("failed last time: try it first");
        await Expect(page.Locator("#order")).ToContainTextAsync("what may fail, and is quickly tried, stands first");
        await Expect(page.Locator("#proof tbody tr").Nth(1)).ToContainTextAsync("that it fails");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "order-of-the-proof.png") });
        await Sound(page);
    }

    [Fact]
    public async Task What_a_sheet_cannot_tell_is_reached_from_the_sheet_and_reckoned_when_asked()
    {
        var page = await bench.Open("/sheets/corridor-nine", width: 360, height: 740);
        await page.GetByRole(AriaRole.Link, new() { Name = "What this sheet cannot tell" }).ClickAsync();
        await page.Press("Look through the sheet");
        await Expect(page.Locator("main")).ToContainTextAsync("Not told apart by any look", new() { Timeout = 120_000 });
        await Expect(page.Locator("main")).ToContainTextAsync("connector of Fuse holder");
        Assert.True(await page.EvaluateAsync<int>("() => document.documentElement.scrollWidth") <= 360, "it fits the telephone");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "sheet-report.png"), FullPage = true });
        await Sound(page);
        // Two at a time takes minutes: it is begun, told of, and given up.
        await page.GetByRole(AriaRole.Link, new() { Name = "Two faults at a time" }).ClickAsync();
        await page.Press("Look through the sheet");
        await page.Press("Give it up");
        await Expect(page.Locator("main")).ToContainTextAsync("The last one was given up");
    }

    private static async Task Sound(IPage page)
    {
        var result = await page.RunAxe(new AxeRunOptions { RunOnly = RunOnlyOptions.Tags("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice") });
        Assert.True(result.Violations.Length == 0, string.Join("\n", result.Violations.Select(v => $"{v.Id}: {v.Help} – {string.Join(" | ", v.Nodes.Take(3).Select(n => n.Html))}")));
    }
}
