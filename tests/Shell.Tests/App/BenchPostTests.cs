using System.Net;
using System.Net.Http.Json;
using System.Text.RegularExpressions;

namespace Shell.Tests.App;

/// <summary>What is typed at the bench and cannot be so comes back with the complaint, where it is and what to do; nothing of it goes onto the tape.</summary>
public sealed class BenchPostTests(EntriesApiTests.Served served) : IClassFixture<EntriesApiTests.Served>, IDisposable
{
    private readonly HttpClient http = new(new HttpClientHandler { AllowAutoRedirect = false }) { BaseAddress = served.Http.BaseAddress };
    public void Dispose() => http.Dispose();

    private int made;
    private readonly string job = "j" + Guid.NewGuid().ToString("N")[..8];
    private string Set => "set-" + job;
    private static readonly Dictionary<string, string> None = [];

    private async Task<long> Log(string kind, object act)
    {
        var answer = await http.PostAsJsonAsync("/api/entries", new { id = $"{job}-{++made}", kind, act });
        var body = await answer.Content.ReadAsStringAsync();
        Assert.True(answer.IsSuccessStatusCode, $"{kind}: {body}");
        return long.Parse(Regex.Match(body, @"\d+").Value, System.Globalization.CultureInfo.InvariantCulture);
    }

    private Task<long> InTheHouse() => Log("job-opened", new { job, owner = new { @ref = job + "-o" }, sheetId = "corridor-nine", outline = new { era = "microprocessor", feed = "centre-tapped", rooms = 3, doors = 2, has = new[] { "tuner", "clock", "chime" } } });

    private async Task OnTheBench()
    {
        await InTheHouse();
        await Log("piece-recorded", new { piece = job + "-supply", kind = "supply", name = "Supply board", owner = "owner:" + job, job, place = "bench" });
        await Log("system-set-up", new { system = Set, job, sheetId = "corridor-nine", pieces = new Dictionary<string, string> { ["supply"] = job + "-supply" } });
    }

    private async Task UnderPower()
    {
        await OnTheBench();
        await Log("gate-answered", new { job, system = Set, gate = "ohms-first", passed = true, value = 900.0 });
        await Log("gate-answered", new { job, system = Set, gate = "limited-feed", passed = true });
        await Log("powered", new { job, system = Set, feed = "limited" });
    }

    /// <summary>Sends a form of a page; null when it was taken, else the page that came back, its text put plainly.</summary>
    private async Task<string?> Send(string page, string form, params (string Name, string Value)[] fields)
    {
        // Any page of the program gives the token; this one reckons nothing.
        var html = await http.GetStringAsync("/story");
        var token = Regex.Match(html, "name=\"__RequestVerificationToken\" value=\"([^\"]+)\"").Groups[1].Value;
        var all = fields.Select(f => KeyValuePair.Create(f.Name, f.Value)).Concat([new("__RequestVerificationToken", token), new("form", form), new("id", Guid.NewGuid().ToString("N"))]);
        var answer = await http.PostAsync($"/job/{job}/{page}", new FormUrlEncodedContent(all));
        if (answer.StatusCode == HttpStatusCode.Redirect) return null;
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        return WebUtility.HtmlDecode(await answer.Content.ReadAsStringAsync());
    }

    private async Task<int> TapeLength() => (await http.GetFromJsonAsync<System.Text.Json.JsonElement>($"/api/jobs/{job}/tape")).GetArrayLength();

    /// <summary>It comes back with these words and with what was typed, and the tape is as it was.</summary>
    private async Task Refused(string words, string page, string form, params (string Name, string Value)[] fields)
    {
        var before = await TapeLength();
        var back = await Send(page, form, fields);
        Assert.NotNull(back);
        Assert.Contains(words, back, StringComparison.Ordinal);
        Assert.Equal(before, await TapeLength());
    }

    private async Task Taken(string page, string form, params (string Name, string Value)[] fields)
    {
        var before = await TapeLength();
        Assert.Null(await Send(page, form, fields));
        Assert.True(await TapeLength() > before, $"{form} put nothing onto the tape");
    }

    [Fact]
    public async Task Done_and_safe_on_a_measured_gate_wants_the_number_and_its_unit()
    {
        await UnderPower();
        (string, string)[] Answer(string gate, string value, string passed = "yes", string? form = null) => [("key", form ?? gate), ("gate", gate), ("value", value), ("passed", passed)];
        await Refused("it must be above 4.7 V and below 5.3 V", "bench", "gate", Answer("rail5-safe", ""));
        await Refused("it must be below 0.5 V", "bench", "gate", Answer("discharged", ""));
        await Refused("“5 ohm” is not what this gate is measured in: type V", "bench", "gate", Answer("rail5-safe", "5 ohm"));
        await Refused("“5 V AC” is not what", "bench", "gate", Answer("rail5-safe", "5 V AC"));
        await Refused("This set has no safety gate “no-such”", "bench", "gate", Answer("no-such", "5", form: "leak"));
        await Taken("bench", "gate", Answer("rail5-safe", "5.02"));
        await Taken("bench", "gate", Answer("leak", "", "no")); // not safe needs no number
        await Taken("bench", "gate", Answer("limited-feed", "")); // nothing is measured there
    }

