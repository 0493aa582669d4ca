using Bellwire.Sheets;

namespace Core.Tests.Sheets;

/// <summary>What a check says of recordings: <c>ear</c>, <c>hears</c>, <c>limits</c>. A complaint stands at the file, line and column of the word it is about.</summary>
public class EarPartTests
{
    private const string Ripple = "ear: hum, hears: {none: silent, ripple: humming}", Swept = "ear: response, limits: [[100, 5000, -3, 3]], hears: {within: silent}";

    /// <summary>The small sheet with one check more, and the complaints about it.</summary>
    private static (string Text, SheetResult Read) With(string part)
    {
        var text = SmallSheet.Text.Replace("\nchecks:\n", $"\nchecks:\n  recorded: {{words: Recorded, of: sound, how: listen, powered: true, minutes: 2, outcomes: {{silent: [good, dead], humming: [hum]}}, {part}}}\n", StringComparison.Ordinal);
        Assert.NotEqual(SmallSheet.Text, text);
        return (text, SheetReader.Read(text, "small.yaml"));
    }

    [Fact]
    public void What_is_right_is_read()
    {
        var check = With(Ripple).Read.Sheet!.Checks.Single(c => c.Id == "recorded");
        Assert.Equal(("hum", "humming", "silent"), (check.Ear, check.Hears["ripple"], check.Hears["none"]));
        var swept = With("ear: response, limits: [[100, 300, -6, 3], [300, 5k, -3, 2.5]], hears: {within: silent, bass-down: humming}").Read;
        Assert.True(swept.Sheet is null); // numbers are written out: 5k is none
        swept = With("ear: response, limits: [[100, 300, -6, 3], [300, 5000, -3, 2.5]], hears: {within: silent, bass-down: humming}").Read;
        Assert.Equal([new(100, 300, -6, 3), new(300, 5000, -3, 2.5)], swept.Sheet!.Checks.Single(c => c.Id == "recorded").Limits);
        var number = With("ear: crosstalk, bands: {humming: [-20, 45], silent: [45, 160]}").Read.Sheet!.Checks.Single(c => c.Id == "recorded");
        Assert.Equal(("crosstalk", (45.0, 160.0)), (number.Ear, number.Bands["silent"]));
    }

    [Theory]
    [InlineData("ear: humm, hears: {none: silent}", "humm", "Unknown measure 'humm'.", "hum")]
    [InlineData("ear: hum, hears: {none: silent, riple: humming}", "riple", "Unknown verdict 'riple' of hum. It has: none, half-missing, ripple, pick-up.", "ripple")]
    [InlineData("ear: hum, hears: {none: silent, ripple: huming}", "huming", "Unknown outcome 'huming'. There are: silent, humming.", "humming")]
    [InlineData("ear: sound, hears: {heard: silent, ripple: humming}", "ripple: humming", "Unknown verdict 'ripple' of sound. It has: heard, silent.", null)]
    [InlineData("ear: level, bands: {silent: [-90, -20]}, hears: {none: silent}", "none: silent", "The ear's 'level' is a number: 'bands' say what it means.", null)]
    [InlineData("hears: {none: silent}", "none: silent", "'hears' needs an 'ear' that ends in a word: hum, response or sound.", null)]
    [InlineData("ear: response, hears: {within: silent}", "response, hears", "A response needs 'limits' to be held against: [[from Hz, to Hz, lowest dB, highest dB], …].", null)]
    [InlineData("ear: response, limits: [[100, 5000, -3]], hears: {within: silent}", "[100, 5000, -3]", "Expected four numbers, [from Hz, to Hz, lowest dB, highest dB], found", null)]
    [InlineData("ear: response, limits: [[5000, 100, -3, 3]], hears: {within: silent}", "[5000, 100", "Expected the lower limit first, found 5000 and 100.", null)]
    [InlineData("ear: response, limits: [[100, 5000, 3, -3]], hears: {within: silent}", "[100, 5000, 3", "Expected the lower limit first, found 3 and -3.", null)]
    [InlineData("ear: response, limits: [[100, 5000, low, 3]], hears: {within: silent}", "low, 3", "Expected a number, found 'low'.", null)]
    [InlineData("ear: hum, limits: [[100, 5000, -3, 3]], hears: {none: silent}", "[[100", "'limits' belong to the ear's 'response'.", null)]
    public void A_mistake_is_told_with_file_line_column_and_the_nearest_name(string part, string at, string message, string? nearest)
    {
        var (text, read) = With(part);
        var place = text.IndexOf("  recorded:", StringComparison.Ordinal);
        place += text[place..].IndexOf(part, StringComparison.Ordinal) + part.IndexOf(at, StringComparison.Ordinal);
        var (line, column) = (text[..place].Count(c => c == '\n') + 1, place - text.LastIndexOf('\n', place));
        var complaint = Assert.Single(read.Complaints);
        Assert.Equal((line, column), (complaint.Line, complaint.Column));
        Assert.StartsWith($"small.yaml:{line}:{column}: {complaint.Path}: {message}", Assert.Single(read.Lines("small.yaml")), StringComparison.Ordinal);
        Assert.StartsWith(message, complaint.Message, StringComparison.Ordinal);
        Assert.Equal(nearest, complaint.Nearest);
        Assert.Null(read.Sheet);
    }

    [Theory]
    [InlineData("ear: hum", "The ear's 'hum' ends in a word: say by 'hears' which outcome each of none, half-missing, ripple, pick-up is.")]
    [InlineData("ear: note", "The ear's 'note' is a number: say by 'bands' what it means.")]
    public void What_is_left_out_is_told_at_the_check(string part, string message)
    {
        var (text, read) = With(part);
        var complaint = Assert.Single(read.Complaints);
        Assert.Equal((text[..text.IndexOf("  recorded:", StringComparison.Ordinal)].Count(c => c == '\n') + 1, 3, message), (complaint.Line, complaint.Column, complaint.Message));
    }

    [Fact]
    public void The_lines_this_rests_on_are_right() => Assert.All(new[] { Ripple, Swept }, part => Assert.Empty(With(part).Read.Complaints));
}
