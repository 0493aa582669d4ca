using System.Text.Json;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="Complaint">Where and what, when the file cannot be read; otherwise null.</param>
public sealed record CaseRead(ShopState? State, string? Job, string? Complaint);

/// <summary>A case posed by somebody else: the acts of a journal, in the wire form of docs/cli.md, under the same laws.</summary>
public static class CaseFile
{
    /// <summary>Reads <c>{"job": "J", "acts": [{"kind": "…", "act": {…}}, …]}</c>.</summary>
    public static CaseRead Read(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        JsonDocument document;
        try { document = JsonDocument.Parse(json, new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true }); }
        catch (JsonException e) { return Wrong($"line {e.LineNumber + 1}, byte {e.BytePositionInLine + 1}: {e.Message}"); }
        using (document)
        {
            var root = document.RootElement;
            if (root.ValueKind != JsonValueKind.Object) return Wrong("the file is an object with job and acts.");
            if (!root.TryGetProperty("job", out var job) || job.ValueKind != JsonValueKind.String) return Wrong("job: the name of the job that is weighed.");
            if (!root.TryGetProperty("acts", out var acts) || acts.ValueKind != JsonValueKind.Array) return Wrong("acts: a list of {kind, act}.");
            var recorded = new List<Entry>();
            var state = ShopState.Empty;
            foreach (var item in acts.EnumerateArray())
            {
                var where = $"acts[{recorded.Count}]";
                if (item.ValueKind != JsonValueKind.Object || !item.TryGetProperty("kind", out var kind) || kind.ValueKind != JsonValueKind.String) return Wrong($"{where}.kind: one of {string.Join(", ", ActKinds.Names)}.");
                if (!item.TryGetProperty("act", out var body)) return Wrong($"{where}.act: an object with the fields of {kind.GetString()}.");
                var (act, complaint) = ActKinds.ReadProposed(kind.GetString()!, body.GetRawText());
                if (act is null) return Wrong($"{where}: {complaint}");
                if (Law.Try(state, recorded, act, null) is not Verdict.Lawful lawful) return Wrong($"{where}: {((Verdict.Refused)Law.Try(state, recorded, act, null)).Why}");
                // Two minutes an act: enough order for warm and cold, without asking the poser for clocks.
                var entry = new Entry(recorded.Count + 1, $"act-{recorded.Count + 1}", DateTimeOffset.UnixEpoch.AddMinutes(2 * recorded.Count), null, null, lawful.Jobs, lawful.Entities, act, "", "");
                state = Replay.Continue(state, recorded, [entry]);
                recorded.Add(entry);
            }
            return state.Jobs.ContainsKey(job.GetString()!) ? new(state, job.GetString(), null) : Wrong($"job: the acts open no job “{job.GetString()}”.");
        }
    }

    private static CaseRead Wrong(string complaint) => new(null, null, complaint);
}
