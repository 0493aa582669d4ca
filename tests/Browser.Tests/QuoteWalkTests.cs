using System.Net.Http.Json;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>From uncertain faults to a comeback; two sets of one family with lending between them. How a bench goes about it: common practice, no source.</summary>
public class QuoteWalkTests(Bench bench) : IClassFixture<Bench>
{
    private sealed class Script(Bench bench, string job)
    {
        private static readonly Dictionary<string, string> None = [];

        /// <summary>The reservoir read with the set off: hands may go in.</summary>
        public Task Discharged(string of) => Log("reading-taken", new { job = of, system = "set-" + of, point = "reservoir-rest", quantity = "volt-dc", value = 0.1, typed = "0.1 V", circumstances = None });

        /// <summary>Power through its gates.</summary>
        public async Task PowerOn(string of)
        {
            await Log("gate-answered", new { job = of, system = "set-" + of, gate = "ohms-first", passed = true, value = 900.0 });
            await Log("gate-answered", new { job = of, system = "set-" + of, gate = "limited-feed", passed = true });
            await Log("powered", new { job = of, system = "set-" + of, feed = "limited" });
        }

        private readonly HttpClient http = new() { BaseAddress = new Uri(bench.Address) };
        public Task Log(string kind, object act) => http.Log(job, kind, act);
    }

    [Fact]
    public async Task From_uncertain_faults_by_quote_and_word_to_a_donor_piece_sold_and_a_comeback()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Henrike Solberg", "Nothing to hear from any room", "Corridor Nine");
        await page.UnpackEverything(job);
        var script = new Script(bench, job);
        var (set, none) = ("set-" + job, new Dictionary<string, string>());
        await script.Log("piece-recorded", new { piece = "amp-shelf", kind = "amp", name = "Amplifier of the donor", owner = "shop", place = "shelf", knownGood = true, trust = 0.95 });
        await script.PowerOn(job);
        await script.Log("reading-taken", new { job, system = set, point = "rail-12", quantity = "volt-dc", value = 12.0, typed = "12.0 V", circumstances = none, minutes = 2 });

        // The faults are uncertain: a spread, no price.
        await page.GotoAsync($"/job/{job}/quote");
        await Expect(page.Locator("#spread")).ToContainTextAsync("EUR");
        await Expect(page.Locator("#clock")).ToContainTextAsync("Nothing is agreed yet");

        await script.Log("unpowered", new { job, system = set });
        await script.Discharged(job);
        await script.Log("mended", new { job, piece = job + "-tuner", site = "synth", what = "tuner looked over", success = 0.5, minutes = 1 });
        await script.Log("way-chosen", new { job, what = job + "-amp", way = "exchange-core-kept", with = "amp-shelf" });
        await page.ReloadAsync();
        await Expect(page.Locator("#lines")).ToContainTextAsync("Core taken in");
        await page.Press("Given to the owner");
        await Expect(page.Locator("#word")).ToContainTextAsync("word is awaited");
        await page.Locator("#word").GetByRole(AriaRole.Radio, new() { Name = "yes" }).First.CheckAsync();
        await page.Press("The owner said so");
        await Expect(page.Locator("#word")).ToContainTextAsync("Agreed:");
        await Expect(page.Locator("#clock")).ToContainTextAsync("of a ceiling of");
        // The tuner was worked on, and no word names it.
        await Expect(page.Locator("#clock")).ToContainTextAsync("Needs a new word");

        // The donor's amplifier goes in and stays; it was the reference.
        await script.Log("pulled", new { job, piece = job + "-amp", system = set, position = "amp" });
        await script.PowerOn(job);
        await script.Log("reading-taken", new { job, system = set, point = "raw", quantity = "volt-dc", value = 16.5, typed = "16.5 V", circumstances = none });
        await script.Log("unpowered", new { job, system = set });
        await script.Discharged(job);
        await script.Log("fitted", new { job, piece = "amp-shelf", system = set, position = "amp", overrideReason = "rails read; the owner pays for it" });
        await page.GotoAsync($"/job/{job}/mend");
        var stays = page.Locator("#stays");
        await Expect(stays).ToContainTextAsync("That was your reference: none left");
        await stays.GetByLabel("Price").FillAsync("60");
        await stays.GetByLabel("Its serial or mark").FillAsync("SN 4471");
        await stays.GetByLabel("By the owner’s word").SelectOptionAsync(new SelectOptionValue { Index = 1 });
        await page.Press("It stays, as a sale");
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("none left of its kind");
        await page.GetByLabel("Do it all the same").FillAsync("another is promised for Tuesday");
        await page.Press("It stays, as a sale");
        await Expect(page.Locator("#stays")).ToContainTextAsync("Nothing of the shop’s is lent");
        await page.GotoAsync($"/job/{job}/tape");
        await Expect(page.Locator("#tape")).ToContainTextAsync("serial SN 4471");
        await Expect(page.Locator("#tape")).ToContainTextAsync("kept by the shop");

