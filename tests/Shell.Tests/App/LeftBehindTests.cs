using System.Diagnostics;
using System.Net;
using Bellwire.App.Ears;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Shell.Tests.App;

/// <summary>The built program, killed in the middle: what it kept in the system's temporary folder goes at the next start, and only then.</summary>
public sealed class LeftBehindTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-left-").FullName;
    private readonly List<Process> running = [];
    private string Temp => Path.Combine(folder, "tmp");

    public void Dispose()
    {
        foreach (var one in running) { if (!one.HasExited) one.Kill(); one.WaitForExit(); one.Dispose(); }
        Directory.Delete(folder, recursive: true);
    }

    private async Task<(Process Server, Uri At)> Serve(string shop)
    {
        Directory.CreateDirectory(Temp);
        var start = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), "serve", "--data", Path.Combine(folder, shop), "--port", "0"]) { RedirectStandardOutput = true };
        start.Environment["TMPDIR"] = Temp;
        var server = Process.Start(start)!;
        running.Add(server);
        var line = await server.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);
        return (server, new Uri(line!["Bellwire is at ".Length..line!.IndexOf(' ', "Bellwire is at ".Length)]));
    }

    private string[] Folders() => Directory.GetDirectories(Temp, "bellwire-ear-*");

    [Fact]
    public async Task A_killed_server_s_recordings_go_at_the_next_start_and_a_running_one_s_stay()
    {
        var (killed, _) = await Serve("one.db");
        var left = Assert.Single(Folders());
        await File.WriteAllBytesAsync(Path.Combine(left, "recording.wav"), new byte[1000], TestContext.Current.CancellationToken);
        await Serve("two.db");
        Assert.Equal(2, Folders().Length); // both run: neither touches the other's
        killed.Kill();
        await killed.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(Directory.Exists(left));
        Directory.CreateDirectory(Path.Combine(Temp, "bellwire-ear-of-somebody-else"));
        await Serve("three.db");
        Assert.False(Directory.Exists(left));
        Assert.Equal(3, Folders().Length); // the second server's, the third's, and what is no server's
    }

    [Fact]
    public async Task Forgetting_from_another_run_of_the_program_ends_the_soak_of_a_running_one()
    {
        var data = Path.Combine(folder, "shop.db");
        using (var shop = Shop.Open(data, TimeProvider.System))
            Assert.IsType<Recorded.Accepted>(shop.Record(new("open", new JobOpened("j", new("who"), null, null, new("transistor", "transformer", 2, 1, [])), Texts: [new("who", "owner:j", "Aafke Smit")])));
        var bench = SoakBench.Beside(data, _ => []);
        bench.Begin(bench.New("j", null, 60, DateTimeOffset.UtcNow.AddMinutes(-1)));
        var (_, at) = await Serve("shop.db");
        using var http = new HttpClient();
        http.DefaultRequestHeaders.Add("X-Bellwire", "soak");
        Task<HttpResponseMessage> Feed(int n, string missed = "") => http.PostAsync(new Uri(at, $"/job/j/soak/feed?n={n}&rate=8000&missed={missed}"), new ByteArrayContent(new byte[4 * 8000]), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.OK, (await Feed(0)).StatusCode);
        // What was missed of a block lies in it and is told as three whole numbers each; anything else is refused, and nothing of it taken.
        foreach (var wrong in new[] { "1", "a-b-c", "0-8001-5", "7000-1001-5", "-1-5-5", "100-50-1,149-1-1", "0-0--1", "0-1-5000000000", string.Join(',', Enumerable.Range(0, 201).Select(i => $"{i}-1-1")) })
            Assert.Equal((wrong, HttpStatusCode.BadRequest), (wrong, (await Feed(1, wrong)).StatusCode));
        var told = await (await Feed(1, "0-80-10,4000-0-2500")).Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.Contains("\"missed\":2.51", told);
        Assert.Contains("\"listened\":1.99", told);
        Assert.Single(Directory.GetDirectories(data + ".soaks"));
        using var forget = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), "forget", "j", "--yes", "--data", data]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var said = await forget.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken) + await forget.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await forget.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(forget.ExitCode == 0, said);
        Assert.Empty(Directory.GetDirectories(data + ".soaks"));
        Assert.Equal(HttpStatusCode.NotFound, (await Feed(2)).StatusCode);
        Assert.Empty(Directory.GetDirectories(data + ".soaks"));
    }
}
