using System.Buffers.Binary;
using System.Text;
using Bellwire.Signals;
using Bellwire.Store;

namespace Shell.Tests.Store;

/// <summary>Who, where and when does not get into the shop's files with a recording; its samples are not touched.</summary>
public sealed class RecordingTests : IDisposable
{
    private const string Place = "+60.1708+024.9375 Kaarina";
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-recordings-").FullName;
    private readonly Attachments files;

    public RecordingTests() => files = new(folder);

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private async Task<byte[]> Kept(byte[] sent)
    {
        var hash = await files.Keep(new MemoryStream(sent), TestContext.Current.CancellationToken);
        using var kept = new MemoryStream();
        using (var file = files.Open(hash)!) file.CopyTo(kept);
        return kept.ToArray();
    }

    private static byte[] Chunk(string name, byte[] body, uint? size = null)
    {
        var length = new byte[4];
        BinaryPrimitives.WriteUInt32LittleEndian(length, size ?? (uint)body.Length);
        return [.. Encoding.ASCII.GetBytes(name), .. length, .. body, .. new byte[body.Length & 1]];
    }

    private static byte[] Riff(params byte[][] chunks)
    {
        var body = chunks.SelectMany(c => c).ToArray();
        var size = new byte[4];
        BinaryPrimitives.WriteInt32LittleEndian(size, body.Length + 4);
        return [.. "RIFF"u8, .. size, .. "WAVE"u8, .. body];
    }

    private static readonly byte[] Format = Chunk("fmt ", [1, 0, 1, 0, 0x40, 0x1F, 0, 0, 0x80, 0x3E, 0, 0, 2, 0, 16, 0]); // mono, 8000 Hz, 16 bit
    private static readonly byte[] Samples = [.. Enumerable.Range(0, 2000).Select(n => (byte)(n * 37))];

    /// <summary>INFO with artist, place and date; broadcast text; XML of a field recorder; an ID3 tag; a cue's label.</summary>
    private static byte[][] Personal() =>
    [
        Chunk("LIST", [.. "INFO"u8, .. Chunk("IART", Encoding.UTF8.GetBytes("Hilde Voss")), .. Chunk("ICRD", "2026-02-03"u8.ToArray()), .. Chunk("ILOC", Encoding.UTF8.GetBytes(Place))]),
        Chunk("bext", [.. Encoding.ASCII.GetBytes(Place.PadRight(602))]), Chunk("iXML", Encoding.UTF8.GetBytes($"<GPS>{Place}</GPS>")), Chunk("id3 ", [.. "ID3"u8, .. Encoding.UTF8.GetBytes(Place)]), Chunk("LIST", [.. "adtl"u8, .. Chunk("labl", Encoding.UTF8.GetBytes(Place))]),
    ];

    [Fact]
    public async Task Who_where_and_when_go_and_the_samples_stay_to_the_byte()
    {
        var personal = Personal();
        var kept = await Kept(Riff([.. personal, Format, .. personal, Chunk("data", Samples), .. personal]));
        Assert.Equal(Riff(Format, Chunk("data", Samples)), kept);
        Assert.DoesNotContain("Kaarina", Encoding.Latin1.GetString(kept), StringComparison.Ordinal);
        Assert.Equal(kept, await Kept(kept)); // what was taken out once is taken out
        var reader = WavOpening.Of(new MemoryStream(kept)).Reader!;
        var block = new[] { new double[1200] };
        Assert.Equal((1000, 1000L), (reader.Read(block, 1200), reader.DeclaredFrames!.Value));
        Assert.Equal(BinaryPrimitives.ReadInt16LittleEndian(Samples.AsSpan(2)) / 32768.0, block[0][1]);
    }

    [Fact]
    public async Task Words_behind_the_description_and_behind_the_end_go_too()
    {
        var fact = Chunk("fact", [0xE8, 3, 0, 0]);
        var sent = Riff(Chunk("fmt ", [.. Format[8..], .. new byte[24], .. Encoding.UTF8.GetBytes(Place)]), Chunk("fact", [.. fact[8..], .. Encoding.UTF8.GetBytes(Place)]), Chunk("data", Samples));
        Assert.Equal(Riff(Chunk("fmt ", [.. Format[8..], .. new byte[24]]), fact, Chunk("data", Samples)), await Kept([.. sent, .. Encoding.UTF8.GetBytes(Place)]));
    }

    [Theory]
    [InlineData(0u)]              // never written
    [InlineData(uint.MaxValue)]   // written as “not known”
    [InlineData(90_000u)]         // cut off
    public async Task A_recorder_s_unfinished_file_keeps_every_sample_it_has(uint size)
    {
        var sent = Riff([.. Personal(), Format, Chunk("data", Samples, size)]);
        var kept = await Kept(sent);
        Assert.Equal(Riff(Format, Chunk("data", Samples, size)), kept);
        // The reader finds as much as before, and says the same of it.
        static (long, string) Told(byte[] wav)
        {
            var reader = WavOpening.Of(new MemoryStream(wav)).Reader!;
            while (reader.Read([new double[700]], 700) > 0) { }
            return (reader.FramesRead, string.Join(" ", reader.Remarks));
        }
        Assert.Equal(Told(sent), Told(kept));
        Assert.Equal(1000, Told(kept).Item1);
    }

    [Fact]
    public async Task Long_files_keep_their_long_length()
    {
        byte[] Long(long riff, long data, params byte[] table) => Chunk("ds64", [.. BitConverter.GetBytes(riff), .. BitConverter.GetBytes(data), .. BitConverter.GetBytes(1000L), .. table]);
        var head = "RF64"u8.ToArray().Concat(new byte[] { 255, 255, 255, 255 }).Concat("WAVE"u8.ToArray()).ToArray();
        byte[] sent = [.. head, .. Long(99_999, Samples.Length, [1, 0, 0, 0, .. "bext"u8, 9, 0, 0, 0, 0, 0, 0, 0]), .. Chunk("bext", Encoding.UTF8.GetBytes(Place)), .. Format, .. Chunk("data", Samples, uint.MaxValue), .. Personal()[0]];
        byte[] rest = [.. Format, .. Chunk("data", Samples, uint.MaxValue)];
        byte[] wanted = [.. head, .. Long(4 + 36 + rest.Length, Samples.Length, 0, 0, 0, 0), .. rest];
        Assert.Equal(wanted, await Kept(sent));
    }

    [Fact]
    public async Task What_cannot_be_followed_is_not_kept()
    {
        byte[] sent = Riff(Format, Chunk("bext", Encoding.UTF8.GetBytes(Place), 70_000));
        await Assert.ThrowsAsync<StoreException>(() => Kept(sent));
        Assert.Empty(files.All());
    }
}
