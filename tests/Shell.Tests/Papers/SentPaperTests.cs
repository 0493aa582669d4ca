using System.Text;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Shell.Tests.Papers;

/// <summary>A paper that went out is kept to the byte, is not struck, travels with its tape and goes when its owner is forgotten.</summary>
public sealed class SentPaperTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-sent-").FullName;
    public void Dispose() => Directory.Delete(folder, recursive: true);

    private async Task<(Shop Shop, string Hash)> Sent()
    {
        var shop = Shop.Open(Path.Combine(folder, "shop.db"), TimeProvider.System);
        Assert.IsType<Recorded.Accepted>(shop.Record(new("e1", new JobOpened("J1", new("n"), null, null, new("x", "y", 1, 1, [])), Texts: [new("n", "owner:J1", "Ottoline Marsh")])));
        var hash = await shop.Files.Keep(new MemoryStream(Encoding.UTF8.GetBytes("<p>Dear Ottoline Marsh</p>")), TestContext.Current.CancellationToken);
        Assert.IsType<Recorded.Accepted>(shop.Record(new("e2", new PaperSent("J1", "invoice", hash, "text/html", "post", 1, 120, "EUR"))));
        return (shop, hash);
    }

    [Fact]
    public async Task It_is_not_struck_and_what_was_sent_is_verified()
    {
        var (shop, hash) = await Sent();
        using (shop)
        {
            Assert.Contains("countered", Assert.IsType<Recorded.Refused>(shop.Record(new("e3", new Struck("e2", "wrong sum")))).Why);
            Assert.Empty(shop.Verify().Complaints);
            File.AppendAllText(Path.Combine(shop.Files.Folder, hash[..2], hash), " ");
            Assert.Contains(hash, Assert.Single(shop.Verify().Complaints));
        }
    }

    [Fact]
    public async Task It_travels_with_its_tape()
    {
        var (shop, hash) = await Sent();
        using var tape = new MemoryStream();
        using (shop) TapeFile.Export(shop, "J1", tape);
        tape.Position = 0;
        using var other = Shop.Open(Path.Combine(folder, "other.db"), TimeProvider.System);
        Assert.Equal(2, await TapeFile.Import(other, tape, TestContext.Current.CancellationToken));
        using var kept = new StreamReader(other.Files.Open(hash)!);
        Assert.Equal("<p>Dear Ottoline Marsh</p>", await kept.ReadToEndAsync(TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task It_is_erased_with_its_owner_and_the_chain_holds()
    {
        var (shop, hash) = await Sent();
        using (shop)
        {
            Assert.IsType<Recorded.Accepted>(shop.Forget("e3", "owner:J1"));
            Assert.Null(shop.Files.Open(hash));
            Assert.Empty(shop.Verify().Complaints);
        }
        foreach (var file in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories)) Assert.DoesNotContain("Ottoline", Encoding.Latin1.GetString(File.ReadAllBytes(file)));
    }
}
