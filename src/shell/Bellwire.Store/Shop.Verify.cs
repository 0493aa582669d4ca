using System.Collections.Immutable;
using Bellwire.Workshop;
using Dapper;

namespace Bellwire.Store;

/// <param name="Head">Shop head hash, hex: print it, and truncation shows.</param>
/// <param name="Complaints">Located; empty when everything holds.</param>
public sealed record Verification(long Entries, int Jobs, string Head, ImmutableArray<string> Complaints);

public sealed partial class Shop
{
    /// <summary>Recomputes both hashes of every entry, the seals of the texts (one without its words needs a later tombstone), and the attachments.
    /// Not the laws: an entry accepted under an older law stays.</summary>
    public Verification Verify(CancellationToken cancel = default)
    {
        lock (gate)
        {
            var complaints = ImmutableArray.CreateBuilder<string>();
            var bytesOf = new Dictionary<long, byte[]>();
            var previous = Envelope.Genesis;
            var entries = new List<Entry>();
            var seals = new List<(TextSeal Seal, long Number)>();
            var tapes = new HashSet<(string Job, long Number)>();
            foreach (var row in db.Query<(long Number, string Id, byte[] Bytes, byte[] Previous, byte[] Hash)>("SELECT number, id, bytes, previous, hash FROM chain ORDER BY number", buffered: false))
            {
                cancel.ThrowIfCancellationRequested();
                if (row.Number != entries.Count + 1) complaints.Add($"#{row.Number}: an entry before it is missing.");
                if (!row.Previous.AsSpan().SequenceEqual(previous)) complaints.Add($"#{row.Number}: it does not follow the entry before it.");
                if (!row.Hash.AsSpan().SequenceEqual(Envelope.Chain(row.Previous, row.Bytes))) complaints.Add($"#{row.Number}: its bytes were changed.");
                previous = row.Hash;
                bytesOf[row.Number] = row.Bytes;
                try
                {
                    var envelope = Envelope.Parse(row.Bytes, row.Number);
                    if (envelope.Id != row.Id || envelope.Number != row.Number) complaints.Add($"#{row.Number}: the row and the entry name different things.");
                    entries.Add(envelope.ToEntry(row.Hash, row.Previous));
                    seals.AddRange(envelope.Texts.Select(t => (t, row.Number)));
                    foreach (var job in envelope.Jobs) tapes.Add((job, row.Number));
                }
                catch (StoreException e) { complaints.Add(e.Message); }
            }
            var forgotten = entries.Where(e => e.Act is Forgotten).ToLookup(e => ((Forgotten)e.Act).Party, e => e.Number);
            foreach (var (seal, number) in seals) CheckSeal(seal, number, forgotten, complaints);
            var jobs = CheckJobs(bytesOf, tapes, complaints);
            if (ErasurePending) complaints.Add("An erasure is not finished: bytes may linger. Close every other program that has the file open, then open it again.");
            foreach (var file in Named.In(entries).ToLookup(n => n.Hash, n => n.Job))
                if (Files.Complaint(file.Key) is { } wrong && !file.All(job => job is not null && forgotten.Contains(Party.OwnerOf(job)))) complaints.Add(wrong);
            return new(entries.Count, jobs, Convert.ToHexStringLower(previous), complaints.ToImmutable());
        }
    }

    private void CheckSeal(TextSeal seal, long number, ILookup<string, long> forgotten, ImmutableArray<string>.Builder complaints)
    {
        var held = db.QuerySingleOrDefault<(string Party, byte[]? Salt, string? Text)?>("SELECT party, salt, text FROM personal WHERE ref = @Ref", new { seal.Ref });
        if (held is not { } row) complaints.Add($"#{number}: the text {seal.Ref} is missing, and no tombstone stands in its place.");
        else if (row.Party != seal.Party) complaints.Add($"#{number}: the text {seal.Ref} is put down to {row.Party}, not to {seal.Party}.");
        else if (row is { Salt: null, Text: null }) { if (!forgotten[seal.Party].Any(f => f > number)) complaints.Add($"#{number}: the text {seal.Ref} was erased, and no tombstone says so."); }
        else if (row.Salt is null || row.Text is null || TextSeal.Hash(row.Salt, row.Text) != seal.Sha256) complaints.Add($"#{number}: the text {seal.Ref} was changed.");
    }

    private int CheckJobs(Dictionary<long, byte[]> bytesOf, HashSet<(string Job, long Number)> tapes, ImmutableArray<string>.Builder complaints)
    {
        var heads = new Dictionary<string, byte[]>();
        foreach (var row in db.Query<(string Job, long Version, long Number, byte[] Previous, byte[] Hash)>("SELECT job, version, number, previous, hash FROM job_chain ORDER BY job, version"))
        {
            var before = heads.GetValueOrDefault(row.Job) ?? Envelope.Genesis;
            var right = row.Previous.AsSpan().SequenceEqual(before) && bytesOf.TryGetValue(row.Number, out var bytes)
                && row.Hash.AsSpan().SequenceEqual(Envelope.Chain(row.Previous, bytes));
            if (!right) complaints.Add($"#{row.Number}: the tape of job {row.Job} is broken here.");
            heads[row.Job] = row.Hash;
            if (!tapes.Remove((row.Job, row.Number))) complaints.Add($"#{row.Number}: it does not name job {row.Job}, whose tape holds it.");
        }
        foreach (var (job, number) in tapes.OrderBy(t => t.Number)) complaints.Add($"#{number}: it is missing from the tape of job {job}.");
        return heads.Count;
    }
}
