using System.Diagnostics;

namespace Shell.Tests.Cli;

/// <summary>The handbook as a script would ask it. The wire figures: reference/mends-bench.</summary>
public sealed class HandbookCommandTests
{
    private static (int Code, string Out, string Error) Run(params string[] args)
    {
        using var process = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), "handbook", .. args]) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = Path.GetTempPath() })!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, error.Result);
    }

    [Fact]
    public void A_run_of_wire_is_reckoned()
    {
        var (code, text, error) = Run("wire", "length=100 ft", "gauge=22", "volts=12", "amps=0.5");
        Assert.Equal((0, ""), (code, error));
        Assert.Contains("Ohms there and back: 3.23 Ω", text);
        Assert.Contains("Volts lost: 1.61 V", text);
    }

    [Fact]
    public void A_part_that_does_not_fit_ends_with_one()
    {
        var (code, text, _) = Run("fuse", "marked=T500mA 250V", "new=T1A 250V");
        Assert.Equal(1, code);
        Assert.StartsWith("Does not fit. 1 A is higher", text);
    }

    [Fact]
    public void A_connection_is_tried_on_paper_where_a_sheet_has_the_circuit()
    {
        var (code, text, error) = Run("may-connect", "what=chime", "where=door", "terminal=corridor-nine/door-1");
        Assert.Equal((1, ""), (code, error));
        Assert.StartsWith("No.", text);
        Assert.Contains("16 V chime transformer (16 V AC, 60 Hz, 5 Ω) on Door 1, on paper: First capacitor CD1", text);
        Assert.Contains("Never make such a connection to try it.", text);
    }

    [Theory]
    [InlineData(new[] { "nothing" }, "there is no calculation nothing")]
    [InlineData(new[] { "wire", "volts" }, "is not field=value")]
    [InlineData(new[] { "may-connect", "terminal=corridor-nine/dor" }, "terminal: The terminal, as a sheet names it: there is no “corridor-nine/dor”")]
    [InlineData(new[] { "may-connect", "volts=24" }, "volts: Its own volts: “24” is no source.")]
    [InlineData(new[] { "wire", "length=9 km", "volts=12" }, "outside 100 mm to 2 km")]
    public void Bad_input_says_where_in_one_line(string[] args, string says)
    {
        var (code, _, error) = Run(args);
        Assert.Equal(2, code);
        Assert.Equal(1, error.Count(c => c == '\n'));
        Assert.Contains(says.Replace("100 mm", "0.1 m").Replace("2 km", "2000 m"), error);
    }
}
