using System.Diagnostics;
using System.Text.Json;

namespace Shell.Tests.Cli;

/// <summary>The built program as a script would use it.</summary>
public sealed class CommandTests : IClassFixture<CommandTests.DemoFile>
{
    private readonly DemoFile demo;

    public CommandTests(DemoFile demo) => this.demo = demo;

    public sealed class DemoFile : IDisposable
    {
        public string Folder { get; } = Directory.CreateTempSubdirectory("bellwire-cli-").FullName;
        public string Shop => Path.Combine(Folder, "shop.db");
        public (int Code, string Out, string Error) Made { get; }
        public DemoFile() => Made = Run("demo", "--fill-only", "--data", Shop);
        public void Dispose() => Directory.Delete(Folder, recursive: true);
    }

    private static (int Code, string Out, string Error) Run(params string[] args)
    {
        using var process = Process.Start(new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), .. args]) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = Path.GetTempPath() })!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, error.Result);
    }

    private static void OneLine(string error) => Assert.Equal(1, error.Count(c => c == '\n'));

    [Fact]
    public void The_demo_shop_is_made_and_every_hash_holds()
    {
        Assert.Equal((0, ""), (demo.Made.Code, demo.Made.Error));
        var (code, text, _) = Run("verify", "--data", demo.Shop);
        Assert.Equal(0, code);
        Assert.Contains("entries and 5 tapes hold", text);
    }

    [Fact]
    public void Explain_says_which_entry_moved_a_suspect_and_its_decibans_lead_from_before_to_now()
    {
        var (code, text, error) = Run("explain", "demo-3", "--data", demo.Shop);
        Assert.Equal((0, ""), (code, error));
        Assert.Contains("reservoir dry", text);
        Assert.Contains("raw-ripple", text);
        using var parsed = JsonDocument.Parse(Run("explain", "demo-3", "--data", demo.Shop, "--json").Out);
        var first = parsed.RootElement.GetProperty("suspects").EnumerateArray().First();
        double Odds(string of) => first.GetProperty(of).GetDouble() is var p ? 10 * Math.Log10(p / (1 - p)) : 0;
        // Entries that moved it by less than half a deciban are left out of the list.
        var moved = first.GetProperty("entries").EnumerateArray().Sum(e => e.GetProperty("decibans").GetDouble());
        Assert.Equal(Odds("now") - Odds("before"), moved, 4.0);
        Assert.Equal(1, Run("explain", "no-such-job", "--data", demo.Shop).Code);
    }

    [Fact]
    public void Predict_tells_every_trouble_and_what_a_foreign_supply_hurts_first()
    {
        using var parsed = JsonDocument.Parse(Run("predict", "corridor-nine", "--json").Out);
        var circuit = parsed.RootElement.EnumerateArray().Single(c => c.GetProperty("circuit").GetString() == "supply");
        // An open winding is no number of ohms.
        var cold = parsed.RootElement.EnumerateArray().Single(c => c.GetProperty("circuit").GetString() == "supply-cold");
        Assert.Equal("Infinity", cold.GetProperty("states").EnumerateArray().Single(s => s.GetProperty("words").GetString() == "primary open").GetProperty("readings")[0].GetProperty("mean").GetString());
        var dry = circuit.GetProperty("states").EnumerateArray().Single(s => s.GetProperty("words").GetString() == "reservoir dry");
        // I/(2fC) with 0.25 A, 60 Hz and 308 µF bounds the ripple at 6.8 Vpp (common practice, no source).
        Assert.InRange(dry.GetProperty("readings").EnumerateArray().Single(r => r.GetProperty("point").GetString() == "raw-ripple").GetProperty("mean").GetDouble(), 3, 6.8);
        var (code, text, _) = Run("predict", "corridor-nine", "--foreign", "24 V AC 2 ohm", "--between", "door-1");
        Assert.Equal(0, code);
        Assert.Contains("Intercom board: door input", text.ReplaceLineEndings(" "));
        Assert.Contains("Never make such a connection to try it", text);
        var wrong = Run("predict", "corridor-nine", "--foreign", "24 AC", "--between", "door-1");
        Assert.Equal(2, wrong.Code);
        OneLine(wrong.Error);
        Assert.Contains("terminals are ac-in, door-1, door-2", Run("predict", "corridor-nine", "--foreign", "usual", "--between", "x").Error);
        Assert.Equal(1, Run("predict", "no-such-sheet").Code);
    }

    [Fact]
    public void Weigh_names_the_reservoir_of_the_humming_set_in_words_and_in_json()
    {
        var (code, text, _) = Run("weigh", "demo-3", "--data", demo.Shop);
        Assert.Equal(0, code);
        Assert.Contains("reservoir dry", text);
        Assert.Contains("Advice: mend now", text);
        var json = Run("weigh", "demo-3", "--data", demo.Shop, "--json");
        using var parsed = JsonDocument.Parse(json.Out);
        Assert.Equal("demo-3-supply", parsed.RootElement.GetProperty("suspects")[0].GetProperty("key").GetString());
    }

    [Fact]
    public void Every_field_of_the_json_is_named_in_the_document_and_none_is_nameless()
    {
        using var advice = JsonDocument.Parse(Run("weigh", "demo-3", "--data", demo.Shop, "--json").Out);
        var document = File.ReadAllText(Path.Combine(ArrowTests.Root, "docs", "cli.md"));
        Assert.DoesNotContain(Names(advice.RootElement).Distinct(), n => n.StartsWith("item", StringComparison.Ordinal) || !document.Contains($"`{n}`", StringComparison.Ordinal));

        // The keys of throws are the sheet's own names.
        static IEnumerable<string> Names(JsonElement e) => e.ValueKind switch
        {
            JsonValueKind.Object => e.EnumerateObject().SelectMany(p => (string[])[p.Name, .. p.Name == "throws" ? [] : Names(p.Value)]),
            JsonValueKind.Array => e.EnumerateArray().SelectMany(Names),
            _ => [],
        };
    }

    [Fact]
    public void Quote_prints_ordered_quantiles_and_lines_that_add_up_and_the_document_names_each_figure()
    {
        var (code, text, _) = Run("quote", "demo-3", "--data", demo.Shop);
        Assert.Equal(0, code);
        Assert.All(["mean", "P10", "P90", "Flat price", "Ceiling", "The owner's word"], s => Assert.Contains(s, text));
        using var parsed = JsonDocument.Parse(Run("quote", "demo-3", "--data", demo.Shop, "--json").Out);
        var quote = parsed.RootElement;
        decimal Of(string name) => quote.GetProperty(name).GetDecimal();
        Assert.True(Of("p10") <= Of("p50") && Of("p50") <= Of("p90") && Of("spent") <= Of("p10"));
        Assert.InRange(Of("mean"), Of("spent"), Of("p90") * 10);
        Assert.Equal(Of("flat"), quote.GetProperty("lines").EnumerateArray().Sum(l => l.GetProperty("amount").GetDecimal()));
        Assert.True(Of("ceiling") >= Of("flat"));
        var document = File.ReadAllText(Path.Combine(ArrowTests.Root, "docs", "cli.md"));
        Assert.All(Names(quote).Distinct(), n => Assert.Contains($"`{n}`", document));

        var refused = Run("quote", "no-such-job", "--data", demo.Shop);
        Assert.Equal(1, refused.Code);
        Assert.Contains("demo-3", refused.Error);
        OneLine(refused.Error);
        Assert.Equal(1, Run("quote", "demo-3", "--data", Path.Combine(demo.Folder, "none.db")).Code);

        static IEnumerable<string> Names(JsonElement e) => e.ValueKind switch
        {
            JsonValueKind.Object => e.EnumerateObject().SelectMany(p => (string[])[p.Name, .. Names(p.Value)]),
            JsonValueKind.Array => e.EnumerateArray().SelectMany(Names),
            _ => [],
        };
    }

    [Fact]
    public void Text_into_a_pipe_keeps_to_eighty_columns()
    {
        var lines = Run("weigh", "demo-3", "--data", demo.Shop).Out.Split('\n');
        Assert.All(lines, l => Assert.True(l.Length <= 80, l));
        Assert.Contains(lines, l => l.StartsWith("         ", StringComparison.Ordinal) || l.StartsWith("    ", StringComparison.Ordinal));
    }

    [Fact]
    public void The_case_file_of_the_document_is_weighed_by_the_command_of_the_document()
    {
        var text = File.ReadAllText(Path.Combine(ArrowTests.Root, "docs", "case-file.md")).Split("```json")[1].Split("```")[0];
        var file = Path.Combine(demo.Folder, "case-of-document.json");
        File.WriteAllText(file, text);
        var (code, output, error) = Run("weigh", file);
        Assert.Equal((0, ""), (code, error));
        Assert.Contains("Suspects", output);
    }

    [Fact]
    public void A_set_that_is_not_here_is_asked_about_and_packed_from_afar()
    {
        var file = Path.Combine(demo.Folder, "afar.json");
        File.WriteAllText(file, """
            {"job": "j", "acts": [
              {"kind": "job-opened", "act": {"job": "j", "owner": {"ref": "none"}, "sheetId": "corridor-nine", "outline": {"era": "microprocessor", "feed": "transformer", "rooms": 3, "doors": 2, "has": []}}},
              {"kind": "owner-told", "act": {"job": "j", "check": "fn-am", "outcome": "dead"}}]}
            """);
        var (code, output, error) = Run("weigh", file, "--ahead", "0");
        Assert.Equal((0, ""), (code, error));
        Assert.Contains("Ask the owner", output);
        Assert.Contains("that nothing needs to travel", output);
        using var advice = JsonDocument.Parse(Run("weigh", file, "--ahead", "0", "--json").Out);
        var afar = advice.RootElement.GetProperty("afar");
        Assert.NotEqual(0, afar.GetProperty("questions").GetArrayLength());
        Assert.Contains(afar.GetProperty("send").EnumerateArray(), l => l.GetProperty("send").GetBoolean());
        Assert.InRange(afar.GetProperty("noParcel").GetDouble(), 0, 1);
        // What stands on the bench is no longer told from afar.
        using var here = JsonDocument.Parse(Run("weigh", "demo-3", "--data", demo.Shop, "--ahead", "0", "--json").Out);
        Assert.False(here.RootElement.TryGetProperty("afar", out _));
    }

    [Fact]
    public void An_owner_is_forgotten_for_good_and_the_hashes_hold()
    {
        var mine = Path.Combine(demo.Folder, "forget.db");
        Assert.Equal(0, Run("demo", "--fill-only", "--data", mine).Code);
        Assert.Contains("Ida Falkenrath", Run("tape", "show", "demo-3", "--data", mine).Out);
        Assert.Equal(2, Run("forget", "demo-3", "--data", mine).Code);
        Assert.Equal(1, Run("forget", "no-such-job", "--data", mine, "--yes").Code);
        Assert.Equal(0, Run("forget", "demo-3", "--data", mine, "--yes").Code);
        Assert.DoesNotContain("Ida Falkenrath", Run("tape", "show", "demo-3", "--data", mine).Out);
        Assert.Equal(0, Run("verify", "--data", mine).Code);
    }

    [Fact]
    public void A_tape_goes_out_and_into_another_shop()
    {
        var file = Path.Combine(demo.Folder, "hum.tape");
        Assert.Equal(0, Run("tape", "export", "demo-3", file, "--data", demo.Shop).Code);
        var other = Path.Combine(demo.Folder, "other.db");
        var (code, text, error) = Run("tape", "import", file, "--data", other);
        Assert.True(code == 0, error);
        Assert.Contains("entries imported", text);
        Assert.Contains("3.9 Vpp", Run("tape", "show", "demo-3", "--data", other).Out);
        Assert.Equal(1, Run("tape", "import", file, "--data", other).Code);
    }

    [Fact]
    public void A_backup_restores()
    {
        var zip = Path.Combine(demo.Folder, "backup.zip");
        Assert.Equal(0, Run("backup", zip, "--data", demo.Shop).Code);
        var back = Path.Combine(demo.Folder, "back.db");
        Assert.Equal(0, Run("restore", zip, "--data", back).Code);
        Assert.Equal(Run("verify", "--data", demo.Shop).Out, Run("verify", "--data", back).Out);
        Assert.Equal(1, Run("restore", zip, "--data", back).Code);
    }

    [Fact]
    public void A_sheet_with_slips_is_bad_input_and_each_slip_is_located()
    {
        var sheet = Path.Combine(demo.Folder, "slip.yaml");
        var good = File.ReadAllText(Path.Combine(ArrowTests.Root, "sheets", "corridor-nine.yaml"));
        File.WriteAllText(sheet, good.Replace("dead when transformer.primary open", "dead when transformer.primari open"));
        var (code, text, error) = Run("sheet", "check", sheet);
        Assert.Equal(2, code);
        Assert.Matches(@"slip\.yaml:\d+:\d+: .*primari.*primary", text);
        OneLine(error);
        Assert.Equal(0, Run("sheet", "check", Path.Combine(ArrowTests.Root, "sheets", "corridor-nine.yaml"), Path.Combine(ArrowTests.Root, "sheets", "unknown-set.yaml")).Code);
    }

    [Theory]
    [InlineData(1, "weigh", "no-such-job")]
    [InlineData(1, "tape", "show", "no-such-job")]
    [InlineData(1, "sheet", "check", "/no/such/file.yaml")]
    public void What_is_not_there_is_said_in_one_line(int code, params string[] args)
    {
        var answer = Run(args[0] == "sheet" ? args : [.. args, "--data", demo.Shop]);
        Assert.Equal(code, answer.Code);
        OneLine(answer.Error);
    }

    [Fact]
    public void A_broken_case_file_is_bad_input_and_says_where()
    {
        var file = Path.Combine(demo.Folder, "case.json");
        File.WriteAllText(file, """{"job":"J","acts":[{"kind":"owner-told","act":{"job":"J","check":"x","outcome":"y"}}]}""");
        var (code, _, error) = Run("weigh", file);
        Assert.Equal(2, code);
        Assert.Contains("acts[0]", error);
        OneLine(error);
    }

    [Theory]
    [InlineData("serve", "--port", "abc")]
    [InlineData("serve", "--port", "70000")]
    [InlineData("weigh")]
    [InlineData("no-such-command")]
    public void Wrong_words_are_bad_input_said_in_one_line(params string[] args)
    {
        var (code, output, error) = Run(args);
        Assert.Equal((2, ""), (code, output));
        OneLine(error);
    }

    [Fact]
    public void A_damaged_tape_is_bad_input_and_makes_no_shop()
    {
        var file = Path.Combine(demo.Folder, "damaged.tape");
        File.WriteAllText(file, "not a tape");
        var into = Path.Combine(demo.Folder, "never.db");
        Assert.Equal(2, Run("tape", "import", file, "--data", into).Code);
        Assert.False(File.Exists(into));
    }

    [Fact]
    public void A_case_of_an_unknown_sheet_is_bad_input()
    {
        var file = Path.Combine(demo.Folder, "unknown.json");
        File.WriteAllText(file, """{"job":"J","acts":[{"kind":"job-opened","act":{"job":"J","owner":{"ref":"x"},"sheetId":"corridor-nin","outline":{"era":"unknown","feed":"unknown","rooms":1,"doors":0,"has":[]}}}]}""");
        var (code, _, error) = Run("weigh", file);
        Assert.Equal(2, code);
        Assert.Contains("corridor-nine", error);
    }

    /// <summary>Every command the documents show is one the program has.</summary>
    [Theory]
    [InlineData("README.md")]
    [InlineData("docs/cli.md")]
    public void The_commands_in_the_documents_exist(string document)
    {
        var shown = File.ReadAllLines(Path.Combine(ArrowTests.Root, document)).Select(l => l.Trim().Trim('`')).Where(l => l.StartsWith("./bellwire ", StringComparison.Ordinal))
            .Select(l => l["./bellwire ".Length..].Split('#', '`')[0].Trim().Split(' ', StringSplitOptions.RemoveEmptyEntries)).ToList();
        Assert.NotEmpty(shown);
        foreach (var words in shown.Where(w => w[0] != "--help"))
        {
            string[] command = words[0] is "tape" or "sheet" ? words[..2] : words[..1];
            Assert.Equal(0, Run([.. command, "--help"]).Code);
        }
    }
}
