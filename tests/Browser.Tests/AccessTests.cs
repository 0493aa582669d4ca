using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace Browser.Tests;

/// <summary>WCAG 2.2 AA on every page, light and dark, as axe-core checks it; room, reach and silence beyond what axe sees.</summary>
public class AccessTests(Bench bench) : IClassFixture<Bench>
{
    private static readonly string[] Places =
    [
        "/", "/story?owner=Someone&words=It+hums", "/shelf", "/learned", "/job/{0}/quote", "/sheets", "/handbook", "/handbook/fuse?marked=T500mA+250V&new=T1A&look=black", "/handbook/supply?ac=9999&farads=x", "/handbook/by-shape?open=13.5&va=24&reservoir=2200&kind1=regulator&mark1=7812&foreignat=raw&foreign=48+V+DC+1+ohm&go=1", "/handbook/may-connect?what=chime&terminal=corridor-nine/door-1&go=1", "/sheets/corridor-nine/circuit/supply", "/sheets/corridor-nine/circuit/doors?plus=line1&minus=0&source=24+V+AC+2+ohm&foreign=yes", "/sheets/corridor-nine/report", "/shelf/parts?kind=electrolytic",
        "/job/{0}/mend?kind=electrolytic&marked=2200&volts=35&new=470",
        "/job/{0}/story", "/job/{0}/unpack", "/job/{0}/bench", "/job/{0}/grid", "/job/{0}/ladder", "/job/{0}/ear", "/job/{0}/soak", "/job/{0}/hookup", "/job/{0}/tape", "/job/{0}/prove", "/job/{0}/pack",
        "/job/{0}/papers", "/job/{0}/papers/send", "/job/{0}/papers/came", "/job/{0}/papers/labels", "/job/{0}/papers/test", "/job/{0}/papers/packing", "/job/{0}/papers/report", "/job/{0}/papers/refit",
        "/job/{0}/house", "/job/{0}/grow", "/job/{0}/scan", "/shop", "/shelf/labels",
    ];

    private static string? prepared;

    private async Task<List<string>> Addresses()
    {
        if (prepared is null)
        {
            var page = await bench.Open("/");
            var job = await page.StartStory("Jonas Ekholm", "Hums in every room, worse each winter");
            await page.UnpackEverything(job);
            await page.GotoAsync("/shelf");
            await page.GetByLabel("What it is").FillAsync("Amplifier from the green donor");
            await page.GetByLabel("Kind, as the type sheets call it").FillAsync("amplifier");
            await page.Press("Onto the shelf");
            await Assertions.Expect(page.Locator("#shelf")).ToContainTextAsync("green donor");
            prepared = job;
        }
        var sheet = await bench.Open("/sheets");
        var first = await sheet.Locator(".jobs a").First.GetAttributeAsync("href");
        return [.. Places.Select(p => string.Format(System.Globalization.CultureInfo.InvariantCulture, p, prepared)), first!];
    }

    [Theory]
    [InlineData(ColorScheme.Light)]
    [InlineData(ColorScheme.Dark)]
    public async Task Axe_finds_nothing(ColorScheme light)
    {
        var found = new List<string>();
        var page = await bench.Open("/", light: light);
        foreach (var address in await Addresses())
        {
            await page.GoSettled(address);
            await page.EvaluateAsync("() => document.querySelectorAll('details').forEach(d => d.open = true)");
            var result = await page.RunAxe(new AxeRunOptions { RunOnly = RunOnlyOptions.Tags("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice") });
            found.AddRange(result.Violations.Select(v => $"{address}: {v.Id}: {v.Help} – {string.Join(" | ", v.Nodes.Take(3).Select(n => n.Html))}"));
        }
        Assert.True(found.Count == 0, string.Join("\n", found));
    }

    [Theory]
    [InlineData(360, 740)]
    [InlineData(1024, 768)]
    [InlineData(1600, 1000)]
    public async Task Everything_fits_and_is_large_enough_to_touch(int width, int height)
    {
        var found = new List<string>();
        var page = await bench.Open("/", width, height);
        foreach (var address in await Addresses())
        {
            await page.GoSettled(address);
            var name = address.Split('?')[0].Trim('/').Replace('/', '-').Replace(prepared!, "job");
            await page.ScreenshotAsync(new() { Path = Path.Combine(Bench.Screens, $"{width}-{(name.Length == 0 ? "today" : name)}.png"), FullPage = true });
            await page.EvaluateAsync("() => document.querySelectorAll('details').forEach(d => d.open = true)");
            var over = await page.EvaluateAsync<int>("() => document.scrollingElement.scrollWidth - document.documentElement.clientWidth");
            if (over > 0) found.Add($"{address}: {over} px wider than the screen");
            // 44 CSS px is the size of WCAG 2.2's enhanced target criterion (2.5.5); links inside running text are exempt there too.
            found.AddRange(await page.EvaluateAsync<string[]>("""
                () => [...document.querySelectorAll('button, .button, select, summary, nav a, input:not([type=hidden]):not([type=checkbox]):not([type=radio])')]
                  .filter(e => e.offsetParent && (e.getBoundingClientRect().height < 43.9 || e.getBoundingClientRect().width < 43.9))
                  .map(e => location.pathname + ': too small to touch: ' + e.outerHTML.slice(0, 120))
                """));
        }
        Assert.True(found.Count == 0, string.Join("\n", found));
    }

    [Fact]
    public async Task No_page_asks_another_machine_or_breaks_its_own_policy()
    {
        var page = await bench.Open("/");
        var foreign = new List<string>();
        var complaints = new List<string>();
        page.Request += (_, request) => { if (!request.Url.StartsWith(bench.Address, StringComparison.Ordinal) && !request.Url.StartsWith("data:", StringComparison.Ordinal)) foreign.Add(request.Url); };
        page.Console += (_, message) => { if (message.Type is "error" or "warning") complaints.Add(message.Text); };
        page.PageError += (_, error) => complaints.Add(error);
        foreach (var address in await Addresses()) await page.GoSettled(address);
        Assert.Empty(foreign);
        Assert.Empty(complaints);
    }
}
