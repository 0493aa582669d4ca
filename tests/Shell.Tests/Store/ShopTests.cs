using System.Collections.Immutable;
using System.Text;
using Bellwire.Store;
using Bellwire.Workshop;
using Microsoft.Data.Sqlite;

namespace Shell.Tests.Store;

public sealed class ShopTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-").FullName;
    private string Db => Path.Combine(folder, "shop.db");
    private static readonly SetOutline Outline = new("1990s", "24 V centre-tapped", 3, 1, ["tuner"]);

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private static void Must(Recorded answer) => Assert.IsType<Recorded.Accepted>(answer);

    private static Shop Filled(string path)
    {
        var shop = Shop.Open(path, TimeProvider.System);
        Must(shop.Record(new("e1", new JobOpened("J1", new("owner-name"), null, null, Outline), Texts: [new("owner-name", "owner:J1", "Quillon Vantreight of the long hill")])));
        Must(shop.Record(new("e2", new PieceRecorded("amp1", "amplifier", "Amplifier", "owner:J1", "J1", "bench", null, null))));
        Must(shop.Record(new("e3", new Noted("J1", new("note-1")), Texts: [new("note-1", "owner:J1", "smelt of burnt toast")])));
        return shop;
    }

    [Fact]
    public void What_was_recorded_is_there_after_reopening_and_verifies()
    {
        using (Filled(Db)) { }
        using var shop = Shop.Open(Db, TimeProvider.System);
        Assert.Equal(3, shop.Head);
        Assert.Equal("smelt of burnt toast", shop.Read(new("note-1")));
        Assert.Equal("amplifier", shop.State.Pieces["amp1"].Kind);
        Assert.Empty(shop.Verify().Complaints);
    }

    [Fact]
    public void The_same_entry_twice_is_recorded_once()
    {
        using var shop = Filled(Db);
        var again = Assert.IsType<Recorded.Accepted>(shop.Record(new("e2", new PieceRecorded("amp1", "amplifier", "Amplifier", "owner:J1", "J1", "bench", null, null))));
        Assert.Equal(2, again.Entry.Number);
        Assert.Equal(3, shop.Head);
    }

    [Fact]
    public void All_or_none()
    {
        using var shop = Filled(Db);
        var answers = shop.RecordAll([new("e4", new Noted("J1", new("n2"))), new("e5", new PieceMoved("nothing", "shelf"))]);
        Assert.Contains("no piece nothing", Assert.IsType<Recorded.Refused>(Assert.Single(answers)).Why);
        Assert.Equal(3, shop.Head);
        Assert.Empty(shop.Verify().Complaints);
    }

    [Fact]
    public void The_chain_refuses_to_be_edited_and_an_edit_past_the_guard_is_found()
    {
        using (Filled(Db)) { }
        using (var db = new SqliteConnection($"Data Source={Db};Pooling=False"))
        {
            db.Open();
            using var edit = db.CreateCommand();
            edit.CommandText = "UPDATE chain SET bytes = x'00' WHERE number = 2";
            Assert.Equal(19, Assert.Throws<SqliteException>(() => edit.ExecuteNonQuery()).SqliteErrorCode);
            edit.CommandText = "DROP TRIGGER chain_keep; UPDATE chain SET bytes = CAST(replace(CAST(bytes AS TEXT), 'Amplifier', 'Amplifief') AS BLOB) WHERE number = 2";
            edit.ExecuteNonQuery();
        }
        using var shop = Shop.Open(Db, TimeProvider.System);
        Assert.Contains(shop.Verify().Complaints, c => c.StartsWith("#2", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Forgetting_leaves_no_byte_and_a_chain_that_verifies()
    {
        using (var shop = Filled(Db))
        {
            var photo = await shop.Files.Keep(new MemoryStream("picture of the long hill"u8.ToArray()), TestContext.Current.CancellationToken);
            Must(shop.Record(new("e4", new Photographed("J1", null, photo, "image/png", null))));
            Must(shop.Forget("e5", "owner:J1"));
            Assert.Null(shop.Read(new("owner-name")));
            Assert.Null(shop.Files.Open(photo));
            Assert.Empty(shop.Verify().Complaints);
        }
        foreach (var file in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories))
            foreach (var word in new[] { "Quillon", "burnt toast", "long hill" })
                Assert.DoesNotContain(word, Encoding.Latin1.GetString(File.ReadAllBytes(file)));
    }

    [Fact]
    public void A_newer_file_is_refused_in_plain_words()
    {
        using (Filled(Db)) { }
        using (var db = new SqliteConnection($"Data Source={Db};Pooling=False"))
        {
            db.Open();
            using var c = db.CreateCommand();
            c.CommandText = "PRAGMA user_version=99";
            c.ExecuteNonQuery();
        }
        Assert.Contains("newer Bellwire", Assert.Throws<StoreException>(() => Shop.Open(Db, TimeProvider.System)).Message);
    }

    [Fact]
    public void Something_else_is_not_taken_for_a_shop()
    {
        File.WriteAllText(Db, new string('x', 4096));
        Assert.Contains("not a Bellwire shop file", Assert.Throws<StoreException>(() => Shop.Open(Db, TimeProvider.System)).Message);
    }

    [Fact]
    public async Task A_backup_taken_while_entries_arrive_restores_to_a_shop_that_verifies()
    {
        using var shop = Filled(Db);
        await shop.Files.Keep(new MemoryStream([1, 2, 3]), TestContext.Current.CancellationToken);
        var writing = Task.Run(() => { for (var i = 0; i < 40; i++) Must(shop.Record(new($"w{i}", new Noted("J1", new($"w{i}")), Texts: [new($"w{i}", "owner:J1", "x")]))); });
        var zip = Path.Combine(folder, "backup.zip");
        Archive.Backup(shop, zip, TestContext.Current.CancellationToken);
        await writing;
        var restored = Archive.Restore(zip, Path.Combine(folder, "again", "shop.db"), TimeProvider.System);
        Assert.InRange(restored.Entries, 3, 43);
        Assert.Throws<StoreException>(() => Archive.Backup(shop, zip, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_tape_goes_to_another_shop_without_loss_and_a_changed_one_is_refused()
    {
        using var shop = Filled(Db);
        Must(shop.Record(new("e4", new PieceRecorded("ampS", "amplifier", "Amplifier", Party.Shop, null, "shelf", null, null, true))));
        Must(shop.Record(new("e5", new SystemSetUp("set1", "J1", null, ImmutableDictionary<string, string>.Empty))));
        Must(shop.Record(new("e6", new Fitted("J1", "ampS", "set1", "amplifier"))));
        Must(shop.Record(new("e7", new Noted("J1", new("late")), After: 2, Texts: [new("late", "owner:J1", "said before")])));
        using var tape = new MemoryStream();
        TapeFile.Export(shop, "J1", tape);

        using var other = Shop.Open(Path.Combine(folder, "other.db"), TimeProvider.System);
        Must(other.Record(new("z1", new PieceRecorded("zz", "tuner", "Tuner", Party.Shop, null, "shelf", null, null))));
        tape.Position = 0;
        await TapeFile.Import(other, tape, TestContext.Current.CancellationToken);
        Assert.Equal(shop.State.TapeOf("J1").Select(e => (e.Id, ActKinds.Write(e.Act))), other.State.TapeOf("J1").Select(e => (e.Id, ActKinds.Write(e.Act))));
        Assert.Equal("said before", other.Read(new("late")));
        Assert.Empty(other.Verify().Complaints);

        tape.Position = 0;
        Assert.Contains("already", (await Assert.ThrowsAsync<StoreException>(() => TapeFile.Import(other, tape, TestContext.Current.CancellationToken))).Message);
        var cut = new MemoryStream(tape.ToArray()[..^40]);
        await Assert.ThrowsAsync<StoreException>(() => TapeFile.Import(other, cut, TestContext.Current.CancellationToken));
    }
}