        // A later extra needs a new word.
        await page.GotoAsync($"/job/{job}/quote");
        var word = page.Locator("#word");
        await word.GetByLabel("About").SelectOptionAsync(job + "-tuner");
        await word.GetByLabel("Sum", new() { Exact = false }).FillAsync("35");
        await word.GetByRole(AriaRole.Radio, new() { Name = "yes" }).Last.CheckAsync();
        await page.Press("The new word is given");
        await Expect(page.Locator("#clock")).Not.ToContainTextAsync("Needs a new word");
        await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, "quote-walk.png"), FullPage = true });

        // Home it goes – and back it comes.
        await page.GotoAsync($"/job/{job}/pack");
        await page.Press("All of them are in");
        // The page is renewed before the next box is ticked.
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "All of them are in" })).ToHaveCountAsync(0);
        await page.GetByLabel("All others as they came").CheckAsync();
        await page.Press("Counted in");
        await page.Press("Close the carton");
        await Expect(page.Locator("main")).ToContainTextAsync("The carton is closed");
        await page.Press("Sent home");
        var again = await page.StartStory("Henrike Solberg", "Silent again after a month", "Corridor Nine");
        await page.GotoAsync($"/job/{again}/quote");
        await page.GetByText("It was here before").ClickAsync();
        await page.GetByLabel("As which job").SelectOptionAsync(job);
        await page.Press("It is a comeback");
        await Expect(page.Locator("main")).ToContainTextAsync("A comeback of");
    }

    [Fact]
    public async Task Two_sets_of_one_family_share_a_good_piece_and_each_gives_it_back()
    {
        var page = await bench.Open("/");
        var one = await page.StartStory("Ansgar Vik", "Hums", "Corridor Nine");
        await page.UnpackEverything(one);
        var two = await page.StartStory("Bente Lohse", "No chime", "Corridor Nine");
        await page.UnpackEverything(two);
        var script = new Script(bench, one + two);
        await script.Log("piece-recorded", new { piece = "sup-" + one, kind = "supply", name = "Good supply", owner = "shop", place = "shelf A1", knownGood = true, trust = 0.97 });
        await script.Log("piece-recorded", new { piece = "sup2-" + one, kind = "supply", name = "Second supply", owner = "shop", place = "shelf A1", knownGood = true, trust = 0.97 });

        async Task Through(string job)
        {
            await script.Log("lent", new { piece = "sup-" + one, job });
            await script.Log("pulled", new { job, piece = job + "-supply", system = "set-" + job, position = "supply" });
            await script.Discharged(job);
            await script.Log("fitted", new { job, piece = "sup-" + one, system = "set-" + job, position = "supply", overrideReason = "transformer read; second one on the shelf" });
        }

        await Through(one);
        await page.GotoAsync("/shelf");
        await Expect(page.Locator("#shelf")).ToContainTextAsync("Ansgar Vik");
        // While the first has it, the second cannot close over it nor take it.
        using var http = new HttpClient { BaseAddress = new Uri(bench.Address) };
        var taken = await http.PostAsJsonAsync("/api/entries", new { id = two + "-try", kind = "lent", act = new { piece = "sup-" + one, job = two } });
        Assert.Equal(System.Net.HttpStatusCode.Conflict, taken.StatusCode);
        await page.GotoAsync($"/job/{one}/pack");
        await Expect(page.Locator("#sum")).ToContainTextAsync("is the shop's own");
        await page.Press("Back on the shelf");
        await Expect(page.Locator("#into")).ToContainTextAsync("Nothing of the shop’s is lent");
        await page.GotoAsync("/shelf");
        await Expect(page.Locator("#shelf")).ToContainTextAsync("a marginal");
        await Through(two);
        await page.GotoAsync("/shelf");
        await Expect(page.Locator("#shelf")).ToContainTextAsync("Bente Lohse");
        await page.GotoAsync($"/job/{two}/bench");
        await Expect(page.Locator("#hook")).ToContainTextAsync("SHOP");
    }
}
