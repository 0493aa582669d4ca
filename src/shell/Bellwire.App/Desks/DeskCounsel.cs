using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>A photograph kept, or why not.</summary>
public sealed record Kept(string? Hash, string? MediaType, string? Refusal);

/// <summary>The seam between the pages, the journal and the counsel.</summary>
public sealed partial class Desk
{
    public const string EngineVersion = "1";

    private sealed record Thought(string Sheet, ImmutableArray<string> Entries, Weighed Weighed, Advice Advice);

    private readonly ConcurrentDictionary<string, Thought> thoughts = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, Lock> thinking = new(StringComparer.Ordinal);

    /// <summary>Told the number of each new entry.</summary>
    public event Action<long>? Grown;

    public long Head => shop.Head;
    public string HeadHash => shop.Entries is { Count: > 0 } entries ? entries[^1].Hash : "";
    public string Text(Personal words) => shop.Read(words) ?? "[forgotten]";
    public Stream? Photo(string hash) => shop.Files.Open(hash);

    /// <summary>Puts an act past the safety gates and the laws to the journal; durable when the answer is a number.</summary>
    internal Answer Record(string id, Act act, long? after, DateTimeOffset? done, IEnumerable<KeyValuePair<string, string>> texts) =>
        Record([(id, act)], after, done, texts);

    /// <summary>Several acts that are one deed (lend, pull, fit): all of them, or none. The texts belong to the first.</summary>
    /// <param name="reasons">Reasons offered against safety gates: each act keeps those of the gates that were in its way.</param>
    internal Answer Record(IReadOnlyList<(string Id, Act Act)> deed, long? after, DateTimeOffset? done, IEnumerable<KeyValuePair<string, string>> texts, ImmutableArray<GateOverride> reasons = default)
    {
        var state = State;
        if (reasons is { IsDefaultOrEmpty: false })
            deed = [.. deed.Select(d => (d.Id, Bars(state, d.Act, after, done) is { Length: > 0 } met ? d.Act with { Overrides = [.. reasons.Where(r => met.Any(b => b.Gate == r.Gate))] } : d.Act))];
        ImmutableArray<GateBar> bars = [.. deed.Where(d => !state.ById.ContainsKey(d.Id)).SelectMany(d => Bars(state, d.Act, after, done)).DistinctBy(b => b.Gate)];
        if (bars.Length > 0) return new Answer(0, new Verdict.Refused(string.Join(" ", bars.Select(b => b.Words)), [], bars.All(b => b.Liftable))) { Gates = bars };
        var first = deed[0].Act;
        var party = JobOf(state, first) is { } of || (of = (first as JobOpened)?.Job) is not null ? Party.OwnerOf(of) : Party.Shop;
        ImmutableArray<PersonalText> kept = [.. texts.Select(t => new PersonalText(t.Key, party, t.Value))];
        var answers = shop.RecordAll([.. deed.Select((d, i) => new Proposal(d.Id, d.Act, after, done, i == 0 ? kept : []))]);
        if (answers[^1] is Recorded.Refused no) return new(0, InTheWay(no));
        var number = ((Recorded.Accepted)answers[^1]).Entry.Number;
        Grown?.Invoke(number);
        return new(number, null);
    }

    /// <summary>A refusal for the sake of later entries names them by what the tape calls them.</summary>
    private Verdict.Refused InTheWay(Recorded.Refused no)
    {
        if (no.Standing.IsEmpty) return new(no.Why, no.Details, no.Overridable);
        var standing = shop.Entries.Where(e => no.Standing.Contains(e.Number)).ToDictionary(e => e.Number, e => $"{e.Number}, {WordsOf(e)}");
        return new($"{no.Why} {(no.Standing.Length == 1 ? "It is" : "The first of them is")} {standing[no.Standing[0]]}.", no.Standing.Length == 1 ? [] : [.. no.Standing.Select(n => standing[n])], no.Overridable);
    }

    /// <summary>Gates in the way, asked of the tape as it stands where the act belongs: a late entry meets its own moment.</summary>
    private ImmutableArray<GateBar> Bars(ShopState state, Act act, long? after, DateTimeOffset? done)
    {
        var system = Touches.Of(state, act).Entities.FirstOrDefault(e => e.StartsWith("system:", StringComparison.Ordinal))?["system:".Length..] ?? "";
        if ((state.Systems.GetValueOrDefault(system)?.Job ?? JobOf(state, act)) is not { } job) return [];
        var there = after is { } k ? Replay.At(shop.Entries, k) : state;
        return GateKeeper.Check(there, job, SheetOf(job), act, done ?? (after is null ? Now : null), told: after is not null).Bars;
    }

    /// <summary>The safety gates of the job's set, as they stand this minute.</summary>
    public ImmutableArray<GateLine> Gates(string job) => GateKeeper.Lines(State, job, SheetOf(job), Now);

    private static string? JobOf(ShopState state, Act act) => Touches.Of(state, act).Jobs is [var job, ..] && state.Jobs.ContainsKey(job) ? job : null;

