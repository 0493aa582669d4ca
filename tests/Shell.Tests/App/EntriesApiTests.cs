using System.Diagnostics;
using System.Net.Http.Json;
using System.Text;
using System.Text.Json;

namespace Shell.Tests.App;

/// <summary>The journal for scripts meets the same gates as the pages: 200, 409 with the gates named, 400 where it cannot be read.</summary>
public sealed class EntriesApiTests(EntriesApiTests.Served served) : IClassFixture<EntriesApiTests.Served>
{
    public sealed class Served : IDisposable
    {
        private readonly string folder = Directory.CreateTempSubdirectory("bellwire-api-").FullName;
        private readonly Process process;
        public HttpClient Http { get; }

        public Served()
        {
            process = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), "serve", "--data", Path.Combine(folder, "shop.db"), "--port", "0"]) { RedirectStandardOutput = true })!;
            var line = process.StandardOutput.ReadLine() ?? throw new InvalidOperationException("The program ended without saying its address.");
            Http = new HttpClient { BaseAddress = new Uri(line.Split(' ').First(w => w.StartsWith("http", StringComparison.Ordinal))) };
        }

        public void Dispose()
        {
            process.Kill();
            process.WaitForExit();
            process.Dispose();
            Http.Dispose();
            Directory.Delete(folder, recursive: true);
        }
    }

    private int made;
    private readonly string job = "j" + Guid.NewGuid().ToString("N")[..8];
    private static readonly Dictionary<string, string> None = [];

    private async Task<(int Code, JsonElement Body)> Post(string kind, object act, long? after = null)
    {
        var answer = await served.Http.PostAsJsonAsync("/api/entries", new { id = $"{job}-{++made}", kind, act, after });
        return ((int)answer.StatusCode, await answer.Content.ReadFromJsonAsync<JsonElement>());
    }

    private async Task<long> Log(string kind, object act)
    {
        var (code, body) = await Post(kind, act);
        Assert.True(code == 200, $"{kind}: {body}");
        return body.GetProperty("number").GetInt64();
    }

    private static string[] Gates(JsonElement refusal) => [.. refusal.GetProperty("gates").EnumerateArray().Select(g => g.GetProperty("gate").GetString()!)];

    /// <summary>A tube set on the bench, its amplifier in it.</summary>
    private async Task<long> TubeSet()
    {
        await Log("job-opened", new { job, owner = new { @ref = job + "-o" }, outline = new { era = "tube", feed = "transformer", rooms = 1, doors = 0, has = Array.Empty<string>() } });
        await Log("piece-recorded", new { piece = job + "-amp", kind = "amplifier", name = "Amplifier", owner = "owner:" + job, job, place = "bench" });
        return await Log("system-set-up", new { system = "set-" + job, job, pieces = new { amplifier = job + "-amp" } });
    }

    private object Rest(double value) => new { job, system = "set-" + job, point = "reservoir-rest", quantity = "volt-dc", value, typed = value + " V", circumstances = None };
    private object Pull(object? overrides = null) => new { job, piece = job + "-amp", system = "set-" + job, position = "amplifier", overrides };

    [Fact]
    public async Task A_pull_waits_for_the_measurement_then_for_a_reason_that_names_the_gate()
    {
        var standing = await TubeSet();
        var (code, unmade) = await Post("pulled", Pull());
        Assert.Equal((409, false), (code, unmade.GetProperty("overridable").GetBoolean()));
        Assert.Equal(["discharged-high"], Gates(unmade));
        Assert.Equal(409, (await Post("pulled", Pull(new[] { new { gate = "discharged-high", reason = "in a hurry" } }))).Code);

        await Log("reading-taken", Rest(60));
        (code, var high) = await Post("pulled", Pull());
        Assert.Equal((409, true), (code, high.GetProperty("overridable").GetBoolean()));
        Assert.Equal(409, (await Post("pulled", Pull(new[] { new { gate = "fit-discharged", reason = "another gate" } }))).Code);

        // Told after the fact: refused, and a reason carries it even without the measurement.
        (code, var late) = await Post("pulled", Pull(), standing);
        Assert.Equal((409, true), (code, late.GetProperty("overridable").GetBoolean()));

        await Log("pulled", Pull(new[] { new { gate = "discharged-high", reason = "bleeder clipped on, one hand" } }));
        var tape = await served.Http.GetFromJsonAsync<JsonElement>($"/api/jobs/{job}/tape");
        Assert.Contains("bleeder clipped on, one hand", tape.EnumerateArray().Last().GetProperty("words").GetString());
    }

    [Fact]
    public async Task What_stands_on_a_struck_entry_is_counted_and_named_in_words()
    {
        var standing = await TubeSet();
        await Log("reading-taken", Rest(3));
        var (code, no) = await Post("struck", new { entry = $"{job}-{made}", why = "slip" });
        Assert.Equal(200, code);
        var first = await Log("reading-taken", Rest(2));
        await Log("reading-taken", Rest(1));
        (code, no) = await Post("struck", new { entry = $"{job}-3", why = "slip" });
        Assert.Equal(409, code);
        Assert.Matches($"^2 later entries stand on it: strike those first, the newest first, or leave it and put it right by a later entry. The first of them is {first}, Filter capacitors .*: 2 V.$", no.GetProperty("why").GetString());
        Assert.Equal(2, no.GetProperty("details").GetArrayLength());
        Assert.True(first > standing);
    }

    [Fact]
    public async Task A_measured_discharge_lets_hands_in()
    {
        await TubeSet();
        await Log("reading-taken", Rest(2));
        await Log("pulled", Pull());
    }

    [Fact]
    public async Task Power_waits_for_its_gates_and_a_tube_set_never_soaks_alone()
    {
        await TubeSet();
        var power = new { job, system = "set-" + job, feed = "lamp", overrideReason = "no time" };
        var (code, refused) = await Post("powered", power);
        Assert.Equal((409, false), (code, refused.GetProperty("overridable").GetBoolean()));
        Assert.Contains("ohms-first", Gates(refused));
        await Log("gate-answered", new { job, system = "set-" + job, gate = "ohms-first", passed = true, value = 4700.0 });
        foreach (var gate in new[] { "lamp-feed", "isolated" }) await Log("gate-answered", new { job, system = "set-" + job, gate, passed = true });
        await Log("powered", power);
        (code, refused) = await Post("soak-begun", new { job, system = "set-" + job, attended = false, hours = 4 });
        Assert.Equal((409, false), (code, refused.GetProperty("overridable").GetBoolean()));
        Assert.Contains("barred-soak", Gates(refused));
        await Log("soak-begun", new { job, system = "set-" + job, attended = true, hours = 4 });
    }

    [Theory]
    [InlineData("not json", "line 1")]
    [InlineData("[]", "the body is an object")]
    [InlineData("""{"kind":"noted","act":{}}""", "id:")]
    [InlineData("""{"id":"a","kind":"nonsense","act":{}}""", "nonsense")]
    [InlineData("""{"id":"a","kind":"pulled","act":{"job":"j","piece":"p","system":"s","position":"x","overrides":[{"gate":"g"}]}}""", "overrides")]
    public async Task What_cannot_be_read_is_answered_with_where(string body, string where)
    {
        using var content = new StringContent(body, Encoding.UTF8, "application/json");
        var answer = await served.Http.PostAsync("/api/entries", content);
        Assert.Equal(400, (int)answer.StatusCode);
        Assert.Contains(where, (await answer.Content.ReadFromJsonAsync<JsonElement>()).GetProperty("where").GetString());
    }
}
