using System.Net.Http.Json;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>Papers, the house and the growing sheet, as a person goes through them.</summary>
public class PaperWalkTests(Bench bench) : IClassFixture<Bench>
{
    private const string Family = "Corridor Nine";

    [Fact]
    public async Task A_paper_is_kept_as_it_was_sent()
    {
        var page = await bench.Open("/shop");
        await Call(page, "The Quiet Bench");
        var job = await page.StartStory("Greta Olmsted", "Hums since the summer", Family);
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/papers/came?size=letter");
        await Expect(page.Locator(".paper")).ToContainTextAsync("The Quiet Bench");
        await page.Press("Keep it as sent");
        await Expect(page.Locator("#sent")).ToContainTextAsync("What came, as sent");
        await page.GotoAsync("/shop");
        await Call(page, "The Loud Bench");
        await page.GotoAsync($"/job/{job}/papers");
        await page.GetByRole(AriaRole.Link, new() { Name = "What came, as sent" }).ClickAsync();
        await Expect(page.Locator("body")).ToContainTextAsync("The Quiet Bench");
        // The policy of the kept file lets its own faces in and nothing else.
        Assert.Equal("\"Bench Sans\"", (await page.Locator(".leaf").EvaluateAsync<string>("e => getComputedStyle(e).fontFamily")).Split(',')[0]);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "paper-sent.png") });
    }

    /// <summary>Gives the shop its name, and waits until the page that answers has come.</summary>
    private static Task Call(IPage page, string name) => page.RunAndWaitForResponseAsync(async () =>
    {
        await page.GetByLabel("Name of the shop").FillAsync(name);
        await page.Press("Keep it");
    }, r => r.Request.Method == "GET" && r.Url.EndsWith("/shop", StringComparison.Ordinal));

    [Fact]
    public async Task Runs_are_halved_over_the_telephone_and_a_short_is_told_its_distance()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Emil Tannhof", "It starts by itself", Family);
        await page.GotoAsync($"/job/{job}/house");
        await page.Press("It is gone");       // with rooms 1 to 3 lifted
        await Expect(page.Locator(".say")).ToContainTextAsync("Run to room 1, Run to room 2");
        await Expect(page.Locator("[name=lifted]")).ToHaveCountAsync(2);
        await page.Press("It is still there");
        await Expect(page.Locator(".say")).ToContainTextAsync("Only Run to room 3 is left");
        await Expect(page.Locator("[name=lifted]")).ToHaveCountAsync(1);
        await page.Press("It is gone");
        await Expect(page.Locator(".say")).ToContainTextAsync("It is Run to room 3");
        await page.Locator("#f-run-run").FillAsync("run-3");
        await page.GetByLabel("Gauge").FillAsync("22");
        await page.Press("Keep it");
        await Expect(page.Locator("#runs")).ToContainTextAsync("gauge 22");
        await page.Locator("#f-loop-run").FillAsync("run-3");
        await page.GetByLabel("Reads").FillAsync("3.228 ohm");
        await page.Press("Log it");
        await Expect(page.Locator("#runs")).ToContainTextAsync("Shorted, at most 30 m");
    }

    [Fact]
    public async Task A_set_without_a_sheet_begins_its_family_and_its_terminal_goes_in_as_it_was_put_right()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Lasse Brunner", "Dead since the storm");
        await page.UnpackEverything(job);
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        var logged = await http.PostAsJsonAsync("/api/entries", new { id = job + "-terminal", kind = "terminal-marked", act = new { job, contentHash = new string('a', 64), terminal = "Door 2 B", x = 0.5, y = 0.5, colour = "white" } });
        Assert.True(logged.IsSuccessStatusCode, await logged.Content.ReadAsStringAsync());
        await page.GotoAsync($"/job/{job}/grow");
        await page.GetByLabel("Short name").FillAsync("lower-lane");
        await page.GetByLabel("Title").FillAsync("Lower Lane");
        await page.Press("Begin its sheet");
        await Expect(page.Locator("main")).ToContainTextAsync("Named on this tape");
        var terminal = page.GetByRole(AriaRole.Row, new() { Name = "Door 2 B" });
        await terminal.GetByLabel("Carries").FillAsync("12 V to the door");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "grow-family.png"), FullPage = true });
        await page.Press("Take Door 2 B into the sheet");
        await Expect(terminal).ToHaveCountAsync(0);
        await page.GotoAsync("/sheets/lower-lane");
        var kept = page.GetByRole(AriaRole.Row, new() { Name = "Door 2 B" });
        await Expect(kept).ToContainTextAsync("12 V to the door");
        await Expect(kept).ToContainTextAsync("not known");
    }

    [Fact]
    public async Task What_a_tape_names_goes_into_the_sheet_with_one_tap()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Nora Lindgaard", "No chime", Family);
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/unpack");
        await page.GetByLabel("Something else that came").FillAsync("Rubber foot");
        await page.GetByLabel("How many of it came").FillAsync("4");
        await page.Press("Counted");
        await page.GotoAsync($"/job/{job}/grow");
        await page.GetByLabel("How many belong").FillAsync("four");
        await page.Press("Take Rubber foot into the sheet");
        await Expect(page.Locator(".error")).ToContainTextAsync("is a number from 0 to 10000");
        await page.GetByLabel("How many belong").FillAsync("6");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "grow-put-right.png"), FullPage = true });
        await page.Press("Take Rubber foot into the sheet");
        await Expect(page.Locator("main")).ToContainTextAsync("The sheet knows everything");
        await page.GotoAsync("/sheets/corridor-nine");
        await Expect(page.GetByRole(AriaRole.Row, new() { Name = "Rubber foot" })).ToContainTextAsync("6");
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator(".tape")).ToContainTextAsync("Into the family’s sheet corridor-nine: hardware Rubber foot");
    }
}
