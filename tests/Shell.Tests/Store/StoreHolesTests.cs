using Bellwire.Store;
using Bellwire.Workshop;
using Microsoft.Data.Sqlite;

namespace Shell.Tests.Store;

/// <summary>Ways in which an entry, a text or a place could slip past the store.</summary>
public sealed class StoreHolesTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-holes-").FullName;
    private string Db => Path.Combine(folder, "shop.db");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private static Recorded.Accepted Must(Recorded answer) => Assert.IsType<Recorded.Accepted>(answer);

    private static Shop Filled(string path)
    {
        var shop = Shop.Open(path, TimeProvider.System);
        Must(shop.Record(new("e1", new JobOpened("J1", new("name"), null, null, new("1990s", "24 V", 3, 1, [])), Texts: [new("name", "owner:J1", "Quillon Vantreight")])));
        Must(shop.Record(new("e2", new Noted("J1", new("note")), Texts: [new("note", "owner:J1", "smelt of burnt toast")])));
        return shop;
    }

    private void Edit(string sql)
    {
        using var db = new SqliteConnection($"Data Source={Db};Pooling=False");
        db.Open();
        using var edit = db.CreateCommand();
        edit.CommandText = sql;
        edit.ExecuteNonQuery();
    }

    [Theory]
    [InlineData("UPDATE personal SET salt = NULL, text = 'forged' WHERE ref = 'note'", "note")]
    [InlineData("UPDATE personal SET salt = NULL, text = NULL WHERE ref = 'note'", "note")]
    [InlineData("DROP TRIGGER job_chain_hold; DELETE FROM job_chain WHERE number = 2", "#2")]
    public void Verify_finds(string edit, string located)
    {
        using (Filled(Db)) { }
        Edit(edit);
        using var shop = Shop.Open(Db, TimeProvider.System);
        Assert.Contains(shop.Verify().Complaints, c => c.Contains(located, StringComparison.Ordinal));
    }

    [Fact]
    public void A_backup_is_not_laid_beside_the_log_of_another_file()
    {
        var zip = Path.Combine(folder, "b.zip");
        using (var shop = Filled(Db)) Archive.Backup(shop, zip, TestContext.Current.CancellationToken);
        var target = Path.Combine(folder, "again.db");
        File.WriteAllBytes(target + "-wal", new byte[100]);
        Assert.Contains("-wal", Assert.Throws<StoreException>(() => Archive.Restore(zip, target, TimeProvider.System)).Message);
        Assert.False(File.Exists(target));
    }

    [Fact]
    public void A_damaged_backup_leaves_nothing_behind()
    {
        var zip = Path.Combine(folder, "b.zip");
        using (var shop = Filled(Db)) Archive.Backup(shop, zip, TestContext.Current.CancellationToken);
        using (var open = System.IO.Compression.ZipFile.Open(zip, System.IO.Compression.ZipArchiveMode.Update)) open.CreateEntry("files/odd");
        var target = Path.Combine(folder, "again.db");
        Assert.Throws<StoreException>(() => Archive.Restore(zip, target, TimeProvider.System));
        Assert.False(File.Exists(target));
    }

    /// <summary>Entries written by two processes' worth of connections, from four threads: each once, gapless, verified.</summary>
    [Fact]
    public async Task Two_writers_lose_nothing()
    {
        using var one = Filled(Db);
        using var two = Shop.Open(Db, TimeProvider.System);
        await Task.WhenAll(from w in Enumerable.Range(0, 4)
                           let shop = w % 2 == 0 ? one : two
                           select Task.Run(() => { for (var i = 0; i < 25; i++) Must(shop.Record(new($"w{w}-{i}", new Noted("J1", new($"w{w}-{i}"))))); }));
        Assert.Equal(102, one.Head);
        Assert.Equal(Enumerable.Range(1, 102).Select(n => (long)n), two.Entries.Select(e => e.Number));
        Assert.Equal(102, two.Entries.Select(e => e.Id).Distinct().Count());
        Assert.Empty(one.Verify().Complaints);
    }

    [Fact]
    public async Task A_tape_of_a_later_version_comes_over_with_what_is_not_understood_and_its_times()
    {
        using var shop = Filled(Db);
        Must(shop.Record(new("e3", new Noted("J1", new("n3")), Done: DateTimeOffset.UnixEpoch)));
        var was = shop.Entries[^1];
        using var tape = new MemoryStream();
        TapeFile.Export(shop, "J1", tape);
        using var other = Shop.Open(Path.Combine(folder, "other.db"), TimeProvider.System);
        tape.Position = 0;
        await TapeFile.Import(other, tape, TestContext.Current.CancellationToken);
        Assert.Equal((was.Entered, was.Done), (other.Entries[^1].Entered, other.Entries[^1].Done));
    }

    private static byte[] Segment(byte marker, byte[] body) => [0xFF, marker, (byte)((body.Length + 2) >> 8), (byte)(body.Length + 2), .. body];

    [Fact]
    public async Task What_a_telephone_hangs_on_behind_the_picture_is_dropped()
    {
        using var shop = Filled(Db);
        byte[] scan = [.. Segment(0xDA, [1, 2, 3]), 10, 0xFF, 0x00, 11, 0xFF, 0xD0, 12];
        byte[] picture = [0xFF, 0xD8, .. Segment(0xE0, "JFIF"u8.ToArray()), .. scan, .. Segment(0xC4, [9]), .. scan, 0xFF, 0xD9];
        byte[] sent = [.. picture, 0xFF, 0xD8, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), 0xFF, 0xD9, .. "moov xyz+60+25"u8];
        var hash = await shop.Files.Keep(new MemoryStream(sent), TestContext.Current.CancellationToken);
        using var kept = new MemoryStream();
        using (var file = shop.Files.Open(hash)!) file.CopyTo(kept);
        Assert.Equal(picture, kept.ToArray());
    }

    [Fact]
    public async Task Fill_bytes_before_a_marker_hide_no_place()
    {
        using var shop = Filled(Db);
        byte[] sent = [0xFF, 0xD8, 0xFF, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), .. Segment(0xDA, [1]), 7, 0xFF, 0xD9];
        var hash = await shop.Files.Keep(new MemoryStream(sent), TestContext.Current.CancellationToken);
        using var kept = new MemoryStream();
        using (var file = shop.Files.Open(hash)!) file.CopyTo(kept);
        Assert.DoesNotContain("GPS", System.Text.Encoding.Latin1.GetString(kept.ToArray()));
    }

    [Fact]
    public async Task A_picture_that_cannot_be_read_is_not_kept_with_its_place()
    {
        using var shop = Filled(Db);
        byte[] sent = [0xFF, 0xD8, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), 0xFF, 0xE2, 0xFF, 0xFF, 1];
        await Assert.ThrowsAsync<StoreException>(() => shop.Files.Keep(new MemoryStream(sent), TestContext.Current.CancellationToken));
        Assert.Empty(shop.Files.All());
    }
}
