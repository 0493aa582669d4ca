using System.Diagnostics;
using System.Net;
using System.Net.Http.Json;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Shell.Tests.Store;

/// <summary>The program is killed while entries are logged over HTTP: what it acknowledged is there, once.</summary>
public sealed class KillTests : IDisposable
{
    private static readonly int Kills = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1" ? 1000 : 20;
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-kill-").FullName;
    private string Db => Path.Combine(folder, "shop.db");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public async Task An_acknowledged_entry_survives_the_kill_and_stands_once()
    {
        var acknowledged = new List<(string Id, long Number)>();
        var random = new Random(20261125);
        for (var round = 0; round < Kills; round++)
        {
            using var program = await Start();
            // Every other kill waits for a first answer, so that on a slow machine too entries are under way when it falls; so does every
            // kill before the job is open, or a machine that answers later than the longest delay would go round for ever.
            var answered = new TaskCompletionSource();
            var killing = KillLater(program.Process, round % 2 == 0 && acknowledged.Count > 0 ? Task.CompletedTask : answered.Task, random.Next(5, 250));
            for (var i = 0; ; i++)
            {
                var id = $"r{round}-{i}";
                var act = round == 0 && i == 0
                    ? new { id, kind = "job-opened", act = (object)new { job = "J", owner = new { @ref = "o" }, outline = new { era = "unknown", feed = "unknown", rooms = 1, doors = 0, has = Array.Empty<string>() } } }
                    : new { id, kind = "noted", act = (object)new { job = "J", words = new { @ref = id } } };
                try
                {
                    var answer = await program.Http.PostAsJsonAsync("/api/entries", act);
                    if (answer.StatusCode == HttpStatusCode.OK) acknowledged.Add((id, (await answer.Content.ReadFromJsonAsync<Numbered>())!.Number));
                    else if (acknowledged.Count > 0) Assert.Fail($"{answer.StatusCode}: {await answer.Content.ReadAsStringAsync()}");
                    answered.TrySetResult();
                }
                // However the connection tells that the program is gone.
                catch (Exception e) when (e is HttpRequestException or IOException or System.Net.Sockets.SocketException or System.Text.Json.JsonException) { break; }
            }
            await killing;
            await program.Process.WaitForExitAsync();
            if (acknowledged.Count == 0) round--; // killed before the first entry: the job is not open yet
        }
        using var shop = Shop.Open(Db, TimeProvider.System);
        Assert.Empty(shop.Verify().Complaints);
        Assert.Equal(Enumerable.Range(1, shop.Entries.Count).Select(n => (long)n), shop.Entries.Select(e => e.Number));
        var there = shop.Entries.GroupBy(e => e.Id).ToDictionary(g => g.Key, g => Assert.Single(g).Number);
        foreach (var (id, number) in acknowledged) Assert.Equal(number, there[id]);
        Assert.True(acknowledged.Count >= Kills / 2, $"Only {acknowledged.Count} entries were acknowledged in {Kills} rounds.");
    }

    private static async Task KillLater(Process process, Task first, int milliseconds)
    {
        await Task.WhenAny(first, Task.Delay(10_000));
        await Task.Delay(milliseconds);
        process.Kill();
    }

    [Fact]
    public void A_write_ahead_log_cut_anywhere_reopens_to_a_lawful_prefix()
    {
        using (var shop = Shop.Open(Db, TimeProvider.System))
        {
            Assert.IsType<Recorded.Accepted>(shop.Record(new("e0", new JobOpened("J", new("o"), null, null, new("unknown", "unknown", 1, 0, [])))));
            for (var i = 1; i <= 40; i++) Assert.IsType<Recorded.Accepted>(shop.Record(new($"e{i}", new Noted("J", new($"t{i}")))));
            // Copied while open, as a power cut would leave them.
            File.Copy(Db, Db + ".cut");
            File.Copy(Db + "-wal", Db + ".cut-wal");
        }
        var wal = File.ReadAllBytes(Db + ".cut-wal");
        var random = new Random(7);
        for (var trial = 0; trial < 60; trial++)
        {
            var path = Path.Combine(folder, $"cut{trial}.db");
            File.Copy(Db + ".cut", path);
            File.WriteAllBytes(path + "-wal", wal[..random.Next(wal.Length + 1)]);
            using var shop = Shop.Open(path, TimeProvider.System);
            Assert.Empty(shop.Verify().Complaints);
            Assert.Equal(Enumerable.Range(0, (int)shop.Head).Select(i => $"e{i}"), shop.Entries.Select(e => e.Id));
        }
    }

    private sealed record Numbered(long Number);

    private sealed record Program(Process Process, HttpClient Http) : IDisposable
    {
        public void Dispose()
        {
            if (!Process.HasExited) Process.Kill();
            Process.Dispose();
            Http.Dispose();
        }
    }

    private async Task<Program> Start()
    {
        var dll = Path.Combine(AppContext.BaseDirectory, "bellwire.dll");
        var process = Process.Start(new ProcessStartInfo("dotnet", [dll, "serve", "--data", Db, "--port", "0"]) { RedirectStandardOutput = true })!;
        var line = await process.StandardOutput.ReadLineAsync() ?? throw new InvalidOperationException("The program ended without saying its address.");
        var address = line.Split(' ').First(w => w.StartsWith("http", StringComparison.Ordinal));
        return new(process, new HttpClient { BaseAddress = new Uri(address), Timeout = TimeSpan.FromSeconds(10) });
    }
}
