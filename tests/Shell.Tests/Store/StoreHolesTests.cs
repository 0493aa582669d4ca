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
    public async Task A_tape_comes_over_with_both_its_times()
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

    private bool OnDisk(string word) => Directory.EnumerateFiles(folder, "shop.db*").Any(f => System.Text.Encoding.Latin1.GetString(File.ReadAllBytes(f)).Contains(word, StringComparison.Ordinal));

    [Fact]
    public void A_tombstone_erases_whoever_records_it()
    {
        using (var shop = Filled(Db)) Must(shop.Record(new("e3", new Forgotten("owner:J1"))));
        Assert.False(OnDisk("Quillon"));
        Assert.False(OnDisk("burnt toast"));
    }

    [Fact]
    public void An_erasure_that_a_reader_held_up_is_said_and_finished_at_the_next_opening()
    {
        using (var shop = Filled(Db))
        {
            using var other = new SqliteConnection($"Data Source={Db};Pooling=False");
            other.Open();
            using var reading = other.BeginTransaction(deferred: true);
            using var look = other.CreateCommand();
            look.CommandText = "SELECT count(*) FROM chain";
            look.ExecuteScalar();
            Must(shop.Forget("e3", "owner:J1"));
            Assert.True(shop.ErasurePending);
            Assert.Contains(shop.Verify().Complaints, c => c.Contains("erasure", StringComparison.Ordinal));
            Assert.Null(shop.Read(new("note")));
            Assert.True(OnDisk("burnt toast"));
        }
        using (var shop = Shop.Open(Db, TimeProvider.System)) Assert.Empty(shop.Verify().Complaints);
        Assert.False(OnDisk("burnt toast"));
    }

    [Fact]
    public async Task A_late_entry_whose_anchor_stayed_behind_comes_over_in_its_place()
    {
        using var shop = Filled(Db);
        Must(shop.Record(new("x", new JobOpened("J2", new("name2"), null, null, new("1960s", "24 V", 3, 1, [])))));
        Must(shop.Record(new("e4", new Noted("J1", new("last")))));
        Must(shop.Record(new("e5", new Noted("J1", new("late")), After: 3)));
        using var tape = new MemoryStream();
        TapeFile.Export(shop, "J1", tape);
        using var other = Shop.Open(Path.Combine(folder, "other.db"), TimeProvider.System);
        tape.Position = 0;
        await TapeFile.Import(other, tape, TestContext.Current.CancellationToken);
        Assert.Equal(["e1", "e2", "e5", "e4"], other.State.TapeOf("J1").Select(e => e.Id));
        Assert.Equal(shop.State.TapeOf("J1").Select(e => e.Id), other.State.TapeOf("J1").Select(e => e.Id));
    }

    [Fact]
    public async Task A_kind_this_version_does_not_know_comes_over_to_the_letter_and_stays_on_its_tape()
    {
        // As a later Bellwire would have written it: laid down by hand, chained by hand.
        using (Filled(Db)) { }
        const string act = """{"job":"J1","wonder":[1,2]}""";
        var bytes = System.Text.Encoding.UTF8.GetBytes($$"""{"format":1,"number":3,"id":"e3","entered":"2027-01-01T00:00:00+00:00","jobs":["J1"],"entities":["job:J1"],"kind":"from-the-future","act":{{act}},"texts":[]}""");
        foreach (var (table, key) in new[] { ("chain", "number"), ("job_chain", "version") })
        {
            var previous = (byte[])Scalar($"SELECT hash FROM {table} ORDER BY {key} DESC LIMIT 1");
            var (p, b, h) = (Convert.ToHexString(previous), Convert.ToHexString(bytes), Convert.ToHexString(System.Security.Cryptography.SHA256.HashData([.. previous, .. bytes])));
            Edit(table == "chain" ? $"INSERT INTO chain VALUES (3, 'e3', x'{b}', x'{p}', x'{h}')" : $"INSERT INTO job_chain VALUES ('J1', 3, 3, x'{p}', x'{h}')");
        }
        using var shop = Shop.Open(Db, TimeProvider.System);
        Assert.Empty(shop.Verify().Complaints);
        using var tape = new MemoryStream();
        TapeFile.Export(shop, "J1", tape);
        using var other = Shop.Open(Path.Combine(folder, "other.db"), TimeProvider.System);
        tape.Position = 0;
        await TapeFile.Import(other, tape, TestContext.Current.CancellationToken);
        var entry = other.State.TapeOf("J1").Last();
        Assert.Equal(("from-the-future", act), (ActKinds.NameOf(entry.Act), ActKinds.Write(entry.Act)));
        Assert.Empty(other.Verify().Complaints);
    }

    private object Scalar(string sql)
    {
        using var db = new SqliteConnection($"Data Source={Db};Pooling=False");
        db.Open();
        using var read = db.CreateCommand();
        read.CommandText = sql;
        return read.ExecuteScalar()!;
    }
}
