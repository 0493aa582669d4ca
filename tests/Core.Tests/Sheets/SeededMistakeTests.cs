using Bellwire.Sheets;

namespace Core.Tests.Sheets;

/// <summary>Mistakes of known kind, put on a known line: the complaint must stand on that line.</summary>
public class SeededMistakeTests
{
    public static TheoryData<string, string, string> Kinds => new()
    {
        { "dead when regulator open", "dead when regulater open", "Unknown name 'regulater'" },
        { "dead when amp.chip dead", "dead when amp.chop dead", "Position 'amp' has no site 'chop'." },
        { "dead when amp.chip dead", "dead when amp.chip ded", "Unknown mode 'ded' of amp.chip. It has: good, dead." },
        { "high when regulator shorted", "hihg when regulator shorted", "Unknown state 'hihg' of signal rail. It has: good, dead, high." },
        { "as upstream rail: dead", "as upstream rial: dead", "Unknown signal 'rial'." },
        { "dead when feed off", "dead if feed off", "Expected 'when' after the state 'dead', found 'if'." },
        { "dead when feed off", "dead when feed of", "Unknown value 'of' of condition feed. It has: line, lamp, limited, off." },
        { "(8 in 10)", "(12 in 10)", "Odds out of range: 1.2. Expected more than 0 and at most 1." },
        { "source at fm", "source at fn", "Unknown throw 'fn' of selector source. It has: fm, aux." },
        { "dry: {weight: 10, ", "dry: {weight: ten, ", "Expected a number, found 'ten'." },
        { "dry: {weight: 10, ", "dry: {", "Missing key 'weight'." },
        { "mend: 25, part", "mnd: 25, part", "Unknown key 'mnd'." },
        { "age: x3", "aeg: x3", "Unknown cause 'aeg'." },
        { "age: 0.02", "age: 1.02", "Out of range: 1.02. Expected a number from 0 to below 1." },
        { "prior: 0.3", "prior: 1.3", "Out of range: 1.3. Expected a number from 0 to below 1." },
        { "states: [good, dead, high]", "states: [good, dead, high]\n    states: [good, dead]", "Key 'states' stands twice" },
        { "through: [amp]", "through: [amb]", "Unknown position 'amb'." },
        { "feeds: [amp, tuner]", "feeds: [amp, tunner]", "Unknown position 'tunner'." },
        { "quiet: {good: 0.95, dead: 1, hum: 0.1}", "quiet: {good: 0.95, ded: 1, hum: 0.1}", "Unknown state 'ded' of sound. It has: good, dead, hum." },
        { "bundle: meter", "bundle: metre", "Unknown bundle 'metre'." },
        { "with: meter", "with: metre", "Unknown instrument 'metre'." },
        { "point: rail\n", "point: rial\n", "Unknown point 'rial'." },
        { "of: rail\n", "of: rial\n", "Unknown target 'rial'." },
        { "how: measure", "how: mesure", "Unknown word 'mesure'." },
        { "powered: true", "powered: perhaps", "Expected true or false, found 'perhaps'." },
        { "high: [13, 40]", "high: [12, 40]", "The band of 'high' overlaps that of 'good'." },
        { "high: [13, 40]", "high: [40, 13]", "Expected the lower limit first, found 40 and 13." },
        { "kills amp.chip dead", "kills amp.chip burnt", "Unknown mode 'burnt' of amp.chip. It has: dead." },
        { "rail high kills", "rail hi kills", "Unknown state 'hi' of signal rail. It has: good, dead, high." },
        { "count: 6", "count: 6.5", "Expected a whole number, found 6.5." },
        { "before: fit", "before: fitting", "Unknown word 'fitting'." },
        { "era: transistor", "era: transister", "Unknown word 'transister'." },
        { "bellwire: 1", "bellwire: 3", "Format 3 is not known here; this program reads format 1." },
        { "pieces: [amp]", "pieces: [amq]", "Unknown piece 'amq'." },
        { "quantity: volt-dc", "quantity: volts", "Unknown word 'volts'." },
        { "needs: [amp, rail]", "needs: [amp, raill]", "Unknown name 'raill'" },
        { "signal: fm, ", "signal: fmm, ", "Unknown signal 'fmm'." },
        { "at: [0, 0]", "at: [0]", "Expected two numbers, column and row, found 1." },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_seeded_mistake_is_reported_on_its_line(string right, string wrong, string message)
    {
        var at = SmallSheet.Text.IndexOf(right, StringComparison.Ordinal);
        Assert.True(at >= 0, right);
        var text = SmallSheet.Text[..at] + wrong + SmallSheet.Text[(at + right.Length)..];
        var line = SmallSheet.Text[..at].Count(c => c == '\n') + 1 + wrong.TrimEnd('\n').Count(c => c == '\n');
        var complaints = SheetReader.Read(text, "seeded.yaml").Complaints;
        Assert.True(complaints.Any(c => c.Line == line && c.Message.Contains(message, StringComparison.Ordinal)),
            $"line {line}: {message}\n" + string.Join("\n", complaints.Select(c => $"{c.Line}:{c.Column} {c.Message}")));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void The_answer_to_a_mistake_stands_in_the_document(string right, string wrong, string message) =>
        Assert.True(right != wrong && Document.Value.Contains($"| {message} |", StringComparison.Ordinal), message);

    private static readonly Lazy<string> Document = new(() => File.ReadAllText(Path.Combine(ShippedFiles.Folder, "..", "docs", "sheets.md")));

    [Fact]
    public void A_loop_without_its_mark_is_reported_at_each_signal_in_it()
    {
        var text = SmallSheet.Text.Replace("- dead when feed off", "- dead when feed off or sound hum", StringComparison.Ordinal);
        var complaints = SheetReader.Read(text, "loop.yaml").Complaints;
        Assert.Equal(["signals.rail", "signals.sound"], complaints.Select(c => c.Path));
        Assert.All(complaints, c => Assert.Contains("Signals rail, sound follow from one another.", c.Message, StringComparison.Ordinal));
    }

    [Fact]
    public void A_matrix_that_does_not_add_up_is_reported_where_it_stands()
    {
        var complaint = SheetReader.Read(SmallSheet.Text.Replace("good: 0.95, dead: 1", "good: 0.9, dead: 1", StringComparison.Ordinal), "m.yaml").Complaints.Single();
        Assert.Equal("The outcomes for state 'good' add up to 0.95, not to 1.", complaint.Message);
    }

    [Fact]
    public void All_mistakes_come_at_once_with_column_and_nearest_name()
    {
        var text = SmallSheet.Text.Replace("dead when regulator open", "dead when regulater open", StringComparison.Ordinal).Replace("bundle: meter", "bundle: metre", StringComparison.Ordinal);
        var complaints = SheetReader.Read(text, "two.yaml").Complaints;
        Assert.Equal(["regulator", "meter"], complaints.Select(c => c.Nearest));
        Assert.Equal(text.Split('\n')[complaints[0].Line - 1].IndexOf("regulater", StringComparison.Ordinal) + 1, complaints[0].Column);
    }
}
