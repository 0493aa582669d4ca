using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A weighed job: keep it and hand it in with the next call, so that one new entry costs one entry.</summary>
public sealed record Weighed(BuiltCase Built, Weighing Weighing);

/// <summary>Tape + sheet → advice.</summary>
public static class Counsellor
{
    public static Weighed Weigh(ShopState state, string job, TypeSheet sheet, AdviceOptions? options = null, Weighed? previous = null, CancellationToken cancel = default)
    {
        var o = options ?? new AdviceOptions();
        var built = CaseBuilder.From(state, job, sheet, o.Forecasts);
        return new(built, Reasoner.Weigh(built.Case, (o.Limits ?? new WeighOptions()) with { Samples = o.Samples, Seed = o.Seed }, cancel, previous?.Weighing));
    }

    /// <param name="text">Reads an erasable text; null when it was erased.</param>
    /// <exception cref="ArgumentException">There is no such job.</exception>
    public static Advice Advise(ShopState state, string job, TypeSheet sheet, Func<Personal, string?> text, AdviceOptions? options = null, Weighed? weighed = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        if (!state.Jobs.ContainsKey(job)) throw new ArgumentException($"There is no job {job}.", nameof(job));
        var o = options ?? new AdviceOptions();
        var w = weighed ?? Weigh(state, job, sheet, o, null, cancel);
        var names = new Namer(state, sheet, w.Built);
        var gates = GateKeeper.Lines(state, job, sheet);
        if (w.Weighing.Posterior is not { } belief)
            return new(job, sheet.Title, sheet.GeneralOdds, [], [], [], [], Tape(state, job, sheet, null, null, names, text), Drawing(state, sheet, w.Built, null, names), gates,
                ["The tape contradicts itself: " + w.Weighing.Contradiction!.Words], [], "Something on the tape cannot be: look at the entries named.", 0, double.NegativeInfinity, new(true, 0, 0, "contradiction", []), w.Weighing.Contradiction);

        var harms = new HarmWords(state, job, sheet, w.Weighing, names);
        var ranking = new MoveRanking(state, job, sheet, w.Built, names, o);
        var moves = ranking.Bundles(w.Weighing, new GateKeeper(state, job, sheet) { Proposes = true }, cancel);
        return new(
            job, sheet.Title, sheet.GeneralOdds, Suspects(belief, w.Built, harms, names),
            [.. belief.MostProbable.Select(f => new FaultSetLine(Words(f, names), f.Probability, Quantities.Words.Band(f.Probability)))],
            [.. sheet.Family.Causes.Where(c => belief.Causes.ContainsKey(c.Id)).Select(c => new CauseLine(c.Id, c.Name, belief.Causes[c.Id], Quantities.Words.Band(belief.Causes[c.Id]))).OrderByDescending(c => c.Probability)],
            moves, Tape(state, job, sheet, belief, harms, names, text), Drawing(state, sheet, w.Built, belief, names), gates,
            [.. Warnings(belief, sheet, ranking.GivenUp), .. ranking.NotYet], [.. w.Built.NeverSeen.Select(names.Piece).Distinct().Order(StringComparer.Ordinal)],
            StoppingAdvice.Word(belief, w.Built, moves, names, ranking.Proof), belief.NothingWrong, belief.LogEvidence, belief.How, null)
        { GoneSince = GoneSince(belief, w.Built, names), Proof = ranking.Proof };
    }

    private static ImmutableArray<string> GoneSince(Posterior belief, BuiltCase built, Namer names) =>
        [.. from site in belief.Sites
            where site.Site.System is null || site.Site.System == built.System
            let was = 1 - site.Original.GetValueOrDefault("good")
            where was >= 0.25 && site.Faulty < was / 2
            orderby was descending
            let mode = site.Original.Where(m => m.Key != "good").MaxBy(m => m.Value).Key
            select $"{names.Fault(site.Site, mode)}, {Quantities.Words.Band(Math.Clamp(was, 0, 1))}{(site.Site.Piece is null ? ": cured by unplugging or put right since" : ": put right since")}"];

    private static string Words(FaultSet set, Namer names) =>
        set.Faults.IsEmpty ? "Nothing wrong in what is here" : string.Join(" and ", set.Faults.Select(f => names.Fault(f.Site, f.Mode)));

