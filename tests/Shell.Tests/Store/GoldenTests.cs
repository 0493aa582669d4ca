using System.Security.Cryptography;
using System.Text.Json.Nodes;
using Bellwire.Store;
using Bellwire.Workshop;
using Microsoft.Data.Sqlite;

namespace Shell.Tests.Store;

/// <summary>A journal of format 1 as it was written in 2026, every kind of entry in it: it must read, verify and mean the same for ever.
/// The golden file is never written again; a new format gets a new file.</summary>
public sealed class GoldenTests : IDisposable
{
    private const string Head = "c56f9f9d31bb9f1a57de82c39a787d31527c540a62fc25824b86bf4eaa6d7b5d";
    private const string HeadOfJ1 = "51ef8955d16622653a1e2193689133867a7a50c0161282abb63406e52000ae46";
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-golden-").FullName;
    private static readonly List<byte[]> Lines = [.. File.ReadAllLines(Path.Combine(ArrowTests.Root, "tests", "Shell.Tests", "Store", "golden", "format-1.jsonl")).Select(System.Text.Encoding.UTF8.GetBytes)];

    public void Dispose() => Directory.Delete(folder, recursive: true);

    /// <summary>Lays the stored bytes into an empty shop, chaining them here by the documented rule: SHA-256(previous ‖ bytes).</summary>
    private Shop LaidDown()
    {
        var path = Path.Combine(folder, "shop.db");
        using (Shop.Open(path, TimeProvider.System)) { }
        using (var db = new SqliteConnection($"Data Source={path};Pooling=False"))
        {
            db.Open();
            using var all = db.BeginTransaction();
            void Run(string sql, params (string Name, object Value)[] with)
            {
                using var command = db.CreateCommand();
                command.CommandText = sql;
                foreach (var (name, value) in with) command.Parameters.AddWithValue(name, value);
                command.ExecuteNonQuery();
            }
            var (shop, job, version) = (new byte[32], new byte[32], 0L);
            foreach (var bytes in Lines)
            {
                var entry = JsonNode.Parse(bytes)!;
                var number = (long)entry["number"]!;
                var hash = SHA256.HashData([.. shop, .. bytes]);
                Run("INSERT INTO chain VALUES (@n, @id, @b, @p, @h)", ("@n", number), ("@id", (string)entry["id"]!), ("@b", bytes), ("@p", shop), ("@h", hash));
                shop = hash;
                foreach (var text in entry["texts"]!.AsArray()) Run("INSERT INTO personal VALUES (@r, @p, NULL, NULL)", ("@r", (string)text!["ref"]!), ("@p", (string)text["party"]!));
                if (!entry["jobs"]!.AsArray().Any(j => (string)j! == "J1")) continue;
                hash = SHA256.HashData([.. job, .. bytes]);
                Run("INSERT INTO job_chain VALUES ('J1', @v, @n, @p, @h)", ("@v", ++version), ("@n", number), ("@p", job), ("@h", hash));
                job = hash;
            }
            Assert.Equal((Head, HeadOfJ1), (Convert.ToHexStringLower(shop), Convert.ToHexStringLower(job)));
            all.Commit();
        }
        return Shop.Open(path, TimeProvider.System);
    }

    [Fact]
    public void Format_1_reads_verifies_and_means_what_it_meant()
    {
        using var shop = LaidDown();
        var verified = shop.Verify();
        Assert.Empty(verified.Complaints);
        Assert.Equal((43, Head), (verified.Entries, verified.Head));

        var state = shop.State;
        Assert.Equal(Whereabouts.In("set1", "amplifier"), state.Pieces["amp1"].Where);
        Assert.True(state.Pieces["amp1"].Packed);
        Assert.Equal((Party.Shop, Whereabouts.At("shelf")), (state.Pieces["sup1"].Owner, state.Pieces["sup1"].Where));
        Assert.Null(state.Pieces["ampS"].LentTo); // the loan was struck
        Assert.Equal(new HardwareState("M3 screw", 6, 8, 5, "one sheared off"), state.Jobs["J1"].Hardware["M3 screw"]);
        Assert.Equal((true, "mended", 26.0), (state.Jobs["J1"].CartonClosed, state.Jobs["J1"].Ending, state.Jobs["J1"].Minutes));
        Assert.Equal(["g16", "g28", "g17"], state.TapeOf("J1").Select(e => e.Id).SkipWhile(id => id != "g16").Take(3)); // the late note
        Assert.Equal(double.PositiveInfinity, state.Effective.Select(e => e.Act).OfType<ReadingTaken>().Single().Value);
    }

    [Fact]
    public void Every_kind_of_format_1_is_known_and_written_again_the_same()
    {
        Assert.NotEmpty(Lines);
        foreach (var bytes in Lines)
        {
            var entry = JsonNode.Parse(bytes)!;
            var act = ActKinds.Read((string)entry["kind"]!, entry["act"]!.ToJsonString());
            Assert.IsNotType<UnknownAct>(act);
            var again = JsonNode.Parse(ActKinds.Write(act))!.AsObject();
            // Only fields that later versions added may be new.
            foreach (var (name, value) in entry["act"]!.AsObject()) Assert.True(JsonNode.DeepEquals(value, again[name]), $"{entry["kind"]}.{name}");
        }
    }
}
