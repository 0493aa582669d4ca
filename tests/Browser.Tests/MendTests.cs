using Microsoft.Playwright;

namespace Browser.Tests;

/// <summary>A part from the drawer into a set: own stock first, a refused part only with a reason, the old part back in the box.</summary>
public class MendTests(Bench bench) : IClassFixture<Bench>
{
    private static async Task Shelve(IPage page, string volts, string name)
    {
        await page.GotoAsync("/shelf/parts?kind=electrolytic");
        await page.GetByLabel("Its capacitance").FillAsync("2200");
        await page.GetByLabel("Its volts").FillAsync(volts);
        await page.GetByLabel("Its temperature").FillAsync("105");
        await page.GetByLabel("Name", new() { Exact = true }).FillAsync(name);
        await page.GetByLabel("How many", new() { Exact = true }).FillAsync("2");
        await page.GetByRole(AriaRole.Button, new() { Name = "Into the drawer" }).ClickAsync();
        await Assertions.Expect(page.Locator("#drawer")).ToContainTextAsync(name);
    }

    [Fact]
    public async Task A_part_goes_in_by_rule()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Lena Ostwald", "It hums more every winter");
        await page.UnpackEverything(job);
        await Shelve(page, "16", "Green low one");
        await Shelve(page, "35", "Blue right one");

        // What cannot be read is said beside its field, and nothing is lost.
        await page.GotoAsync($"/job/{job}/mend?kind=electrolytic");
        await page.GetByLabel("Marked capacitance").FillAsync("2200 MF");
        await page.GetByLabel("Marked volts").FillAsync("35");
        await page.Press("Does it fit?");
        await Assertions.Expect(page.Locator("#part .error")).ToContainTextAsync("ambiguous");
        await Assertions.Expect(page.GetByLabel("Marked volts")).ToHaveValueAsync("35");

        await page.GetByLabel("Marked capacitance").FillAsync("2200");
        await page.Press("Does it fit?");
        await Assertions.Expect(page.Locator("#own-stock")).ToContainTextAsync("Blue right one");
        await Assertions.Expect(page.Locator("#finding")).ToContainTextAsync("Look for 2200 µF");
        await Assertions.Expect(page.Locator("#own-stock li")).ToContainTextAsync("Green low one");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "mend.png"), FullPage = true });

        // The wrong one is refused, and the reason carries it.
        var use = page.Locator("form:has(button:text('It is in'))");
        await use.GetByLabel("From").SelectOptionAsync(new SelectOptionValue { Label = "Green low one, drawer, 2 left" });
        await use.GetByRole(AriaRole.Button, new() { Name = "It is in" }).ClickAsync();
        await Assertions.Expect(page.Locator("#part .wrong")).ToContainTextAsync("By the rule it does not fit");
        await use.GetByLabel("From").SelectOptionAsync(new SelectOptionValue { Label = "Blue right one, drawer, 2 left" });
        await use.GetByLabel("The old part is").SelectOptionAsync("returned");
        await use.GetByRole(AriaRole.Button, new() { Name = "It is in" }).ClickAsync();
        await Assertions.Expect(page.Locator("#mended")).ToContainTextAsync("Blue right one");
        await Assertions.Expect(page.Locator("#mended")).ToContainTextAsync("old part returned. It fits.");

        // One less in the drawer; the old part must go into the box.
        await page.GotoAsync("/shelf/parts");
        await Assertions.Expect(page.GetByLabel("Blue right one: how many are left")).ToHaveValueAsync("1");
        await page.GotoAsync($"/job/{job}/pack");
        await Assertions.Expect(page.Locator("#sum")).ToContainTextAsync("old part: Blue right one: 1 came, 0 packed");
    }

    [Fact]
    public async Task The_handbook_answers_in_its_address_without_scripts()
    {
        var page = await bench.Open("/handbook", width: 360, scripts: false);
        await page.GetByRole(AriaRole.Link, new() { Name = "Wire run" }).ClickAsync();
        await page.GetByLabel("Length, one way").FillAsync("100 ft");
        await page.GetByLabel("Gauge, AWG").FillAsync("22");
        await page.GetByLabel("Volts at the source").FillAsync("12");
        await page.GetByLabel("Current drawn").FillAsync("0.5");
        await page.Press("Reckon");
        await Assertions.Expect(page.Locator("#finding")).ToContainTextAsync("10.4 V arrive of 12 V");
        Assert.Contains("gauge=22", page.Url);
        Assert.True(await page.EvaluateAsync<bool>("() => document.documentElement.scrollWidth <= 360"));
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "handbook-360.png"), FullPage = true });
    }
}
