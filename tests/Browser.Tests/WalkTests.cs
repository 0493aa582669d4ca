using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Browser.Tests;

/// <summary>A set's whole way, as a person goes it.</summary>
public class WalkTests(Bench bench) : IClassFixture<Bench>
{
    [Fact]
    public async Task From_the_story_to_the_closed_carton()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Marta Lindqvist", "It hums in every room, worse since the winter");

        // Story: an answer to the next best question lands on the tape.
        await page.Locator("#ask button").First.ClickAsync();
        await Expect(page.Locator("body")).Not.ToHaveAttributeAsync("data-head", "0");
        await Expect(page.Locator("#send li").First).ToBeVisibleAsync();

        await page.UnpackEverything(job);

        // Bench: power waits for its gates; then a look is logged with two taps.
        await page.GotoAsync($"/job/{job}/bench");
        await page.AnswerGates();
        await page.PowerOn();
        await Expect(page.Locator("#power")).ToContainTextAsync("Under power");
        var before = await page.Locator("#tape .what").First.InnerTextAsync();
        if (await page.Locator("#moves .outs button:visible").CountAsync() == 0)
        {
            await page.Locator("#moves .idle > summary").ClickAsync();
            await page.Locator("#moves .idle .outs-of > summary").First.ClickAsync();
        }
        await page.Locator("#moves .outs button:visible").First.FocusAsync();
        await page.Keyboard.PressAsync("Enter");

        // What was logged is said where the hand is, and Enter once more logs nothing.
        var told = page.Locator("#recorded");
        await Expect(told).ToBeFocusedAsync();
        await Expect(page.Locator("#tape .what").First).Not.ToHaveTextAsync(before);
        await Expect(page.GetByRole(AriaRole.Status).Filter(new() { HasText = "Recorded: " + await page.Locator("#tape .what").First.InnerTextAsync() })).ToBeFocusedAsync();
        var head = await page.Locator("body").GetAttributeAsync("data-head") ?? "";
        await page.Keyboard.PressAsync("Enter");
        await page.Keyboard.PressAsync("Tab");
        await Expect(told).ToHaveCountAsync(0);
        Assert.True(await page.EvaluateAsync<bool>("() => document.activeElement.closest('#moves') !== null"));
        await page.ReloadAsync();
        await Expect(page.Locator("body")).ToHaveAttributeAsync("data-head", head);

        // One go round all functions, one ladder of rails.
        await page.GotoAsync($"/job/{job}/grid");
        await page.Press("Onto the tape");
        await page.WaitForURLAsync("**/bench");
        await page.GotoAsync($"/job/{job}/ladder");
        await page.Locator(".rung input").First.FillAsync("12.1 V");
        await page.Press("Onto the tape");
        await page.WaitForURLAsync("**/bench");
        await Expect(page.Locator("#tape")).ToContainTextAsync("12.1");

