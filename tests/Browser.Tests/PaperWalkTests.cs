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
        await page.Press("Take Rubber foot into the sheet");
        await Expect(page.Locator("main")).ToContainTextAsync("The sheet knows everything");
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator(".tape")).ToContainTextAsync("Into the family’s sheet corridor-nine: hardware Rubber foot");
    }
}
