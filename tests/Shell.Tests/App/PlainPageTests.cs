using System.Net;
using System.Net.Http.Json;
using System.Text.RegularExpressions;

namespace Shell.Tests.App;

/// <summary>What pages answer to a name nobody knows, and what they keep of a search while other jobs go on.</summary>
public sealed class PlainPageTests(EntriesApiTests.Served served) : IClassFixture<EntriesApiTests.Served>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private async Task<string> Page(string address) => WebUtility.HtmlDecode(await served.Http.GetStringAsync(address, Stop));

    private async Task Log(string id, string kind, object act) =>
        Assert.Equal(HttpStatusCode.OK, (await served.Http.PostAsJsonAsync("/api/entries", new { id, kind, act }, Stop)).StatusCode);

    private Task Open(string job) => Log(job, "job-opened", new { job, owner = new { @ref = job + "-o" }, outline = new { era = "later", feed = "adapter", rooms = 1, doors = 0, has = Array.Empty<string>() } });

    [Theory]
    [InlineData("/sheets/none")]
    [InlineData("/sheets/none/report")]
    [InlineData("/handbook/none")]
    [InlineData("/job/none/bench")]
    public async Task What_nobody_knows_is_not_found(string address)
    {
        var answer = await served.Http.GetAsync(address, Stop);
        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
        Assert.Contains("There is no such page", await answer.Content.ReadAsStringAsync(Stop));
        Assert.Equal(HttpStatusCode.OK, (await served.Http.GetAsync(address.Split('/')[1] == "job" ? "/" : "/" + address.Split('/')[1], Stop)).StatusCode);
    }

    [Fact]
    public async Task A_finished_search_of_the_tape_outlives_the_entries_of_other_jobs_and_not_its_own()
    {
        await Open("searched");
        await Open("other");
        var token = Regex.Match(await Page("/job/searched/tape"), "name=\"__RequestVerificationToken\" value=\"([^\"]+)\"").Groups[1].Value;
        await served.Http.PostAsync("/job/searched/tape", new FormUrlEncodedContent([new("__RequestVerificationToken", token), new("form", "behind")]), Stop);
        for (var tries = 0; tries < 300 && (await Page("/job/searched/tape")).Contains("data-again", StringComparison.Ordinal); tries++) await Task.Delay(100, Stop);
        const string Found = "No single look is surprising enough";
        Assert.Contains(Found, await Page("/job/searched/tape"));
        await Log("parked-other", "parked", new { job = "other", why = "a belt" });
        Assert.Contains(Found, await Page("/job/searched/tape"));
        await Log("parked-own", "parked", new { job = "searched", why = "a belt" });
        Assert.DoesNotContain(Found, await Page("/job/searched/tape"));
    }
}
