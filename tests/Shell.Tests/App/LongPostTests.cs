using System.Diagnostics;
using System.Net;
using System.Net.Http.Json;
using System.Text.RegularExpressions;

namespace Shell.Tests.App;

/// <summary>A recording sent to the pages Ear and Soak watch as a plain form, told of while it is reckoned, and given up in the middle.</summary>
public sealed class LongPostTests : IDisposable
{
    private const int Rate = 8000;
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-long-").FullName;
    private readonly string temporary, job = "j" + Guid.NewGuid().ToString("N")[..8];
    private readonly Process process;
    private readonly HttpClient http;

    public LongPostTests()
    {
        temporary = Directory.CreateDirectory(Path.Combine(folder, "tmp")).FullName;
        process = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), "serve", "--data", Path.Combine(folder, "shop.db"), "--port", "0"])
            { RedirectStandardOutput = true, RedirectStandardError = true, Environment = { ["TMPDIR"] = temporary, ["ASPNETCORE_TEMP"] = temporary, ["DOTNET_EnableDiagnostics"] = "0" } })!;
        var line = process.StandardOutput.ReadLine() ?? throw new InvalidOperationException("The program ended without saying its address.");
        http = new HttpClient(new HttpClientHandler { CookieContainer = new CookieContainer(), AllowAutoRedirect = false }) { BaseAddress = new Uri(line.Split(' ').First(w => w.StartsWith("http", StringComparison.Ordinal))) };
    }

    public void Dispose()
    {
        http.Dispose();
        process.Kill();
        process.WaitForExit();
        process.Dispose();
        Directory.Delete(folder, recursive: true);
    }

    /// <summary>Mono 16 bit: a tone of 400 Hz at −20 dBFS.</summary>
    private static byte[] Wav(int seconds)
    {
        using var bytes = new MemoryStream();
        using var w = new BinaryWriter(bytes);
        var data = 2 * Rate * seconds;
        w.Write("RIFF"u8); w.Write(36 + data); w.Write("WAVEfmt "u8); w.Write(16); w.Write((short)1); w.Write((short)1);
        w.Write(Rate); w.Write(2 * Rate); w.Write((short)2); w.Write((short)16); w.Write("data"u8); w.Write(data);
        for (var n = 0; n < Rate * seconds; n++) w.Write((short)(3277 * Math.Sin(2 * Math.PI * 400 * n / Rate)));
        return bytes.ToArray();
    }

    private async Task<MultipartFormDataContent> Form(string page, string name, HttpContent recording, string id, params (string Name, string Value)[] fields)
    {
        var stop = TestContext.Current.CancellationToken;
        if (page == "ear") await http.PostAsJsonAsync("/api/entries", new { id = job, kind = "job-opened", act = new { job, owner = new { @ref = job + "-o" }, outline = new { era = "later", feed = "adapter", rooms = 1, doors = 0, has = Array.Empty<string>() } } }, stop);
        var html = await http.GetStringAsync($"/job/{job}/{page}", stop);
        var form = new MultipartFormDataContent
        {
            { new StringContent(Regex.Match(html, "name=\"__RequestVerificationToken\" value=\"([^\"]+)\"").Groups[1].Value), "__RequestVerificationToken" },
            { new StringContent(name), "form" }, { new StringContent(id), "id" }, { new StringContent("60"), "line" },
        };
        foreach (var (field, value) in fields) form.Add(new StringContent(value), field);
        form.Add(recording, "recording", "set.wav");
        return form;
    }

    private static readonly (string, string)[] Tone = [("what", "tone"), ("from", "microphone")];

    // The empty file by which a run holds its folder stays as long as the run does.
    private string[] Left() => [.. Directory.EnumerateFiles(temporary, "*", SearchOption.AllDirectories).Where(f => !f.EndsWith("held-by-a-running-bellwire", StringComparison.Ordinal)), .. Directory.Exists(Path.Combine(folder, "shop.db.soaks")) ? Directory.EnumerateFileSystemEntries(Path.Combine(folder, "shop.db.soaks")) : []];

    private async Task NothingIsLeft()
    {
        for (var tries = 0; tries < 100 && Left().Length > 0; tries++) await Task.Delay(100, TestContext.Current.CancellationToken);
        Assert.Empty(Left());
    }

    /// <summary>Hands over what it holds, then waits until it is given up.</summary>
    private sealed class Stalling(byte[] bytes, CancellationToken given) : Stream
    {
        private int at;
        public override async ValueTask<int> ReadAsync(Memory<byte> into, CancellationToken stop = default)
        {
            if (at == bytes.Length) await Task.Delay(Timeout.Infinite, given);
            var n = Math.Min(into.Length, bytes.Length - at);
            bytes.AsMemory(at, n).CopyTo(into);
            at += n;
            return n;
        }

        public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();
        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => false;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => at; set => throw new NotSupportedException(); }
        public override void Flush() { }
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }

    [Fact]
    public async Task Given_up_while_it_is_sent_nothing_is_left()
    {
        using var given = new CancellationTokenSource();
        var form = await Form("ear", "hear", new StreamContent(new Stalling(Wav(60), given.Token)), "half-way", Tone);
        var post = http.PostAsync($"/job/{job}/ear", form, given.Token);
        // What came so far lies in the temporary folder.
        for (var tries = 0; tries < 100 && Left().Length == 0; tries++) await Task.Delay(50, TestContext.Current.CancellationToken);
        Assert.NotEmpty(Left());
        await given.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => post);
        await NothingIsLeft();
    }

    [Theory]
    [InlineData("ear", "hear")]
    [InlineData("soak", "file")]
    public async Task Given_up_while_it_is_reckoned_nothing_is_left_and_the_share_was_told(string page, string name)
    {
        using var given = new CancellationTokenSource();
        await Form("ear", name, new StringContent(""), "x"); // opens the job
        var form = await Form(page, name, new ByteArrayContent(Wav(3000)), "to-be-given-up", Tone);
        var post = http.PostAsync($"/job/{job}/{page}", form, given.Token);
        HttpResponseMessage? told = null;
        for (var tries = 0; tries < 600 && told?.StatusCode != HttpStatusCode.OK && !post.IsCompleted; tries++)
        {
            await Task.Delay(20, TestContext.Current.CancellationToken);
            told = await http.GetAsync("/reckoning/to-be-given-up", TestContext.Current.CancellationToken);
        }
        Assert.Matches("\"words\":\".+\",\"share\":0", await told!.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        await given.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => post);
        await NothingIsLeft();
        Assert.Equal(HttpStatusCode.NoContent, (await http.GetAsync("/reckoning/to-be-given-up", TestContext.Current.CancellationToken)).StatusCode);
        process.Kill();
        Assert.DoesNotContain("Exception", await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_plain_form_is_answered_with_its_result_and_a_wrong_one_with_its_complaint()
    {
        var stop = TestContext.Current.CancellationToken;
        var good = await http.PostAsync($"/job/{job}/ear", await Form("ear", "hear", new ByteArrayContent(Wav(3)), "good", Tone), stop);
        Assert.Equal(HttpStatusCode.Redirect, good.StatusCode);
        Assert.Contains("400 Hz", await http.GetStringAsync(good.Headers.Location!.ToString().Split('#')[0], stop));
        var bad = await http.PostAsync($"/job/{job}/ear", await Form("ear", "hear", new ByteArrayContent("RIFF and no more"u8.ToArray()), "bad", Tone), stop);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, bad.StatusCode);
        Assert.Single(Left()); // the good one, until it is kept or let go
    }

    [Fact]
    public async Task Too_large_a_form_is_refused_in_words()
    {
        var form = await Form("ear", "hear", new ByteArrayContent(new byte[1]), "large", Tone);
        form.Add(new ByteArrayContent(new byte[65 << 20]), "more", "more.wav");
        var sent = new HttpRequestMessage(HttpMethod.Post, $"/job/{job}/unpack") { Content = form, Headers = { ExpectContinue = true } };
        var answer = await http.SendAsync(sent, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, answer.StatusCode);
        Assert.Contains("64 MB", await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }
}
