using System.Net.Http.Json;
using Microsoft.Playwright;

namespace Browser.Tests;

/// <summary>What a hand does on the pages, named as the person would.</summary>
internal static class Hand
{
    /// <summary>Written down by a script, not by hand; what is refused fails the test, with the reason.</summary>
    public static async Task Log(this HttpClient http, string job, string kind, object act, string? id = null)
    {
        var answer = await http.PostAsJsonAsync("/api/entries", new { id = id ?? $"{job}-{Guid.NewGuid():N}", kind, act });
        Assert.True(answer.IsSuccessStatusCode, $"{kind}: {await answer.Content.ReadAsStringAsync()}");
    }

    public static async Task Press(this IPage page, string button)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = button }).First.ClickAsync();
    }

    /// <summary>Goes there and waits until it reckons no more: such a page loads itself again, from under whoever looks at it or goes on.</summary>
    public static async Task GoSettled(this IPage page, string address)
    {
        await page.GotoAsync(address);
        await Assertions.Expect(page.Locator("[data-again]")).ToHaveCountAsync(0, new() { Timeout = 90_000 });
    }

    /// <summary>Opens a story from Today and returns the job's name.</summary>
    /// <param name="family">Title of the type sheet, or null for an unknown set.</param>
    public static async Task<string> StartStory(this IPage page, string owner, string words, string? family = null)
    {
        await page.GotoAsync("/");
        await page.GetByLabel("Who is on the line?").FillAsync(owner);
        await page.GetByLabel("What does the set do, or not do?").FillAsync(words);
        await page.Press("Start a story");
        await Assertions.Expect(page.GetByLabel("Owner", new() { Exact = true })).ToHaveValueAsync(owner);
        if (family is not null) await page.GetByRole(AriaRole.Radio, new() { Name = family }).CheckAsync();
        await page.Press("Open the story");
        await page.WaitForURLAsync("**/job/*/story");
        return new Uri(page.Url).Segments[2].Trim('/');
    }

    public static async Task UnpackEverything(this IPage page, string job)
    {
        await page.GotoAsync($"/job/{job}/unpack");
        await page.GetByLabel("All others came").CheckAsync();
        await page.Press("Unpacked");
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Unpacked" })).ToHaveCountAsync(0);
        await Assertions.Expect(page.Locator("#came")).Not.ToContainTextAsync("Nothing is out of the carton yet");
        await page.GetByLabel("All others as they belong").CheckAsync();
        await page.Press("Counted");
        await Assertions.Expect(page.GetByLabel("how many came").First).Not.ToHaveValueAsync("");
    }

    /// <summary>Answers every open gate as measured and safe: kilohms across the rail, nothing left on the reservoir.</summary>
    public static async Task AnswerGates(this IPage page)
    {
        var open = page.Locator("#gates .move:has(button)");
        while (await open.CountAsync() is > 0 and var left)
        {
            var gate = open.First;
            if (!await gate.IsVisibleAsync() && await page.Locator("#gates").GetAttributeAsync("open") is null) await page.Locator("#gates > summary").ClickAsync();
            if (!await gate.IsVisibleAsync()) await page.Locator("#gates > details > summary").ClickAsync();
            await gate.Locator("input[name=value]").FillAsync((await gate.InnerTextAsync()).Contains("unpowered", StringComparison.Ordinal) ? "4k7" : "0.2 V");
            await gate.GetByRole(AriaRole.Button, new() { Name = "Done and safe" }).ClickAsync();
            await Assertions.Expect(open).ToHaveCountAsync(left - 1);
        }
    }

    public static async Task PowerOn(this IPage page)
    {
        var power = page.Locator("#power");
        if (!await power.GetByRole(AriaRole.Button, new() { Name = "Power is on" }).IsVisibleAsync()) await power.Locator("summary").First.ClickAsync();
        await power.GetByRole(AriaRole.Button, new() { Name = "Power is on" }).ClickAsync();
    }

    /// <summary>Shows every step of the proof good, with a reading inside its limits where one is asked.</summary>
    public static async Task ProveAll(this IPage page)
    {
        var steps = page.Locator("#proof tbody tr");
        for (var i = 0; i < await steps.CountAsync(); i++)
        {
            var step = steps.Nth(i);
            var value = step.Locator("input[name=value]");
            if (await value.CountAsync() > 0)
            {
                var limits = System.Text.RegularExpressions.Regex.Matches(await step.Locator("td").Nth(1).InnerTextAsync(), @"-?\d+(\.\d+)?").Select(m => double.Parse(m.Value, System.Globalization.CultureInfo.InvariantCulture)).ToList();
                await value.FillAsync((limits.Count == 0 ? 1 : limits.Average()).ToString(System.Globalization.CultureInfo.InvariantCulture));
            }
            await step.Locator("button").First.ClickAsync();
            await Assertions.Expect(step).ToContainTextAsync("shown");
        }
    }

    /// <summary>Goes to what <paramref name="wanted"/> names by the Tab key alone, as eyes would follow the focus.</summary>
    public static async Task TabTo(this IPage page, string wanted)
    {
        for (var presses = 0; presses < 250; presses++)
        {
            await page.Keyboard.PressAsync("Tab");
            var name = await page.EvaluateAsync<string>(NameOfFocus);
            if (name.Contains(wanted, StringComparison.OrdinalIgnoreCase)) return;
        }
        throw new InvalidOperationException($"The Tab key never reached “{wanted}” on {page.Url}.");
    }

    private const string NameOfFocus = """
        () => {
          const e = document.activeElement;
          if (!e || e === document.body) return '';
          const label = e.labels && e.labels.length ? [...e.labels].map(l => l.innerText).join(' ') : '';
          return (e.getAttribute('aria-label') || label || e.innerText || e.value || e.name || '').replace(/\s+/g, ' ').trim();
        }
        """;
}
