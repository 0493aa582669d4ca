using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>A good display cures, the old one put back works too: the bench says it was the ribbon, and clears the display.
/// How a swap is read: common practice, no source.</summary>
public class ConnectorSwapTests(Bench bench) : IClassFixture<Bench>
{
    [Fact]
    public async Task A_swap_that_cures_and_a_refit_that_works_is_the_connector()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Nils Aurelio", "The display shows rubbish now and then", "Corridor Nine");
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/bench");

        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        Task Log(string kind, object act) => http.Log(job, kind, act);

        var (set, old, none) = ("set-" + job, job + "-display", new Dictionary<string, string>());
        await Log("piece-recorded", new { piece = "good-display", kind = "display", name = "Display", owner = "shop", place = "shelf", knownGood = true, trust = 0.98 });
        await Log("owner-told", new { job, check = "fn-clock", outcome = "garbled" });
        await Log("gate-answered", new { job, system = set, gate = "ohms-first", passed = true, value = 900.0 });
        await Log("gate-answered", new { job, system = set, gate = "limited-feed", passed = true });
        await Log("powered", new { job, system = set, feed = "limited" });
        await Log("reading-taken", new { job, system = set, point = "rail-5", quantity = "volt-dc", value = 5.0, typed = "5.0 V", circumstances = none });
        await Log("checked", new { job, system = set, check = "fn-clock", outcome = "garbled", throws = none, circumstances = none });

        await page.ReloadAsync();
        await Expect(page.Locator("#sets")).ToContainTextAsync("Display");

        async Task Discharge() => await Log("reading-taken", new { job, system = set, point = "reservoir-rest", quantity = "volt-dc", value = 0.1, typed = "0.1 V", circumstances = none });
        await Log("unpowered", new { job, system = set });
        await Discharge();
        await Log("pulled", new { job, piece = old, system = set, position = "display" });
        await Log("powered", new { job, system = set, feed = "limited" });
        await Log("reading-taken", new { job, system = set, point = "rail-5", quantity = "volt-dc", value = 5.0, typed = "5.0 V", circumstances = none });
        await Log("unpowered", new { job, system = set });
        await Discharge();
        await Log("fitted", new { job, piece = "good-display", system = set, position = "display", overrides = new[] { new { gate = "last-good", reason = "rails read, one more on order" } } });
        await Log("powered", new { job, system = set, feed = "limited" });
        await Log("checked", new { job, system = set, check = "fn-clock", outcome = "good", throws = none, circumstances = none });
        await Log("unpowered", new { job, system = set });
        await Discharge();
        await Log("pulled", new { job, piece = "good-display", system = set, position = "display", place = "shelf" });
        await Log("fitted", new { job, piece = old, system = set, position = "display" });
        await Log("powered", new { job, system = set, feed = "limited" });
        await Log("checked", new { job, system = set, check = "fn-clock", outcome = "good", throws = none, circumstances = none });

        // The open page has heard of it by itself; nothing was reloaded.
        await Expect(page.Locator("#gone")).ToContainTextAsync("oxide on the display ribbon");
        await Expect(page.Locator("#gone")).ToContainTextAsync("cured by unplugging");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "connector-swap.png"), FullPage = true });
    }
}
