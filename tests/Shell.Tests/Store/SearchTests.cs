using System.Text;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Shell.Tests.Store;

/// <summary>Full-text search, and what an erasure leaves of an owner: nothing, anywhere.</summary>
public sealed class SearchTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-find-").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Theory]
    [InlineData("valve", "/b")]
    [InlineData("VALV", "/b")]
    [InlineData("knob ivory", "/a")]
    [InlineData("muller", "/c")]
    [InlineData("\"OR* ) near", null)]
    [InlineData("ivory valve", null)]
    public void Every_word_counts_whole_or_begun_without_accents(string wanted, string? address)
    {
        using var index = new SearchIndex();
        index.Fill([new("/a", "A", "ivory knob, cracked", ""), new("/b", "B", "valve socket burnt", ""), new("/c", "C", "Frau Müller, Lübeck", "")]);
        Assert.Equal(address is null ? [] : [address], index.Find(wanted).Select(h => h.Address));
    }

    [Fact]
    public void What_is_filled_anew_has_lost_the_old()
    {
        using var index = new SearchIndex();
        index.Fill([new("/a", "A", "Quillon Vantreight", "")]);
        index.Fill([new("/a", "A", "[forgotten]", "")]);
        Assert.Empty(index.Find("Vantreight"));
        Assert.Single(index.Find("forgotten"));
    }

    /// <summary>An owner with words in every place words can stand; after forgetting, the chain verifies and no byte of them is in any file.</summary>
    [Fact]
    public async Task Erasing_an_owner_leaves_no_byte_in_database_attachments_or_index()
    {
        var path = Path.Combine(folder, "shop.db");
        string[] secrets = ["Quillon", "Vantreight", "hill-of-toast", "telltale-remark", "picture-of-the-hall"];
        using var index = new SearchIndex();
        using (var shop = Shop.Open(path, TimeProvider.System))
        {
            var n = 0;
            void Must(Act act, params PersonalText[] texts) => Assert.IsType<Recorded.Accepted>(shop.Record(new($"e{++n}", act, Texts: [.. texts])));
            Must(new JobOpened("J1", new("owner"), null, null, new("1990s", "adapter", 3, 1, [])), new PersonalText("owner", "owner:J1", "Quillon Vantreight"));
            Must(new Noted("J1", new("note")), new PersonalText("note", "owner:J1", "lives on hill-of-toast"));
            Must(new QuoteGiven("J1", [new("Looking", "labour", 80, null)], 80, [], 120, "EUR", new("remark")), new PersonalText("remark", "owner:J1", "telltale-remark"));
            Must(new OwnerWord("J1", "the quote", true, "telephone", 80, "EUR", new("said")), new PersonalText("said", "owner:J1", "Quillon says go on"));
            Must(new WordTied("J1", "e4", "e3", [], []));
            var photo = await shop.Files.Keep(new MemoryStream(Encoding.UTF8.GetBytes("picture-of-the-hall")), TestContext.Current.CancellationToken);
            Must(new Photographed("J1", null, photo, "image/jpeg", null));
            IEnumerable<SearchText> Texts() => shop.State.Effective.Select(e => new SearchText("/" + e.Number, "", e.Act switch
            {
                JobOpened a => shop.Read(a.Owner) ?? "[forgotten]", Noted a => shop.Read(a.Words) ?? "[forgotten]",
                QuoteGiven a => shop.Read(a.Words!.Value) ?? "[forgotten]", OwnerWord a => shop.Read(a.Words!.Value) ?? "[forgotten]", _ => "",
            }, ""));
            index.Fill(Texts());
            Assert.Equal(2, index.Find("Quillon").Count);
            Assert.IsType<Recorded.Accepted>(shop.Forget("gone", "owner:J1"));
            index.Fill(Texts());
            Assert.All(secrets, s => Assert.Empty(index.Find(s)));
            Assert.Empty(shop.Verify().Complaints);
            NoneLeft(secrets); // while the shop is open: its write-ahead log and shared memory lie there too
        }
        NoneLeft(secrets);
    }

    private void NoneLeft(string[] secrets)
    {
        foreach (var file in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories))
        {
            using var open = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            var bytes = new byte[open.Length];
            open.ReadExactly(bytes);
            Assert.All(secrets, s => Assert.True(bytes.AsSpan().IndexOf(Encoding.UTF8.GetBytes(s)) < 0, $"{s} is still in {Path.GetFileName(file)}"));
        }
    }
}