        // Prove every step, pack every piece, close.
        await page.GotoAsync($"/job/{job}/prove");
        await page.ProveAll();
        await page.GotoAsync($"/job/{job}/pack");
        await page.Press("All of them are in");
        await Expect(page.Locator("#into")).ToContainTextAsync("in the carton");
        await page.GetByLabel("All others as they came").CheckAsync();
        await page.Press("Counted in");
        await Expect(page.Locator("#sum")).ToContainTextAsync("It adds up");
        await page.Press("Close the carton");
        await Expect(page.Locator("main")).ToContainTextAsync("The carton is closed");
        await page.GotoAsync($"/job/{job}/papers/packing");
        await Expect(page.Locator(".paper")).ToContainTextAsync("Marta Lindqvist");
    }

    [Fact]
    public async Task The_carton_does_not_close_over_a_gap_and_a_reason_carries_it()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Ilse Brandt", "One room is silent");
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/pack");
        await page.Press("Close the carton");
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("Not recorded");
        await page.GetByLabel("Do it all the same").FillAsync("Owner fetches the rest by hand");
        await page.Press("Close the carton");
        await Expect(page.Locator("main")).ToContainTextAsync("The carton is closed");
        await page.GotoAsync($"/job/{job}/papers/packing");
        await Expect(page.Locator(".paper")).ToContainTextAsync("Owner fetches the rest by hand");
    }

    [Fact]
    public async Task A_wrong_reading_is_told_beside_its_field_and_nothing_typed_is_lost()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Nils Berg", "Silent");
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/ladder");
        var rungs = page.Locator(".rung input");
        var last = await rungs.CountAsync() - 1;
        await rungs.Nth(last).FillAsync("quite warm");
        if (last > 0) await rungs.Nth(0).FillAsync("16.8 V");
        await page.Press("Onto the tape");
        await Expect(page.Locator(".rung .error")).ToContainTextAsync("is not a reading");
        await Expect(rungs.Nth(last)).ToHaveValueAsync("quite warm");
        if (last > 0) await Expect(rungs.Nth(0)).ToHaveValueAsync("16.8 V");
        await Expect(rungs.Nth(last)).ToHaveAttributeAsync("aria-invalid", "true");
    }

    [Fact]
    public async Task A_strike_out_takes_one_tap_and_is_put_back_by_another()
    {
        var page = await bench.Open("/");
        var job = await page.StartStory("Greta Holm", "Hums");
        await page.GotoAsync($"/job/{job}/tape");
        await page.GetByLabel("What should be remembered").FillAsync("Smells of phenol");
        await page.Press("Keep it");
        var newest = page.Locator("#tape li").First;
        await Expect(newest).ToContainTextAsync("Smells of phenol");
        await newest.GetByRole(AriaRole.Button).ClickAsync();
        await Expect(page.Locator("#tape")).Not.ToContainTextAsync("Smells of phenol");
        await page.GetByRole(AriaRole.Button, new() { Name = "Put back" }).ClickAsync();
        await Expect(page.Locator("#tape")).ToContainTextAsync("Smells of phenol");
    }

    [Fact]
    public async Task Two_tabs_see_each_other_and_what_is_being_typed_stays()
    {
        var one = await bench.Open("/");
        var job = await one.StartStory("Pavel Novak", "Dead");
        await one.GotoAsync($"/job/{job}/tape");
        var two = await bench.Open($"/job/{job}/tape");
        await two.EvaluateAsync("() => { window.neverReloaded = true; }");
        await two.GetByLabel("What should be remembered").FillAsync("half a sentence");
        await one.GetByLabel("What should be remembered").FillAsync("Fuse is open");
        await one.Press("Keep it");
        await Expect(two.Locator("#tape")).ToContainTextAsync("Fuse is open");
        await Expect(two.GetByLabel("What should be remembered")).ToHaveValueAsync("half a sentence");
        Assert.True(await two.EvaluateAsync<bool>("() => window.neverReloaded === true"));
        await two.Press("Keep it");
        await Expect(one.Locator("#tape")).ToContainTextAsync("half a sentence");
    }

    [Fact]
    public async Task Everything_works_without_scripts()
    {
        var page = await bench.Open("/", scripts: false);
        var job = await page.StartStory("Anna Vogel", "The door is silent");
        await page.UnpackEverything(job);
        await page.GotoAsync($"/job/{job}/hookup");
        await page.Press("It is wired like this");
        await page.WaitForURLAsync("**/bench");
        await page.GotoAsync($"/job/{job}/tape");
        await page.GetByLabel("What should be remembered").FillAsync("No script ran");
        await page.Press("Keep it");
        await Expect(page.Locator("#tape")).ToContainTextAsync("No script ran");
    }

    [Fact]
    public async Task By_keyboard_alone()
    {
        var page = await bench.Open("/");
        await page.TabTo("Who is on the line?");
        await page.Keyboard.TypeAsync("Karin Sommer");
        await page.TabTo("What does the set do");
        await page.Keyboard.TypeAsync("Hums");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync("**/story?*");
        await page.TabTo("Open the story");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync("**/job/*/story");
        await page.TabTo("Unpack");
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync("**/unpack");
        await page.TabTo("All others came");
        await page.Keyboard.PressAsync("Space");
        await page.TabTo("Unpacked");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Unpacked" })).ToHaveCountAsync(0);
        await Expect(page.Locator("#came")).Not.ToContainTextAsync("Nothing is out of the carton yet");
        await page.TabTo("All others as they belong");
        await page.Keyboard.PressAsync("Space");
        await page.TabTo("Counted");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.GetByLabel("how many came").First).Not.ToHaveValueAsync("");

        var job = new Uri(page.Url).Segments[2].Trim('/');
        // Rails are read under power, and power waits for its gates: both answered by keys too.
        await page.GotoAsync($"/job/{job}/bench");
        var open = page.Locator("#gates .move:has(button)");
        var left = await open.CountAsync();
        await page.TabTo("Measured, with its unit");
        await page.Keyboard.TypeAsync("4k7");
        await page.TabTo("Done and safe");
        await page.Keyboard.PressAsync("Enter");
        await Expect(open).ToHaveCountAsync(left - 1);
        await page.TabTo("Done and safe");
        await page.Keyboard.PressAsync("Enter");
        await Expect(open).ToHaveCountAsync(left - 2);
        await page.TabTo("Apply power");
        await page.Keyboard.PressAsync("Enter");
        await page.TabTo("Power is on");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#power")).ToContainTextAsync("Under power");

        await page.GotoAsync($"/job/{job}/ladder");
        await page.Locator(".rung input").First.FocusAsync();
        var rungs = await page.Locator(".rung input").CountAsync();
        for (var rung = 0; rung < rungs; rung++)
        {
            await page.Keyboard.TypeAsync("5 V");
            await page.Keyboard.PressAsync("Enter");
        }
        await page.WaitForURLAsync("**/bench");

        await page.GotoAsync($"/job/{job}/pack");
        await page.TabTo("All of them are in");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#into")).ToContainTextAsync("in the carton");
        await page.TabTo("All others as they came");
        await page.Keyboard.PressAsync("Space");
        await page.TabTo("Counted in");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#sum")).ToContainTextAsync("It adds up");
        await page.TabTo("Close the carton");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("main")).ToContainTextAsync("The carton is closed");
    }
}