    [Fact]
    public async Task With_the_set_off_what_is_seen_under_power_waits_for_power_or_for_the_word_that_it_was_on()
    {
        await UnderPower();
        await Log("unpowered", new { job, system = Set });
        const string Off = "The set is off: put power on first, or say that it was on.";
        (string, string)[] look = [("key", "fn-clock"), ("check", "fn-clock"), ("system", Set), ("outcome", "good")], read = [("point", "rail-5"), ("value", "5.02 V")];
        (string, string)[] line = [("line", "5V 5.02 raw 16.4")], rungs = [("r-rail-5", "5.02")], round = [("rest", "good")], step = [("key", "clock"), ("function", "clock"), ("outcome", "shown")];
        (string, string) because = ("override-set-off", "it was on, I forgot to say so");
        foreach (var (page, form, fields) in new[] { ("bench?check=fn-clock", "anycheck", look), ("bench", "reading", read), ("bench", "meter", line), ("ladder", "ladder", rungs), ("grid", "grid", round), ("prove", "prove", step) })
        {
            await Refused(Off + " Do it all the same, because", page, form, fields); // with room for the reason
            await Taken(page, form, [.. fields, because]);
            Assert.Contains("it was on, I forgot to say so", (await http.GetFromJsonAsync<System.Text.Json.JsonElement>($"/api/jobs/{job}/tape")).EnumerateArray().Last().GetProperty("words").GetString(), StringComparison.Ordinal);
        }
        await Taken("bench", "reading", ("point", "reservoir-rest"), ("value", "0.1 V"));
        await Log("powered", new { job, system = Set, feed = "limited" });
        await Taken("bench", "reading", read);
    }

    [Fact]
    public async Task A_reading_that_can_hardly_be_comes_back_beside_its_field_and_a_point_of_ones_own_is_said_to_be_new()
    {
        await UnderPower();
        (string, string)[] Read(string point, string value) => [("point", point), ("value", value)];
        await Refused("No such point as “nowhere”: there are ac-ends", "bench", "meter", ("line", "raw 16.4 nowhere 5 V"));
        await Refused("did you mean “rail-12”? If it is one of your own, put “new” before it", "bench", "reading", Read("rail-13", "5 V"));
        await Refused("“12 kohm” is not what is read at rail-12 (12 V rail): type V.", "bench", "meter", ("line", "12V 12 kohm"));
        await Refused("“99999999” is more than 2000 V", "bench", "reading", Read("raw", "99999999"));
        await Refused("“99999999” is more than 2000 V", "ladder", "ladder", ("r-raw", "99999999"), ("r-rail-5", "5.02"));
        await Taken("bench", "meter", ("line", "new TP9 5 V"));
        await Taken("bench", "meter", ("line", "TP9 5.1 V raw 16.4")); // it is known by now
        await Taken("bench", "reading", Read("new Behind the dial", "3 V"));
        await Taken("bench", "reading", Read("5V", "5.02"));
        Assert.Contains("TP9", await http.GetStringAsync($"/job/{job}/grow"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_yet_to_come_was_not_done()
    {
        await OnTheBench();
        string At(double minutes) => DateTime.Now.AddMinutes(minutes).ToString("yyyy-MM-dd'T'HH:mm", System.Globalization.CultureInfo.InvariantCulture);
        (string, string) rest = ("line", "reservoir-rest 0.1");
        await Refused("is yet to come", "bench", "meter", rest, ("done", At(10)));
        await Refused("“yesterday” is not a time", "bench", "meter", rest, ("done", "yesterday"));
        await Taken("bench", "meter", rest, ("done", At(-10)));
        await Taken("bench", "meter", rest, ("done", At(2)));
    }

    [Fact]
    public async Task A_look_at_a_set_that_is_still_in_the_house_says_what_to_do_first()
    {
        await InTheHouse();
        var offered = Regex.Match(WebUtility.HtmlDecode(await http.GetStringAsync($"/job/{job}/bench")), "name=\"form\" value=\"check\".*?name=\"key\" value=\"(?<key>[^\"]+)\".*?name=\"check\" value=\"(?<check>[^\"]+)\".*?name=\"system\" value=\"(?<system>[^\"]+)\".*?name=\"outcome\" value=\"(?<outcome>[^\"]+)\"", RegexOptions.Singleline).Groups;
        Assert.Equal("set:" + job, offered["system"].Value);
        const string First = "No set of this job stands on the bench yet: record what came on Unpack and set it up there.";
        await Refused(First, "bench", "check", ("key", offered["key"].Value), ("check", offered["check"].Value), ("system", offered["system"].Value), ("outcome", offered["outcome"].Value));
        await Refused(First, "prove", "prove", ("key", "clock"), ("function", "clock"), ("outcome", "shown"));
        var answer = await http.PostAsJsonAsync("/api/entries", new { id = job + "-look", kind = "checked", act = new { job, system = "set:" + job, check = "fn-clock", outcome = "good", throws = None, circumstances = None } });
        Assert.Contains(First, await answer.Content.ReadAsStringAsync(), StringComparison.Ordinal);
    }
}
