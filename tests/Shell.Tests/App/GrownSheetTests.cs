using System.Text;
using Bellwire.App.Desks;
using Bellwire.Sheets;
using Bellwire.Sheets.Growing;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Shell.Tests.App;

/// <summary>The journal names the text of a family's sheet before the file holds it: whatever a crash leaves between the two is made up for at the next opening.</summary>
public sealed class GrownSheetTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-grown-").FullName;
    private string Db => Path.Combine(folder, "shop.db");
    private string SheetFile => Path.Combine(Db + ".sheets", "lower-lane.yaml");
    private static readonly string Before = SheetGrower.NewFamily("lower-lane", "Lower Lane", new("microprocessor", "adapter", 3, 1, [])).Text!;
    private static readonly string After = Before + "\n# grown\n";

    public void Dispose() => Directory.Delete(folder, recursive: true);

    /// <summary>A shop whose journal says that the sheet grew from Before to After; the file holds what it is given.</summary>
    private async Task Crashed(string? file)
    {
        using var shop = Shop.Open(Db, TimeProvider.System);
        async Task<string> Keep(string text) => await shop.Files.Keep(new MemoryStream(Encoding.UTF8.GetBytes(text)), TestContext.Current.CancellationToken);
        var (from, to) = (await Keep(Before), await Keep(After));
        Assert.IsType<Recorded.Accepted>(shop.Record(new("e1", new JobOpened("J1", new("owner"), null, null, new("1980s", "adapter", 3, 1, [])))));
        Assert.IsType<Recorded.Accepted>(shop.Record(new("e2", new SheetGrown("J1", "lower-lane", "", from, "family", "Lower Lane"))));
        Assert.IsType<Recorded.Accepted>(shop.Record(new("e3", new SheetGrown("J1", "lower-lane", from, to, "point", "raw"))));
        if (file is null) return;
        Directory.CreateDirectory(Path.GetDirectoryName(SheetFile)!);
        File.WriteAllText(SheetFile, file);
    }

    public static TheoryData<string?, string> Files => new()
    {
        { null, After },                                    // died before the family's first file
        { Before, After },                                  // died between journal and file
        { After, After },                                   // nothing happened
        { Before + "# by hand\n", Before + "# by hand\n" }, // changed by hand: left alone
        { "no: sheet: at: all", "no: sheet: at: all" },     // spoilt by hand: still the person's own file
    };

    [Theory, MemberData(nameof(Files))]
    public async Task Opening_writes_what_the_journal_names_and_nothing_over_a_hand_made_file(string? file, string wanted)
    {
        await Crashed(file);
        using (Desk.Open(Db, TimeProvider.System)) Assert.Equal(wanted, File.ReadAllText(SheetFile));
        using (Desk.Open(Db, TimeProvider.System)) Assert.Equal(wanted, File.ReadAllText(SheetFile));
    }

    [Fact]
    public async Task A_restored_shop_has_its_own_sheets_again_and_reads_them()
    {
        await Crashed(After);
        var zip = Path.Combine(folder, "shop.zip");
        using (var shop = Shop.Open(Db, TimeProvider.System)) Archive.Backup(shop, zip);
        var again = Path.Combine(folder, "again", "shop.db");
        Archive.Restore(zip, again, TimeProvider.System);
        using var desk = Desk.Open(again, TimeProvider.System);
        Assert.Equal(After, File.ReadAllText(Path.Combine(again + ".sheets", "lower-lane.yaml")));
        Assert.Contains(desk.Sheets, s => s.Id == "lower-lane");
        Assert.Empty(desk.SheetComplaints);
    }
}
