using System.Collections.Immutable;
using System.IO.Compression;
using System.Text;
using System.Text.Json;
using Bellwire.Workshop;
using Dapper;

namespace Bellwire.Store;

/// <summary>One job in a file: the stored bytes of its entries, its texts and photographs, verifiable by the job's own hashes.</summary>
public static class TapeFile
{
    internal sealed record Head(string What, int Format, string Job, string JobHash, int Entries);
    internal sealed record Line(bool Tape, string Bytes);
    internal sealed record Text(string Ref, string Party, string? Words);

    /// <exception cref="StoreException">There is no such job.</exception>
    public static void Export(Shop shop, string job, Stream target)
    {
        ArgumentNullException.ThrowIfNull(shop);
        var (lines, hash, texts) = shop.TapeOf(job);
        using var zip = new ZipArchive(target, ZipArchiveMode.Create, leaveOpen: true);
        Write(zip, "tape.json", [JsonSerializer.Serialize(new Head("bellwire tape", 1, job, hash, lines.Count), ActKinds.Json), .. lines.Select(l => JsonSerializer.Serialize(l, ActKinds.Json))]);
        Write(zip, "texts.json", texts.Select(t => JsonSerializer.Serialize(t, ActKinds.Json)));
        var photos = Named.In(shop.Entries.Where(e => e.Jobs.Contains(job))).Select(n => n.Hash).Distinct();
        foreach (var photo in photos)
        {
            using var file = shop.Files.Open(photo);
            if (file is null) continue;
            using var into = zip.CreateEntry("files/" + photo, CompressionLevel.NoCompression).Open();
            file.CopyTo(into);
        }
    }

    /// <summary>Verifies the file, then records its entries in this shop under their own ids: all or none.</summary>
    /// <exception cref="StoreException">Not a tape, changed, cut short, or unlawful here; the message names the entry.</exception>
    public static async Task<int> Import(Shop shop, Stream source, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(shop);
        try
        {
            using var zip = new ZipArchive(source, ZipArchiveMode.Read, leaveOpen: true);
            var rows = Read(zip, "tape.json");
            var head = JsonSerializer.Deserialize<Head>(rows[0], ActKinds.Json)!;
            if (head.What != "bellwire tape") throw new StoreException("The file is not a tape.", badInput: true);
            if (head.Format > 1) throw new StoreException($"The tape has format {head.Format}; this Bellwire reads 1. Use a newer one.");
            var lines = rows.Skip(1).Select(r => JsonSerializer.Deserialize<Line>(r, ActKinds.Json)!).ToList();
            if (lines.Count != head.Entries) throw new StoreException($"The tape is cut short: {head.Entries} entries promised, {lines.Count} found.", badInput: true);
            var texts = Read(zip, "texts.json").Select(r => JsonSerializer.Deserialize<Text>(r, ActKinds.Json)!).Where(t => t.Words is not null).ToDictionary(t => t.Ref);
            foreach (var file in zip.Entries.Where(e => e.FullName.StartsWith("files/", StringComparison.Ordinal)))
            {
                await using var stream = file.Open();
                await shop.Files.KeepAs(file.FullName["files/".Length..], stream, cancel);
            }
            return shop.Take(lines, head, texts);
        }
        catch (Exception e) when (e is InvalidDataException or JsonException or FormatException or ArgumentOutOfRangeException)
        {
            throw new StoreException("The file is not a tape, or is damaged: " + e.Message, badInput: true);
        }
    }

    private static void Write(ZipArchive zip, string name, IEnumerable<string> lines)
    {
        using var writer = new StreamWriter(zip.CreateEntry(name).Open(), new UTF8Encoding(false));
        foreach (var line in lines) writer.Write(line + "\n");
    }

    private static List<string> Read(ZipArchive zip, string name)
    {
        var entry = zip.GetEntry(name) ?? throw new StoreException($"The file is not a tape: it holds no {name}.", badInput: true);
        using var reader = new StreamReader(entry.Open(), Encoding.UTF8);
        return [.. reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries)];
    }
}

