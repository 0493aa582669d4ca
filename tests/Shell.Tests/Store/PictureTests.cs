using Bellwire.Store;

namespace Shell.Tests.Store;

/// <summary>Where a photograph was taken does not get into the shop's files.</summary>
public sealed class PictureTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-pictures-").FullName;
    private readonly Attachments files;

    public PictureTests() => files = new(folder);

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private async Task<byte[]> Kept(byte[] sent)
    {
        var hash = await files.Keep(new MemoryStream(sent), TestContext.Current.CancellationToken);
        using var kept = new MemoryStream();
        using (var file = files.Open(hash)!) file.CopyTo(kept);
        return kept.ToArray();
    }

    private static byte[] Segment(byte marker, byte[] body) => [0xFF, marker, (byte)((body.Length + 2) >> 8), (byte)(body.Length + 2), .. body];

    [Fact]
    public async Task What_a_telephone_hangs_on_behind_the_picture_is_dropped()
    {
        byte[] scan = [.. Segment(0xDA, [1, 2, 3]), 10, 0xFF, 0x00, 11, 0xFF, 0xD0, 12];
        byte[] picture = [0xFF, 0xD8, .. Segment(0xE0, "JFIF"u8.ToArray()), .. scan, .. Segment(0xC4, [9]), .. scan, 0xFF, 0xD9];
        byte[] sent = [.. picture, 0xFF, 0xD8, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), 0xFF, 0xD9, .. "moov xyz+60+25"u8];
        Assert.Equal(picture, await Kept(sent));
    }

    [Fact]
    public async Task Fill_bytes_before_a_marker_hide_no_place()
    {
        byte[] sent = [0xFF, 0xD8, 0xFF, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), .. Segment(0xDA, [1]), 7, 0xFF, 0xD9];
        Assert.DoesNotContain("GPS", System.Text.Encoding.Latin1.GetString(await Kept(sent)));
    }

    [Fact]
    public async Task A_picture_that_cannot_be_read_is_not_kept_with_its_place()
    {
        byte[] sent = [0xFF, 0xD8, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), 0xFF, 0xE2, 0xFF, 0xFF, 1];
        await Assert.ThrowsAsync<StoreException>(() => files.Keep(new MemoryStream(sent), TestContext.Current.CancellationToken));
        Assert.Empty(files.All());
    }

    [Fact]
    public async Task WebP_keeps_the_picture_and_loses_the_rest()
    {
        static byte[] Chunk(string name, byte[] body) => [.. System.Text.Encoding.ASCII.GetBytes(name), (byte)body.Length, 0, 0, 0, .. body, .. new byte[body.Length & 1]];
        static byte[] File(params byte[][] chunks)
        {
            var body = chunks.SelectMany(c => c).ToArray();
            return [.. "RIFF"u8, (byte)(body.Length + 4), 0, 0, 0, .. "WEBP"u8, .. body];
        }
        byte[] sent = [.. File(Chunk("VP8X", [0x2C, 0, 0, 0, 1, 0, 0, 1, 0, 0]), Chunk("VP8L", [1, 2, 3]), Chunk("EXIF", [.. "GPS 60N"u8]), Chunk("XMP ", [.. "GPS"u8])), .. "GPS"u8];
        Assert.Equal(File(Chunk("VP8X", [0x20, 0, 0, 0, 1, 0, 0, 1, 0, 0]), Chunk("VP8L", [1, 2, 3])), await Kept(sent));
        await Assert.ThrowsAsync<StoreException>(() => Kept(sent[..30]));
    }

    /// <summary>Cut anywhere, a picture is refused or kept without its place; never anything else.</summary>
    [Fact]
    public async Task A_picture_cut_anywhere_never_keeps_its_place()
    {
        byte[] sent = [0xFF, 0xD8, .. Segment(0xE1, "Exif\0\0 GPS 60N 25E"u8.ToArray()), .. Segment(0xDA, [1]), 7, 0xFF, 0xD9, .. Segment(0xE1, "Exif\0\0 GPS"u8.ToArray())];
        var kept = 0;
        for (var cut = 3; cut <= sent.Length; cut++)
        {
            try { Assert.DoesNotContain("GPS", System.Text.Encoding.Latin1.GetString(await Kept(sent[..cut]))); kept++; }
            catch (StoreException) { }
        }
        Assert.InRange(kept, 1, sent.Length - 4);
    }
}
