using System.Security.Cryptography;

namespace Bellwire.Store;

/// <summary>Files by content hash, beside the database. Written and synced before any entry names them.</summary>
public sealed class Attachments(string folder)
{
    /// <summary>Largest file taken, in bytes.</summary>
    public const long Largest = 64L * 1024 * 1024;

    public string Folder => folder;

    /// <summary>Streams a file in, without what tells where a photograph was taken.</summary>
    /// <returns>SHA-256 of what is kept, hex.</returns>
    /// <exception cref="StoreException">Larger than <see cref="Largest"/>.</exception>
    public Task<string> Keep(Stream content, CancellationToken cancel = default) => Keep(content, strip: true, null, cancel);

    /// <summary>Takes a file that an entry already names, to the byte.</summary>
    /// <exception cref="StoreException">Too large, or not the file of that name.</exception>
    internal Task KeepAs(string hash, Stream content, CancellationToken cancel) => Keep(content, strip: false, hash, cancel);

    private async Task<string> Keep(Stream content, bool strip, string? expected, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(content);
        Directory.CreateDirectory(folder);
        var incoming = Path.Combine(folder, "incoming-" + Path.GetRandomFileName());
        try
        {
            await using (var file = new FileStream(incoming, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None))
            {
                var buffer = new byte[81920];
                int read;
                while ((read = await content.ReadAsync(buffer, cancel)) > 0)
                {
                    if (file.Length + read > Largest) throw new StoreException($"The file is larger than {Largest / 1024 / 1024} MB. Nothing was kept.");
                    await file.WriteAsync(buffer.AsMemory(0, read), cancel);
                }
            }
            if (strip) Metadata.Strip(incoming);
            string hash;
            using (var file = new FileStream(incoming, FileMode.Open, FileAccess.ReadWrite))
            {
                hash = Convert.ToHexStringLower(await SHA256.HashDataAsync(file, cancel));
                file.Flush(flushToDisk: true);
            }
            if (expected is not null && hash != expected) throw new StoreException($"Attachment {expected} was changed. Nothing was kept.");
            var kept = PathOf(hash);
            Directory.CreateDirectory(Path.GetDirectoryName(kept)!);
            if (!File.Exists(kept)) File.Move(incoming, kept);
            return hash;
        }
        finally
        {
            if (File.Exists(incoming)) File.Delete(incoming);
        }
    }

    /// <summary>The file, or null when it is not held.</summary>
    /// <param name="hash">64 hex digits.</param>
    public Stream? Open(string hash) => IsHash(hash) && File.Exists(PathOf(hash)) ? File.OpenRead(PathOf(hash)) : null;

    /// <summary>What is wrong with a kept file, or null.</summary>
    public string? Complaint(string hash)
    {
        if (!IsHash(hash)) return $"“{hash}” is not the name of an attachment.";
        using var file = Open(hash);
        if (file is null) return $"Attachment {hash} is missing.";
        return Convert.ToHexStringLower(SHA256.HashData(file)) == hash ? null : $"Attachment {hash} was changed.";
    }

    internal void Erase(string hash)
    {
        if (IsHash(hash) && File.Exists(PathOf(hash))) File.Delete(PathOf(hash));
    }

    public IEnumerable<string> All() => Directory.Exists(folder)
        ? Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Select(f => Path.GetFileName(f)).Where(IsHash) : [];

    internal string PathOf(string hash) => Path.Combine(folder, hash[..2], hash);

    private static bool IsHash(string text) => text.Length == 64 && text.All(char.IsAsciiHexDigitLower);
}