    public async Task<Kept> Keep(Stream photo, CancellationToken stop)
    {
        try
        {
            var start = new byte[12];
            var read = await photo.ReadAtLeastAsync(start, start.Length, throwOnEndOfStream: false, stop);
            if (MediaTypeOf(start.AsSpan(0, read)) is not { } type) return new(null, null, "That is not a photograph this program can show: JPEG, PNG or WebP.");
            photo.Position = 0;
            return new(await shop.Files.Keep(photo, stop), type, null);
        }
        catch (StoreException e) { return new(null, null, e.Message); }
    }

    private static string? MediaTypeOf(ReadOnlySpan<byte> start) => start switch
    {
        [0xFF, 0xD8, 0xFF, ..] => "image/jpeg",
        [0x89, 0x50, 0x4E, 0x47, ..] => "image/png",
        [(byte)'R', (byte)'I', (byte)'F', (byte)'F', _, _, _, _, (byte)'W', (byte)'E', (byte)'B', (byte)'P'] => "image/webp",
        _ => null,
    };

    public string WordsOf(Entry entry) => TapeWords.Of(State, entry.Jobs is [var job, ..] && State.Jobs.ContainsKey(job) ? SheetOf(job) : null, entry, Text);

    public List<StruckEntry> StruckOn(string job)
    {
        var entries = shop.Entries;
        var struck = EffectiveOrder.StruckIds(entries);
        var byId = State.ById;
        return [.. entries.Where(e => e.Act is Struck && !struck.Contains(e.Id) && e.Jobs.Contains(job))
            .Select(e => (Strike: (Struck)e.Act, By: e))
            .Where(x => byId.TryGetValue(x.Strike.Entry, out var target) && target.Act is not Struck)
            .Select(x => new StruckEntry(byId[x.Strike.Entry], x.By, x.Strike.Why))];
    }

    public IReadOnlyList<string> Unreconciled(string job) => Reconciliation.Of(State, job).Open;
    public IEnumerable<CheckSpec> OwnerChecks(string job) => SheetOf(job).Checks.Where(c => c.Owner);

    /// <summary>What the counsel makes of the tape; thought out once for each state of it, and on from the last state.</summary>
    public Advice Advice(string job) => Think(job).Advice;

    public IReadOnlyList<OwnerQuestion> Questions(string job) => Afar.NextQuestions(State, job, SheetOf(job), Think(job).Weighed, 3, AcrossBorder(job));
    public IReadOnlyList<SendLine> Sends(string job) => Afar.WhatToSend(State, job, SheetOf(job), Think(job).Weighed, AcrossBorder(job));
    public double? NoParcel(string job) => Afar.NoParcel(State, job, SheetOf(job), Think(job).Weighed);

    /// <summary>How many jobs of its family need no parcel; by the sheet as long as nothing was closed.</summary>
    public ParcelShare ParcelShare(string job) => shares.GetOrAdd($"{SheetOf(job).Hash} {State.Jobs.Values.Count(j => j.Ending is not null)}", _ => Counsel.ParcelShare.Of(State, SheetOf(job)));

    private readonly ConcurrentDictionary<string, ParcelShare> shares = new(StringComparer.Ordinal);

    /// <summary>Whether the owner's country is known and another than the shop's.</summary>
    public bool AcrossBorder(string job) => State.Details["country"] is { } ours && Job(job).OwnerDetails.TryGetValue("country", out var words) && Text(words) is { Length: > 0 } theirs
        && !ours.Equals(theirs, StringComparison.OrdinalIgnoreCase);
    public string PriceBand(string job) => Afar.Price(State, SheetOf(job), Think(job).Weighed) is { } band ? Afar.Say(band, Currency) : "not to be reckoned while the tape contradicts itself";
    public string? OwnerSafety(string job) => Afar.Danger(Words(job));

    private Thought Think(string job)
    {
        lock (thinking.GetOrAdd(job, _ => new Lock()))
        {
            var (state, sheet) = (State, SheetOf(job));
            // A mule or a shop's piece may have moved for another job: the whole journal, by its head, is what was thought about.
            var fed = LineVolts.Of(state, job, sheet).Needed;
            if (Forecasts.Wanted(state, job, sheet)) Foretell(sheet, fed);
            ImmutableArray<string> entries = [sheet.Hash + (forecasts.Has(sheet, fed) ? " with circuits" : ""), .. state.Effective.Select(e => e.Id)];
            if (thoughts.TryGetValue(job, out var known) && known.Entries.SequenceEqual(entries)) return known;
            var options = new AdviceOptions { Forecasts = forecasts };
            var weighed = Counsellor.Weigh(state, job, sheet, options, known?.Sheet == sheet.Hash ? known.Weighed : null);
            var advice = Counsellor.Advise(state, job, sheet, Text, options, weighed);
            return thoughts[job] = new(sheet.Hash, entries, weighed, advice);
        }
    }
}
