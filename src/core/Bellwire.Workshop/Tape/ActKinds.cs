using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

namespace Bellwire.Workshop;

/// <summary>An entry whose kind this version does not know: kept as it came, never interpreted.</summary>
public sealed record UnknownAct(string Kind, string Json) : Act;

/// <summary>Wire names of acts. A name once used is never changed or used again.</summary>
public static class ActKinds
{
    private static readonly Dictionary<string, Type> ByName = new()
    {
        ["job-opened"] = typeof(JobOpened), ["outline-corrected"] = typeof(OutlineCorrected), ["sheet-pinned"] = typeof(SheetPinned), ["owner-told"] = typeof(OwnerTold),
        ["cause-told"] = typeof(CauseTold), ["noted"] = typeof(Noted), ["owner-word"] = typeof(OwnerWord),
        ["parked"] = typeof(Parked), ["job-closed"] = typeof(JobClosed),
        ["piece-recorded"] = typeof(PieceRecorded), ["piece-missing"] = typeof(PieceMissing), ["piece-marked"] = typeof(PieceMarked),
        ["hardware-counted"] = typeof(HardwareCounted), ["ownership-moved"] = typeof(OwnershipMoved), ["piece-moved"] = typeof(PieceMoved),
        ["lent"] = typeof(Lent), ["returned"] = typeof(Returned),
        ["system-set-up"] = typeof(SystemSetUp), ["fitted"] = typeof(Fitted), ["pulled"] = typeof(Pulled), ["reseated"] = typeof(Reseated),
        ["hook-up-repaired"] = typeof(HookUpRepaired),
        ["powered"] = typeof(Powered), ["unpowered"] = typeof(Unpowered), ["soak-begun"] = typeof(SoakBegun), ["checked"] = typeof(Checked), ["grid-checked"] = typeof(GridChecked),
        ["reading-taken"] = typeof(ReadingTaken), ["gate-answered"] = typeof(GateAnswered), ["photographed"] = typeof(Photographed),
        ["mended"] = typeof(Mended), ["part-used"] = typeof(PartUsed), ["proved"] = typeof(Proved),
        ["part-shelved"] = typeof(PartShelved), ["part-counted"] = typeof(PartCounted),
        ["packed-piece"] = typeof(PackedPiece), ["packed-hardware"] = typeof(PackedHardware), ["carton-closed"] = typeof(CartonClosed),
        ["shop-detail"] = typeof(ShopDetailSet), ["owner-detail"] = typeof(OwnerDetail), ["paper-sent"] = typeof(PaperSent),
        ["run-described"] = typeof(RunDescribed), ["terminal-marked"] = typeof(TerminalMarked), ["loop-read"] = typeof(LoopRead),
        ["group-tried"] = typeof(GroupTried), ["refit-tried"] = typeof(RefitTried), ["sheet-grown"] = typeof(SheetGrown),
        ["terms-set"] = typeof(TermsSet), ["way-chosen"] = typeof(WayChosen), ["quote-given"] = typeof(QuoteGiven), ["word-tied"] = typeof(WordTied),
        ["exchanged"] = typeof(Exchanged), ["trust-handed-on"] = typeof(TrustHandedOn), ["origin-noted"] = typeof(OriginNoted), ["revision-noted"] = typeof(RevisionNoted),
        ["reserved"] = typeof(Reserved), ["donor-kept"] = typeof(DonorKept), ["taken-out"] = typeof(TakenOut), ["comeback-of"] = typeof(ComebackOf), ["odds-adopted"] = typeof(OddsAdopted), ["sound-kept"] = typeof(SoundKept), ["soak-ended"] = typeof(SoakEnded), ["comes-and-goes"] = typeof(ComesAndGoes), ["freighted"] = typeof(Freighted),
        ["struck"] = typeof(Struck), ["forgotten"] = typeof(Forgotten),
    };

    private static readonly Dictionary<Type, string> ByType = ByName.ToDictionary(p => p.Value, p => p.Key);

    /// <summary>camelCase names, absent nulls, "Infinity" for an open reading.</summary>
    public static JsonSerializerOptions Json { get; } = new(JsonSerializerDefaults.Web)
    {
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        RespectRequiredConstructorParameters = true,
        RespectNullableAnnotations = true,
        TypeInfoResolver = new DefaultJsonTypeInfoResolver { Modifiers = { NullableMayBeAbsent } },
    };

    private static void NullableMayBeAbsent(JsonTypeInfo type)
    {
        foreach (var property in type.Properties)
            if (property.IsSetNullable || Nullable.GetUnderlyingType(property.PropertyType) is not null) property.IsRequired = false;
    }

    public static IEnumerable<string> Names => ByName.Keys;

    public static string NameOf(Act act) => act is UnknownAct unknown ? unknown.Kind : ByType[act.GetType()];

    public static string Write(Act act) => act is UnknownAct unknown ? unknown.Json : JsonSerializer.Serialize(act, act.GetType(), Json);

    /// <summary>Reads what a journal holds: an unknown kind is preserved.</summary>
    public static Act Read(string kind, string json) =>
        ByName.TryGetValue(kind, out var type) ? (Act)JsonSerializer.Deserialize(json, type, Json)! : new UnknownAct(kind, json);

    /// <summary>Where a null stands inside a map or list: annotations do not reach there, and what is recorded once stays.
    /// A field of the act itself may be null; whether it may is the annotation's business.</summary>
    private static string? NullInside(JsonElement at, string path, bool deep) => at.ValueKind switch
    {
        JsonValueKind.Null when deep => path,
        JsonValueKind.Object => at.EnumerateObject().Select(p => NullInside(p.Value, path.Length == 0 ? p.Name : $"{path}.{p.Name}", path.Length > 0)).FirstOrDefault(p => p is not null),
        JsonValueKind.Array => at.EnumerateArray().Select((v, i) => NullInside(v, $"{path}[{i}]", true)).FirstOrDefault(p => p is not null),
        _ => null,
    };

    /// <summary>Reads what somebody proposes: every complaint says where it is and what was expected.</summary>
    public static (Act? Act, string? Complaint) ReadProposed(string kind, string json)
    {
        if (!ByName.TryGetValue(kind, out var type)) return (null, $"kind: “{kind}” is not a kind of entry. Known: {string.Join(", ", ByName.Keys)}.");
        try
        {
            using var document = JsonDocument.Parse(json);
            if (NullInside(document.RootElement, "", deep: false) is { } at) return (null, $"{kind} at {at}: null is not a value here.");
            return ((Act)JsonSerializer.Deserialize(json, type, Json)!, null);
        }
        catch (JsonException e) { return (null, $"{kind}{(e.Path is null ? "" : " at " + e.Path)}: {e.Message}"); }
    }
}