    private static ImmutableArray<Suspect> Suspects(Posterior belief, BuiltCase built, HarmWords harms, Namer names)
    {
        var byKey = belief.Sites.Where(s => s.Site.Piece?.StartsWith("bench:", StringComparison.Ordinal) != true && (s.Site.System is null || s.Site.System == built.System)).GroupBy(s => names.Key(s.Site));
        var pieces = belief.Pieces.ToDictionary(p => p.Piece, p => p.Faulty);
        return [.. byKey.Select(g =>
        {
            var site = g.First().Site;
            var p = site.Piece is { } piece ? pieces.GetValueOrDefault(piece) : 1 - g.Aggregate(1.0, (q, s) => q * (1 - s.Faulty));
            var modes = g.SelectMany(s => s.Now.Where(m => m.Key != "good" && m.Value >= 0.003).Select(m => new ModeLine(names.Fault(s.Site, m.Key), m.Value))).OrderByDescending(m => m.P).Take(4).ToImmutableArray();
            var shops = site.Piece is { } x && names.IsShops(x);
            return new Suspect(names.Key(site), names.KeyName(site), names.Where(site), shops ? "the shop" : "the owner", shops, p, Weight.Suspicion(p), Quantities.Words.Band(Math.Clamp(p, 0, 1)), modes) { HurtBy = harms.Of(names.Key(site)) };
        }).Where(s => s.Probability >= 0.003).OrderByDescending(s => s.Probability).ThenBy(s => s.Key, StringComparer.Ordinal)];
    }

    private static ImmutableArray<TapeLine> Tape(ShopState state, string job, TypeSheet sheet, Posterior? belief, HarmWords? harms, Namer names, Func<Personal, string?> text)
    {
        var weights = belief?.Entries.GroupBy(e => e.Entry).ToDictionary(g => g.Key, g => g.ToList()) ?? [];
        return [.. state.TapeOf(job).Reverse().Select(e =>
        {
            var own = weights.GetValueOrDefault(e.Id);
            var most = own?.SelectMany(x => x.Decibans).GroupBy(d => d.Key).Select(g => (Site: g.Key, Decibans: g.Sum(d => d.Value))).Where(d => Math.Abs(d.Decibans) >= 0.5).OrderByDescending(d => Math.Abs(d.Decibans)).FirstOrDefault() ?? default;
            // An act changes what is there; only a look speaks for or against.
            var seen = e.Act is Checked or GridChecked or ReadingTaken or OwnerTold or CauseTold or Proved;
            var about = most.Site is null || !seen ? null : Named(most.Site, belief!, names);
            var surprise = own?.Sum(x => x.Surprise) ?? 0;
            return new TapeLine(e.Id, e.Number, TapeWords.Of(state, sheet, e, text), (e.Done ?? e.Entered).ToString("d MMM HH:mm", CultureInfo.InvariantCulture),
                own is null || about is null ? "" : Weight.Word(most.Decibans), most.Decibans, about, surprise, surprise > TapeClash.Limit) { Hurt = harms?.At(e.Id) ?? [] };
        })];
    }

    private static string? Named(string site, Posterior belief, Namer names) =>
        belief.Sites.FirstOrDefault(s => s.Site.ToString() == site) is { } found ? names.KeyName(found.Site) : null;

    private static ImmutableArray<PositionView> Drawing(ShopState state, TypeSheet sheet, BuiltCase built, Posterior? belief, Namer names)
    {
        var map = built.Maps[built.System];
        return [.. sheet.Positions.Select(p =>
        {
            var piece = map.GetValueOrDefault(p.Id);
            var inPiece = piece is null ? 0 : belief?.Pieces.FirstOrDefault(x => x.Piece == piece)?.Faulty ?? 0;
            var atPosition = belief?.Sites.Where(s => s.Site.System == built.System && s.Site.Position == p.Id).Aggregate(1.0, (q, s) => q * (1 - s.Faulty)) ?? 1;
            var suspicion = 1 - (1 - inPiece) * atPosition;
            return new PositionView(p.Id, p.Name, p.X, p.Y, p.FeedsTo, piece, piece is null ? null : names.Piece(piece), piece is not null && names.IsShops(piece), p.House, suspicion, Weight.Suspicion(suspicion));
        })];
    }

    private static ImmutableArray<string> Warnings(Posterior belief, TypeSheet sheet, ImmutableArray<string> givenUp)
    {
        var list = ImmutableArray.CreateBuilder<string>();
        if (sheet.GeneralOdds) list.Add("General odds: nothing is known yet of this family's own, so the odds are those of sets of its era.");
        if (belief.How is { Exact: false, Drawn: null, LostMass: >= 0.001 }) list.Add(HowWords.Rounded(belief.How));
        list.AddRange(belief.How.Warnings);
        if (givenUp.Length > 0) list.Add($"Not offered, for it was too much to reckon what it would tell: {string.Join("; ", givenUp.Take(3))}{(givenUp.Length > 3 ? $" and {givenUp.Length - 3} more" : "")}.");
        var surprises = belief.Entries.Where(e => e.Surprise > TapeClash.Limit).Select(e => e.Entry).Distinct().ToList();
        if (surprises.Count >= 2) list.Add($"{surprises.Count} entries surprise: a slip of the hand, a loose contact, a wrong sheet or a fault it does not know. They are marked on the tape.");
        return list.ToImmutable();
    }
}
