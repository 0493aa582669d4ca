using System.Collections.Immutable;
using System.Text.Json;
using Bellwire.Workshop;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Bellwire.Store;

public sealed partial class Shop
{
    private Recorded Append(Proposal proposal, SqliteTransaction transaction)
    {
        if (string.IsNullOrWhiteSpace(proposal.EntryId) || proposal.EntryId.Length > 80)
            return new Recorded.Refused("An entry needs an id of 1 to 80 characters.", [], false);
        if (state.ById.TryGetValue(proposal.EntryId, out var first)) return new Recorded.Accepted(first);

        switch (Law.Try(state, recorded, proposal.Act, proposal.After))
        {
            case Verdict.Refused no: return new Recorded.Refused(no.Why, no.Details, no.Overridable) { Standing = no.Standing };
            case Verdict.Lawful yes: return Write(proposal, yes, transaction);
            default: throw new InvalidOperationException("A verdict is lawful or refused.");
        }
    }

    private Recorded Write(Proposal proposal, Verdict.Lawful lawful, SqliteTransaction transaction)
    {
        var texts = proposal.Texts.IsDefault ? [] : proposal.Texts;
        var sealed_ = texts.Select(t => (Text: t, Seal: TextSeal.Of(t))).ToList();
        using var act = JsonDocument.Parse(proposal.From?.Act ?? ActKinds.Write(proposal.Act));
        if (proposal is { Act: UnknownAct, From: { } from }) lawful = new([.. from.Jobs], [.. from.Jobs.Select(j => "job:" + j)]);
        var envelope = new Envelope(
            Envelope.CurrentFormat, state.Head + 1, proposal.EntryId, proposal.From?.Entered ?? clock.GetUtcNow(), proposal.Done, proposal.After,
            lawful.Jobs, lawful.Entities, ActKinds.NameOf(proposal.Act), act.RootElement, [.. sealed_.Select(t => t.Seal.Seal)]);
        var bytes = envelope.ToBytes();
        var previous = db.QuerySingleOrDefault<byte[]>("SELECT hash FROM chain ORDER BY number DESC LIMIT 1", transaction: transaction) ?? Envelope.Genesis;
        var hash = Envelope.Chain(previous, bytes);

        db.Execute("INSERT INTO chain(number, id, bytes, previous, hash) VALUES (@Number, @Id, @bytes, @previous, @hash)",
            new { envelope.Number, envelope.Id, bytes, previous, hash }, transaction);
        foreach (var entity in lawful.Entities)
            db.Execute("INSERT INTO touched(entity, version, number) SELECT @entity, coalesce(max(version), 0) + 1, @Number FROM touched WHERE entity = @entity",
                new { entity, envelope.Number }, transaction);
        foreach (var job in lawful.Jobs) AppendToJob(job, envelope.Number, bytes, transaction);
        foreach (var (text, seal) in sealed_)
            db.Execute("INSERT INTO personal(ref, party, salt, text) VALUES (@Ref, @Party, @salt, @Text)",
                new { text.Ref, text.Party, salt = seal.Salt, text.Text }, transaction);

        if (proposal.Act is Forgotten f) EraseTexts(f.Party, transaction);

        var entry = envelope.ToEntry(hash, previous);
        state = Replay.Continue(state, recorded, [entry]);
        recorded = recorded.Add(entry);
        return new Recorded.Accepted(entry);
    }

    private void AppendToJob(string job, long number, byte[] bytes, SqliteTransaction transaction)
    {
        var last = db.QuerySingleOrDefault<(long Version, byte[] Hash)?>(
            "SELECT version, hash FROM job_chain WHERE job = @job ORDER BY version DESC LIMIT 1", new { job }, transaction);
        var previous = last?.Hash ?? Envelope.Genesis;
        db.Execute("INSERT INTO job_chain(job, version, number, previous, hash) VALUES (@job, @version, @number, @previous, @hash)",
            new { job, version = (last?.Version ?? 0) + 1, number, previous, hash = Envelope.Chain(previous, bytes) }, transaction);
    }

    /// <summary>Reads what other processes recorded since.</summary>
    private void Refresh(SqliteTransaction? transaction = null)
    {
        var rows = db.Query<(long Number, byte[] Bytes, byte[] Previous, byte[] Hash)>(
            "SELECT number, bytes, previous, hash FROM chain WHERE number > @Head ORDER BY number", new { state.Head }, transaction).AsList();
        if (rows.Count == 0) return;
        List<Entry> since = [.. rows.Select(r => Envelope.Parse(r.Bytes, r.Number).ToEntry(r.Hash, r.Previous))];
        state = Replay.Continue(state, recorded, since);
        recorded = recorded.AddRange(since);
    }
}
