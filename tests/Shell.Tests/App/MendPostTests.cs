using System.Diagnostics;
using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Shell.Tests.App;

/// <summary>Mends of the demo's third set: the shop's supply board sits in it and cured it, the owner's lies on the bench.</summary>
public sealed class MendPostTests(MendPostTests.Served served) : IClassFixture<MendPostTests.Served>
{
    private const string Job = "demo-3";
    private readonly HttpClient http = served.Http;

    public sealed class Served : IDisposable
    {
        private readonly string folder = Directory.CreateTempSubdirectory("bellwire-mend-").FullName;
        private readonly Process process;
        public HttpClient Http { get; }

        public Served()
        {
            process = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), "demo", "--data", Path.Combine(folder, "shop.db"), "--port", "0"]) { RedirectStandardOutput = true })!;
            var line = "";
            while (!line.Contains("http://", StringComparison.Ordinal)) line = process.StandardOutput.ReadLine() ?? throw new InvalidOperationException("The program ended without saying its address.");
            Http = new HttpClient(new HttpClientHandler { CookieContainer = new CookieContainer(), AllowAutoRedirect = false }) { BaseAddress = new Uri(line.Split(' ').First(w => w.StartsWith("http", StringComparison.Ordinal))), Timeout = Timeout.InfiniteTimeSpan };
        }

        public void Dispose()
        {
            Http.Dispose();
            process.Kill();
            process.WaitForExit();
            process.Dispose();
            Directory.Delete(folder, recursive: true);
        }
    }

    private async Task<string> Page(string page) => WebUtility.HtmlDecode(await http.GetStringAsync($"/job/{Job}/{page}", TestContext.Current.CancellationToken));

    private async Task<HttpResponseMessage> Send(string page, params (string Name, string Value)[] fields)
    {
        var token = Regex.Match(await http.GetStringAsync("/shop", TestContext.Current.CancellationToken), "name=\"__RequestVerificationToken\" value=\"([^\"]+)\"").Groups[1].Value;
        return await http.PostAsync($"/job/{Job}/{page}", new FormUrlEncodedContent([new("__RequestVerificationToken", token), .. fields.Select(f => KeyValuePair.Create(f.Name, f.Value))]), TestContext.Current.CancellationToken);
    }

    private async Task<List<JsonElement>> Tape() => [.. (await http.GetFromJsonAsync<JsonElement>($"/api/jobs/{Job}/tape", TestContext.Current.CancellationToken)).EnumerateArray()];
    private async Task<List<string>> Words() => [.. (await Tape()).Select(e => e.GetProperty("words").GetString()!)];

    [Fact]
    public async Task What_lies_on_the_bench_is_mended_by_its_name()
    {
        var offered = Regex.Match(await Page("bench"), "Mend: reservoir dry \\(the owner’s supply board\\).*?href=\"/job/demo-3/mend#([^\"]+)\"", RegexOptions.Singleline).Groups[1].Value;
        Assert.NotEmpty(offered);
        var form = Regex.Match(await Page("mend"), $"<article class=\"move\" id=\"{Regex.Escape(offered)}\".*?</article>", RegexOptions.Singleline).Value;
        Assert.Contains("name=\"piece\" value=\"demo-3-supply\"", form);
        var fault = Regex.Match(form, "name=\"fault\" value=\"([^\"]+)\"").Groups[1].Value;

        // The shop's own, another owner's, and what nobody knows are not mended by this form.
        var before = (await Words()).Count;
        foreach (var foreign in new[] { "S-SUP-1", "demo-1-supply", "nothing" })
            Assert.Equal((foreign, HttpStatusCode.UnprocessableEntity), (foreign, (await Send("mend", ("form", "mend"), ("piece", foreign), ("fault", fault))).StatusCode));
        Assert.Equal(before, (await Words()).Count);

        var mended = await Send("mend", ("form", "mend"), ("piece", "demo-3-supply"), ("fault", fault), ("minutes", "25"));
        Assert.Equal((HttpStatusCode.Redirect, "/job/demo-3/mend"), (mended.StatusCode, mended.Headers.Location?.OriginalString));
        Assert.Equal("Mended in Supply board (demo-3-supply): reservoir dry", (await Words())[^1]);
    }

    [Fact]
    public async Task Gone_through_is_every_place_of_the_piece_and_its_connector_and_its_minutes_stand_once()
    {
        var before = (await Tape()).Count;
        // Hands go into the set: without the reservoir measured nothing of the deed stands.
        var refused = await Send("bench", ("form", "through"), ("position", "keypad"), ("minutes", "80"));
        Assert.Equal(HttpStatusCode.UnprocessableEntity, refused.StatusCode);
        // The page has no such form: it says so, and what stood against it.
        var said = WebUtility.HtmlDecode(await refused.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.Contains("That form is no longer on this page: the tape has moved on. Look again, and log it there.", said);
        Assert.Contains("Reservoir measured discharged", said[said.IndexOf("That form is no longer", StringComparison.Ordinal)..said.IndexOf("<h1>", StringComparison.Ordinal)]);
        Assert.Equal(before, (await Tape()).Count);
        Assert.Equal(HttpStatusCode.Redirect, (await Send("bench", ("form", "gate"), ("gate", "discharged"), ("value", "0.1 V"), ("passed", "yes"))).StatusCode);
        before++;
        Assert.Equal(HttpStatusCode.UnprocessableEntity, (await Send("bench", ("form", "through"), ("position", "keypad"))).StatusCode);
        Assert.Equal(before, (await Tape()).Count);
        Assert.Equal(HttpStatusCode.Redirect, (await Send("bench", ("form", "through"), ("position", "keypad"), ("minutes", "80"))).StatusCode);
        var acts = (await Tape())[before..].Select(e => e.GetProperty("act")).ToList();
        Assert.All(acts, a => Assert.Equal(0.95, a.GetProperty("success").GetDouble()));
        Assert.Equal([80, .. Enumerable.Repeat(0.0, acts.Count - 1)], acts.Select(a => a.GetProperty("minutes").GetDouble()));
        Assert.Contains(acts, a => a.GetProperty("site").GetString() == "keys");
        Assert.Contains(acts, a => a.GetProperty("site").GetString() == "other");
        Assert.All(acts.SkipLast(1), a => Assert.Equal(("demo-3-keypad", "gone through"), (a.GetProperty("piece").GetString(), a.GetProperty("what").GetString())));
        Assert.Equal(("keypad", "contact", "cleaned"), (acts[^1].GetProperty("position").GetString(), acts[^1].GetProperty("site").GetString(), acts[^1].GetProperty("what").GetString()));
        Assert.Contains("Mended in Keypad (demo-3-keypad): what else there is gone through", await Words());
    }
}
