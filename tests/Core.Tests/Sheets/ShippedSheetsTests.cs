using Bellwire.Sheets;

namespace Core.Tests.Sheets;

public class ShippedSheetsTests
{
    public static string Folder { get; } = Find();

    public static TheoryData<string> Files => [.. Directory.EnumerateFiles(Folder, "*.yaml").Select(f => Path.GetFileName(f)!)];

    [Theory]
    [MemberData(nameof(Files))]
    public void A_shipped_sheet_reads_without_a_complaint(string file)
    {
        var result = SheetReader.Read(File.ReadAllText(Path.Combine(Folder, file)), file);
        Assert.True(result.IsGood, string.Join("\n", result.Lines(file)));
    }

    [Theory]
    [InlineData("tube", "line-direct", 0, 0, new string[0])]
    [InlineData("transistor", "transformer", 8, 2, new[] { "tuner" })]
    [InlineData("cassette", "transformer", 6, 1, new[] { "tuner", "cassette", "clock", "chime" })]
    [InlineData("unknown", "unknown", 1, 1, new[] { "chime" })]
    public void The_block_model_is_cut_to_what_an_owner_can_tell(string era, string feed, int rooms, int doors, string[] has)
    {
        var result = SheetReader.Read(File.ReadAllText(Path.Combine(Folder, "unknown-set.yaml")), "unknown-set.yaml", new Outline(era, feed, rooms, doors, [.. has]));
        Assert.True(result.IsGood, string.Join("\n", result.Lines("unknown-set.yaml")));
        Assert.Equal(rooms, result.Sheet.Positions.Count(p => p.Kind == "station"));
        Assert.Equal(has.Contains("tuner"), result.Sheet.Positions.Any(p => p.Kind == "tuner"));
    }

    public static TypeSheet Read(string id) =>
        SheetReader.Read(File.ReadAllText(Path.Combine(Folder, id + ".yaml")), id + ".yaml").Sheet ?? throw new InvalidOperationException($"{id} does not read.");

    private static string Find()
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return Path.Combine(at!.FullName, "sheets");
    }
}
