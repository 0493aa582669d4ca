using System.IO.Compression;
using Bellwire.Store;

namespace Shell.Tests.Store;

/// <summary>Reckoned tables beside the shop file: a help that may be lost at any time.</summary>
public sealed class TableFolderTests : IDisposable
{
    private readonly string root = Directory.CreateTempSubdirectory("bellwire-tables").FullName;
    private string Shelf => Path.Combine(root, "shop.db.cache");

    public void Dispose() => Directory.Delete(root, recursive: true);

    private sealed class Clock : TimeProvider
    {
        public DateTimeOffset Now { get; set; } = new(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);
        public override DateTimeOffset GetUtcNow() => Now += TimeSpan.FromSeconds(2);
    }

    private static string Name(int k) => k.ToString("X64", System.Globalization.CultureInfo.InvariantCulture);

    private TableFolder Open(long most = 1000, Clock? clock = null) => new(Shelf, clock ?? new Clock(), most);

    [Fact]
    public void What_was_laid_is_there_for_the_next_run_and_nothing_half_written_is_left()
    {
        Assert.Null(Open().Take(Name(1)));
        Assert.False(Directory.Exists(Shelf)); // asking makes nothing
        Open().Lay(Name(1), [1, 2, 3]);
        Open().Lay(Name(1), [4, 5]);
        Assert.Equal([4, 5], Open().Take(Name(1)));
        Assert.Equal([Name(1) + ".table"], Directory.EnumerateFiles(Shelf).Select(Path.GetFileName));
    }

    [Fact]
    public void It_stays_within_its_bytes_and_the_longest_unused_go_first()
    {
        var clock = new Clock();
        var shelf = Open(most: 100, clock);
        for (var k = 1; k <= 3; k++) shelf.Lay(Name(k), new byte[30]);
        Assert.NotNull(shelf.Take(Name(1))); // used again: the second is now the longest unused
        shelf.Lay(Name(4), new byte[30]);
        Assert.Equal([true, false, true, true], Enumerable.Range(1, 4).Select(k => shelf.Take(Name(k)) is not null));
        shelf.Lay(Name(5), new byte[101]); // larger than all of it
        Assert.Null(shelf.Take(Name(5)));
        Assert.True(Directory.EnumerateFiles(Shelf).Sum(f => new FileInfo(f).Length) <= 100);
    }

    [Fact]
    public void What_a_run_that_was_killed_left_goes_after_a_day_and_other_files_stay()
    {
        var clock = new Clock();
        Directory.CreateDirectory(Shelf);
        foreach (var (file, age) in new[] { ("old.new", 25), ("young.new", 1), ("note.txt", 99) })
        {
            File.WriteAllText(Path.Combine(Shelf, file), "x");
            File.SetLastWriteTimeUtc(Path.Combine(Shelf, file), clock.Now.UtcDateTime.AddHours(-age));
        }
        Open(clock: clock).Lay(Name(1), [1]);
        Assert.Equal([Name(1) + ".table", "note.txt", "young.new"], Directory.EnumerateFiles(Shelf).Select(Path.GetFileName).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_place_that_cannot_be_written_or_read_only_costs_time()
    {
        File.WriteAllText(Shelf, "a file where the folder should be");
        var shelf = Open();
        shelf.Lay(Name(1), [1]);
        Assert.Null(shelf.Take(Name(1)));
        Assert.Equal("a file where the folder should be", File.ReadAllText(Shelf));
        Assert.Throws<ArgumentException>(() => shelf.Take("../shop"));
    }

    [Fact]
    public void It_is_in_no_backup()
    {
        var data = Path.Combine(root, "shop.db");
        using var shop = Shop.Open(data, TimeProvider.System);
        TableFolder.Beside(data, TimeProvider.System).Lay(Name(1), [1, 2, 3]);
        Assert.True(Directory.Exists(Shelf));
        var zip = Path.Combine(root, "backup.zip");
        Archive.Backup(shop, zip, TestContext.Current.CancellationToken);
        using var opened = ZipFile.OpenRead(zip);
        Assert.DoesNotContain(opened.Entries, e => e.FullName.Contains("table", StringComparison.OrdinalIgnoreCase) || e.FullName.Contains("cache", StringComparison.OrdinalIgnoreCase));
        Assert.Contains(opened.Entries, e => e.FullName == "shop.db");
    }
}
