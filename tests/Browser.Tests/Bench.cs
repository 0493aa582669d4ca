using System.Diagnostics;
using Microsoft.Playwright;

namespace Browser.Tests;

/// <summary>The real program on a free port over a new shop, and a real Chromium in front of it. One for all tests of a class.</summary>
public sealed class Bench : IAsyncLifetime
{
    private static readonly string[] Arguments =
        ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

    private Process server = null!;
    private IPlaywright playwright = null!;
    private string folder = "";

    public string Address { get; private set; } = "";
    public IBrowser Browser { get; private set; } = null!;

    public static string Root { get; } = FindRoot();

    /// <summary>Screenshots to be looked at.</summary>
    public static string Screens { get; } = Directory.CreateDirectory(Path.Combine(Root, "artefacts", "screens")).FullName;

    public async ValueTask InitializeAsync()
    {
        folder = Directory.CreateTempSubdirectory("bellwire-browser-").FullName;
        await Start(0);
        // A busy machine weighs a job in seconds rather than at once; what a page must show, it may take its time to show.
        Assertions.SetDefaultExpectTimeout(20_000);
        playwright = await Playwright.CreateAsync();
        Browser = await playwright.Chromium.LaunchAsync(new() { ExecutablePath = Chromium(), Args = Arguments });
    }

    private async Task Start(int port)
    {
        var configuration = AppContext.BaseDirectory.Contains($"{Path.DirectorySeparatorChar}Debug{Path.DirectorySeparatorChar}", StringComparison.Ordinal) ? "Debug" : "Release";
        var program = Path.Combine(Root, "src", "shell", "Bellwire.App", "bin", configuration, "net10.0", "bellwire.dll");
        server = Process.Start(new ProcessStartInfo("dotnet", [program, "serve", "--port", $"{port}", "--data", Path.Combine(folder, "shop.db")])
        {
            RedirectStandardOutput = true,
            WorkingDirectory = folder,
        })!;
        Address = "";
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        while (Address.Length == 0)
        {
            var line = await server.StandardOutput.ReadLineAsync(patience.Token) ?? throw new InvalidOperationException("The server ended before it said its address.");
            if (line.Contains("http://", StringComparison.Ordinal)) Address = line[line.IndexOf("http://", StringComparison.Ordinal)..].Split(' ')[0];
        }
    }

    /// <summary>The program is killed in the middle of whatever it does, and started again over the same shop at the same address.</summary>
    public async Task Restart()
    {
        server.Kill();
        await server.WaitForExitAsync();
        server.Dispose();
        await Start(new Uri(Address).Port);
    }

    /// <summary>Everything kept beside the shop.</summary>
    public string Folder => folder;

    public async Task<IPage> Open(string path, int width = 1280, int height = 900, ColorScheme light = ColorScheme.Light, bool scripts = true)
    {
        var context = await Browser.NewContextAsync(new() { ViewportSize = new() { Width = width, Height = height }, ColorScheme = light, BaseURL = Address, JavaScriptEnabled = scripts, ReducedMotion = ReducedMotion.Reduce });
        context.SetDefaultTimeout(40_000);
        var page = await context.NewPageAsync();
        await page.GotoAsync(path);
        return page;
    }

    public async ValueTask DisposeAsync()
    {
        await Browser.DisposeAsync();
        playwright.Dispose();
        server.Kill(entireProcessTree: true);
        await server.WaitForExitAsync();
        Directory.Delete(folder, recursive: true);
    }

    internal static string Chromium() =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(':').Select(d => Path.Combine(d, "chromium")).FirstOrDefault(File.Exists)
        ?? throw new InvalidOperationException("No chromium on the PATH: install the Debian package chromium.");

    private static string FindRoot()
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return at?.FullName ?? throw new InvalidOperationException("Bellwire.slnx was not found above the test binaries.");
    }
}
