using System.Diagnostics;
using Bellwire.Papers;

namespace Shell.Tests.Cli;

/// <summary><c>paper</c> as a script would use it.</summary>
public sealed class PaperCommandTests : IClassFixture<CommandTests.DemoFile>
{
    private readonly CommandTests.DemoFile demo;
    public PaperCommandTests(CommandTests.DemoFile demo) => this.demo = demo;

    private static (int Code, string Out, string Error) Run(string? browser, params string[] args)
    {
        var start = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), .. args]) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = Path.GetTempPath() };
        if (browser is not null) start.Environment["BELLWIRE_BROWSER"] = browser;
        using var process = Process.Start(start)!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, error.Result);
    }

    [Fact]
    public void A_paper_comes_as_text_and_wrong_names_are_told_in_one_line()
    {
        var (code, text, _) = Run(null, "paper", "demo-3", "came", "--md", "--data", demo.Shop);
        Assert.Equal(0, code);
        Assert.StartsWith("# What came", text);
        Assert.Equal(1, Run(null, "paper", "nobody", "came", "--data", demo.Shop).Code);
        Assert.Equal(2, Run(null, "paper", "demo-3", "poem", "--data", demo.Shop).Code);
    }

    [Fact]
    public void Without_a_browser_it_says_so_plainly()
    {
        var (code, _, error) = Run("/nowhere/browser", "paper", "demo-3", "came", "--pdf", "--data", demo.Shop);
        Assert.Equal(1, code);
        Assert.Contains("no PDF can be written", error);
        Assert.Null(PdfBrowser.Find(null, "/nowhere"));
    }
}
