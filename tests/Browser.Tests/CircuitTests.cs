using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>What every fault would read, before the probe touches; what the meter says, as it is typed; a supply told by its shape.</summary>
public class CircuitTests(Bench bench) : IClassFixture<Bench>
{
    [Fact]
    public async Task The_ladder_foretells_and_a_line_of_readings_moves_the_suspects()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Ilse Tervo", "Buzzes in every room", "Corridor Nine");
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        var set = "set-" + job;
        foreach (var (kind, act) in new (string, object)[]
        {
            ("piece-recorded", new { piece = job + "-supply", kind = "supply", name = "Supply board", owner = "owner:" + job, job, place = "bench" }),
            ("system-set-up", new { system = set, job, sheetId = "corridor-nine", pieces = new Dictionary<string, string> { ["supply"] = job + "-supply" } }),
            ("gate-answered", new { job, system = set, gate = "ohms-first", passed = true, value = 900.0 }),
            ("gate-answered", new { job, system = set, gate = "limited-feed", passed = true }),
            ("powered", new { job, system = set, feed = "limited" }),
            ("powered", new { job, system = set, feed = "line", volts = 120 }),
        })
            await http.Log(job, kind, act);
        await page.GotoAsync($"/job/{job}/ladder");
        var expected = page.GetByRole(AriaRole.Region, new() { Name = "What to expect: Supply and its loads at idle" });
        await Expect(expected).ToContainTextAsync("healthy", new() { Timeout = 60_000 });
        await Expect(expected).ToContainTextAsync("reservoir dry");

        await page.GotoAsync($"/job/{job}/bench");
        await page.GetByLabel("What does the meter say?").FillAsync("16.9");
        await page.Locator("form.meter").GetByRole(AriaRole.Button, new() { Name = "Onto the tape" }).ClickAsync();
        await Expect(page.Locator("form.meter .error")).ToContainTextAsync("Where does “16.9” belong?");
        await page.GetByLabel("What does the meter say?").FillAsync("ac-ends 26.4 raw 14.9 ripple 4.2pp 120 12V 11.9");
        await page.Locator("form.meter").GetByRole(AriaRole.Button, new() { Name = "Onto the tape" }).ClickAsync();
        await Expect(page.Locator("#tape")).ToContainTextAsync("4.2pp");
        await Expect(page.Locator("#sets")).ToContainTextAsync("reservoir dry");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "bench-meter-line.png"), FullPage = true });
        // A part by itself: what the capacitor has left, and a slip in its unit.
        await page.GetByLabel("What does the meter say?").FillAsync("C1 310 MF");
        await page.Locator("form.meter").GetByRole(AriaRole.Button, new() { Name = "Onto the tape" }).ClickAsync();
        await Expect(page.Locator("form.meter .error")).ToContainTextAsync("old parts print MF for µF");
        await page.GetByLabel("What does the meter say?").FillAsync("C1 310 lifted");
        await page.Locator("form.meter").GetByRole(AriaRole.Button, new() { Name = "Onto the tape" }).ClickAsync();
        await Expect(page.Locator("#tape li").First).ToContainTextAsync("C1: 310 µF, one leg lifted");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "bench-part-alone.png"), FullPage = true });
        await page.GotoAsync($"/job/{job}/ladder");
        // The supply is all but surely a dry reservoir now, and what is expected says so.
        await Expect(expected.Locator("tbody tr").Nth(1)).ToContainTextAsync("reservoir dry");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "ladder-foretold.png"), FullPage = true });
    }

    [Fact]
    public async Task Every_fault_of_a_circuit_stands_on_its_page_with_waves()
    {
        var page = await bench.Open("/sheets/corridor-nine");
        await page.GetByRole(AriaRole.Link, new() { Name = "Supply and its loads at idle" }).ClickAsync();
        await Expect(page.Locator("#table")).ToContainTextAsync("C1 dried out to 14 %", new() { Timeout = 60_000 });
        await page.GetByLabel("With").SelectOptionAsync(new SelectOptionValue { Index = 5 });
        await page.Press("Show");
        var wave = page.Locator("#waves img").First;
        await Expect(wave).ToBeVisibleAsync();
        Assert.True(await wave.EvaluateAsync<int>("i => i.decode().then(() => i.naturalWidth)") > 0);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "circuit.png"), FullPage = true });
    }

    [Fact]
    public async Task A_foreign_supply_is_tried_on_paper_and_told_on_story()
    {
        var page = await bench.Open("/sheets/corridor-nine/circuit/doors");
        await page.GetByLabel("The supply").FillAsync("24 AC");
        await page.GetByLabel("Its minus at").SelectOptionAsync(new SelectOptionValue { Index = 0 });
        await page.Press("Try it on paper");
        await Expect(page.Locator("#foreign-told")).ToContainTextAsync("Write volts, AC or DC");
        await Expect(page.Locator("#foreign-place")).ToContainTextAsync("choose another node");
        await page.GetByLabel("The supply").FillAsync("24 V AC 2 ohm");
        await page.GetByLabel("Its minus at").SelectOptionAsync("0");
        await page.Press("Try it on paper");
        await Expect(page.Locator("#foreign")).ToContainTextAsync("Intercom board: door input", new() { Timeout = 60_000 });
        await Expect(page.Locator("#foreign")).ToContainTextAsync("Never make such a connection to try it");
        await page.GotoAsync("/");
        var job = await page.StartStory("Maud Rienks", "Dead since a new doorbell", "Corridor Nine");
        await page.GotoAsync($"/job/{job}/story");
        await page.GetByRole(AriaRole.Button, new() { Name = "It did: Foreign supply tied to a door pair" }).ClickAsync();
        await Expect(page.Locator("#foreign-door-1")).ToContainTextAsync("24 V bell transformer", new() { Timeout = 90_000 });
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "story-foreign.png"), FullPage = true });
    }

    [Fact]
    public async Task A_supply_told_by_its_shape_answers_without_scripts_and_says_what_is_missing()
    {
        var page = await bench.Open("/handbook/by-shape", scripts: false);
        await page.GetByLabel("AC of the winding, nothing connected").FillAsync("13.5");
        await page.Press("Reckon");
        await Expect(page.Locator(".error").First).ToContainTextAsync("is needed");
        await page.GetByLabel("Reservoir", new() { Exact = true }).FillAsync("2200");
        await page.GetByLabel("VA of the label").FillAsync("24");
        await page.GetByLabel("Stage 1", new() { Exact = true }).SelectOptionAsync("regulator");
        await page.GetByLabel("Marking, stage 1").FillAsync("7812");
        await page.GetByLabel("DC drawn there, stage 1").FillAsync("0.2");
        await page.Press("Reckon");
        await Expect(page.Locator("table").First).ToContainTextAsync("rail-1");
        for (var i = 0; i < 60 && !await page.Locator("#faults table").IsVisibleAsync(); i++)
        {
            await Task.Delay(500);
            await page.ReloadAsync();
        }
        await Expect(page.Locator("#faults")).ToContainTextAsync("U1 shorted through");
        await page.GetByText("For a type sheet").ClickAsync();
        await Expect(page.Locator(".figures")).ToContainTextAsync("regulator: 7812");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "by-shape.png"), FullPage = true });
    }
}