public sealed partial class Shop
{
    internal (List<TapeFile.Line> Lines, string Hash, List<TapeFile.Text> Texts) TapeOf(string job)
    {
        lock (gate)
        {
            Refresh();
            if (!state.Jobs.ContainsKey(job)) throw new StoreException($"There is no job {job}.");
            var own = recorded.Where(e => e.Jobs.Contains(job)).ToList();
            var touched = own.SelectMany(e => e.Entities).ToHashSet();
            // What made the pieces and sets that the job uses comes along, or the tape could not be replayed elsewhere.
            var makers = recorded.Where(e => !e.Jobs.Contains(job) && e.Act switch
            {
                PieceRecorded p => touched.Contains("piece:" + p.Piece),
                PartShelved p => touched.Contains("part:" + p.Part),
                PartCounted p => touched.Contains("part:" + p.Part),
                SystemSetUp y => touched.Contains("system:" + y.System),
                _ => false,
            });
            var lines = own.Select(e => (e.Number, Tape: true)).Concat(makers.Select(e => (e.Number, Tape: false))).OrderBy(e => e.Number)
                .Select(e => new TapeFile.Line(e.Tape, Convert.ToBase64String(BytesOf(e.Number)))).ToList();
            var hash = db.QuerySingleOrDefault<byte[]>("SELECT hash FROM job_chain WHERE job = @job ORDER BY version DESC LIMIT 1", new { job }) ?? Envelope.Genesis;
            var refs = own.SelectMany(e => Envelope.Parse(BytesOf(e.Number), e.Number).Texts);
            List<TapeFile.Text> texts = [.. refs.Select(t => new TapeFile.Text(t.Ref, t.Party, db.QuerySingleOrDefault<string?>("SELECT text FROM personal WHERE ref = @Ref", new { t.Ref })))];
            return (lines, Convert.ToHexStringLower(hash), texts);
        }
    }

    private byte[] BytesOf(long number) => db.QuerySingle<byte[]>("SELECT bytes FROM chain WHERE number = @number", new { number });

    internal int Take(List<TapeFile.Line> lines, TapeFile.Head head, Dictionary<string, TapeFile.Text> texts)
    {
        var chained = Envelope.Genesis;
        var proposals = new List<(Envelope From, Proposal Proposal)>();
        foreach (var (line, index) in lines.Select((l, i) => (l, i)))
        {
            var bytes = Convert.FromBase64String(line.Bytes);
            var envelope = Envelope.Parse(bytes, index + 1);
            if (line.Tape) chained = Envelope.Chain(chained, bytes);
            var words = envelope.Texts.Where(t => texts.ContainsKey(t.Ref)).Select(t => new PersonalText(t.Ref, t.Party, texts[t.Ref].Words!));
            proposals.Add((envelope, new Proposal(envelope.Id, ActKinds.Read(envelope.Kind, envelope.Act.GetRawText()), null, envelope.Done, [.. words])
            {
                From = new(envelope.Entered, envelope.Act.GetRawText(), line.Tape ? [head.Job] : []),
            }));
        }
        if (Convert.ToHexStringLower(chained) != head.JobHash) throw new StoreException("The tape does not verify: an entry was changed, added or left out.", badInput: true);

        lock (gate)
        {
            Refresh();
            if (state.Jobs.ContainsKey(head.Job)) throw new StoreException($"There is a job {head.Job} already. Nothing was imported.");
            var answers = RecordAll(now => Renumber(now, proposals));
            return answers is [Recorded.Refused no] ? throw new StoreException("Not imported: " + no.Why) : answers.Length;
        }
    }

    /// <summary>Numbers are this shop's own; late entries follow their anchors to the new ones. An anchor that stayed behind (another job's
    /// entry) is stood for by the last entry in recorded order before it.</summary>
    private static List<Proposal> Renumber(ShopState now, List<(Envelope From, Proposal Proposal)> proposals)
    {
        var fresh = new Dictionary<long, long>();
        var renumbered = new List<Proposal>();
        var next = now.Head + 1;
        foreach (var (from, proposal) in proposals)
        {
            if (now.ById.TryGetValue(proposal.EntryId, out var known)) { fresh[from.Number] = known.Number; continue; }
            fresh[from.Number] = next++;
            if (from.After is not { } k) { renumbered.Add(proposal); continue; }
            var anchor = fresh.ContainsKey(k) ? k : proposals.Where(p => p.From.After is null && p.From.Number < k && p.From.Number < from.Number).Select(p => p.From.Number).DefaultIfEmpty().Max();
            renumbered.Add(anchor == 0 ? proposal : proposal with { After = fresh[anchor] });
        }
        return renumbered;
    }
}
