using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>A closed job is reckoned over, its odds are taken up, the next set goes by them, and striking the closing takes them back.</summary>
public class LearnWalkTests(Bench bench) : IClassFixture<Bench>
{
    [Fact]
    public async Task A_closed_job_teaches_the_next_one_until_its_closing_is_struck()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Piet Oosterling", "Hums", "Corridor Nine");
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        var none = new Dictionary<string, string>();
        Task Log(string kind, object act, string? id = null) => http.Log(job, kind, act, id);
        var (supply, set) = (job + "-supply", "set-" + job);
        await Log("piece-recorded", new { piece = supply, kind = "supply", name = "Supply board", owner = "owner:" + job, job, place = "bench" });
        await Log("system-set-up", new { system = set, job, sheetId = "corridor-nine", pieces = new Dictionary<string, string> { ["supply"] = supply } });
        await Log("checked", new { job, system = set, check = "esr-reservoir", outcome = "dry", throws = none, circumstances = none, minutes = 1 });
        await Log("mended", new { job, piece = supply, site = "reservoir", what = "reservoir replaced", success = 0.97, minutes = 25 });
        await Log("gate-answered", new { job, system = set, gate = "ohms-first", passed = true, value = 900.0 });
        await Log("gate-answered", new { job, system = set, gate = "limited-feed", passed = true });
        await Log("powered", new { job, system = set, feed = "limited" });
        await Log("proved", new { job, function = "clock", outcome = "shown", by = "bench" });
        await Log("packed-piece", new { job, piece = supply });
        await Log("carton-closed", new { job });
        await Log("job-closed", new { job, ending = "mended" }, "closing");

        await page.GotoAsync("/learned");
        var family = page.Locator("#family-corridor-nine");
        await Expect(family).ToContainTextAsync("New sets of it go by the sheet’s own odds");
        await page.Press("Reckon it now");
        await Expect(family).ToContainTextAsync("1 job counts", new() { Timeout = 120_000 });
        await Expect(family).ToContainTextAsync("reservoir");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "learned-reckoned.png"), FullPage = true });
        await page.Press("New sets go by these odds");
        await Expect(family).ToContainTextAsync("learned from 1 closed job");

        var next = await page.StartStory("Maaike Terpstra", "Hums too", "Corridor Nine");
        await page.GotoAsync($"/job/{next}/bench");
        await Expect(page.Locator("#sets")).ToContainTextAsync("Odds of this bench, learned from 1 closed job");
        await page.GotoAsync($"/job/{job}/bench");
        await Expect(page.Locator(".moves")).ToContainTextAsync("This job is closed");

        await Log("struck", new { entry = "closing", why = "it was not that set" });
        await page.GotoAsync($"/job/{next}/bench");
        await Expect(page.Locator("#sets")).Not.ToContainTextAsync("Odds of this bench");
    }

    [Fact]
    public async Task A_set_that_turns_out_otherwise_is_put_right_on_its_story()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Anselm Vries", "Rails read backwards");
        await page.GetByText("The set is otherwise than told").ClickAsync();
        await page.GetByLabel("Room stations").FillAsync("7");
        await page.GetByRole(AriaRole.Checkbox, new() { Name = "positive ground" }).CheckAsync();
        await page.Press("Go by this");
        await Expect(page.Locator("main")).ToContainTextAsync("7 room and 1 door stations; has positive ground");
        await page.GotoAsync($"/job/{job}/bench");
        await Expect(page.Locator("#warnings")).ToContainTextAsync("Positive-ground set");
    }
}
