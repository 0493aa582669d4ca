using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="Price">What this way of putting it right is expected to cost if it is faulty, tax included.</param>
/// <param name="With">The shop's piece that would go in, or null when none fits or none is needed.</param>
public sealed record WayPrice(string Way, string Words, decimal Price, string? With, string Note);

/// <summary>One suspect and the ways open for it.</summary>
/// <param name="Judged">Judged faulty: likely enough, or a way was chosen for it by hand.</param>
public sealed record SuspectOffer(string Key, string Name, double Probability, string Band, string? Chosen, bool Judged, ImmutableArray<WayPrice> Ways);

/// <summary>A quote as it would be given now.</summary>
public sealed record QuoteProposal(ImmutableArray<SuspectOffer> Offers, ImmutableArray<QuoteLine> Lines, decimal Flat, ImmutableArray<QuoteExtra> Extras, decimal Ceiling, string Currency)
{
    /// <summary>Likelier than this a suspect is priced in; likelier than <see cref="Possible"/> it is a named extra (estimates).</summary>
    public const double Likely = 0.6, Possible = 0.06;

    public static QuoteProposal Of(ShopState state, string job, TypeSheet sheet, Weighed weighed, ShopTerms terms, PriceSpread spread)
    {
        var own = terms.For(state, job);
        var chosen = PriceSpread.Chosen(state, job);
        var book = new CostBook(state, job, sheet, weighed, own, chosen);
        var faulty = book.Groups.Select(g => (Group: g, P: CostBook.Any(weighed.Weighing, g))).Where(g => g.P >= Possible || chosen.ContainsKey(g.Group.Key)).OrderByDescending(g => g.P).ToList();
        ImmutableArray<SuspectOffer> offers = [.. faulty.Select(f => Offer(state, job, f.Group, f.P, weighed, own, chosen.GetValueOrDefault(f.Group.Key)))];

        var lines = new List<QuoteLine>();
        void Add(string what, string kind, double amount, string? piece = null) { if (ShopTerms.Cents(amount) != 0) lines.Add(new(what, kind, ShopTerms.Cents(amount), piece)); }
        Add("Taking in, looking, proving, packing", "labour", (own.FixedHours + (state.Jobs[job].Minutes + spread.LooksToCome) / 60) * own.Hourly);
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            if (act is PartUsed part && part.Job == job) Add(part.Part, "part", (double)part.Cost, part.Piece);
            else if (act is Exchanged x && x.Job == job) Add($"{state.Pieces[x.Piece].Name} from the shelf", "piece", (double)x.Price, x.Piece);
        foreach (var (group, p) in faulty.Where(f => Judged(f.P, chosen.GetValueOrDefault(f.Group.Key)))) Price(group, p, weighed, own, Add);
        Add("Freight to the shop", "freight", own.FreightIn);
        Add("Freight home", "freight", own.FreightOut);
        Add($"Insurance for {own.InsuredValue:0} {own.Currency}", "insurance", own.Insurance);
        Add($"Tax, {own.TaxPercent:0.##} %", "tax", (double)lines.Sum(l => l.Amount) * own.TaxPercent / 100);
        var flat = lines.Sum(l => l.Amount);
        ImmutableArray<QuoteExtra> extras = [.. offers.Where(o => !o.Judged && o.Chosen != Ways.Decline).Select((o, i) => new QuoteExtra($"extra-{i + 1}", $"If {o.Name} is faulty too", UpTo(o.Ways.First(w => w.Way == Ways.Mend).Price, own), o.Key))];
        return new(offers, [.. lines], flat, extras, UpTo(Math.Max(flat, spread.P90), own), own.Currency);
    }

    private static bool Judged(double p, WayChosen? way) => way is null ? p >= Likely : way.Way != Ways.Decline;

    private static void Price(CostGroup group, double p, Weighed weighed, ShopTerms terms, Action<string, string, double, string?> add)
    {
        if (!group.Mends)
        {
            add($"Changing {group.Name}", "labour", group.Shared / 60 * terms.Hourly, group.Key);
            add($"{group.Name} from the shelf", "piece", group.Price / (group.Way == Ways.CoreKept ? 1 - terms.CoreShare : 1), group.Key);
            if (group.Way == Ways.CoreKept) add("Core taken in", "core", group.Price - group.Price / (1 - terms.CoreShare), group.Key);
            return;
        }
        var (minutes, parts) = Given(group, p, weighed);
        add($"Mending {group.Name}", "labour", (group.Shared + minutes) / 60 * terms.Hourly, group.Key);
        add($"Parts for {group.Name}", "part", parts, group.Key);
    }

    /// <summary>Expected minutes and parts of mending, given that the group is faulty.</summary>
    private static (double Minutes, double Parts) Given(CostGroup group, double p, Weighed weighed)
    {
        if (p <= 0) return (0, 0);
        var now = weighed.Weighing.Posterior!.Sites.ToDictionary(s => s.Site.ToString(), s => s.Now);
        var each = group.Each.SelectMany(s => s.Value.Select(m => (P: now[s.Key.ToString()].GetValueOrDefault(m.Key), Cost: m.Value))).ToList();
        return (each.Sum(m => m.P * m.Cost.Minutes) / p, each.Sum(m => m.P * m.Cost.PartCost) / p);
    }

    private static SuspectOffer Offer(ShopState state, string job, CostGroup group, double p, Weighed weighed, ShopTerms terms, WayChosen? way)
    {
        var mend = group with { Way = Ways.Mend };
        var (minutes, parts) = Given(mend, p, weighed);
        var donor = group.Each.SelectMany(s => s.Value.Values).Select(c => c.DonorOnly).FirstOrDefault(d => d is not null);
        var ways = ImmutableArray.CreateBuilder<WayPrice>();
        ways.Add(new(Ways.Mend, PlainWords.WayWord(Ways.Mend), Taxed((group.Shared + minutes) / 60 * terms.Hourly + parts), null, donor is null ? "" : $"one of its faults: {donor}"));
        if (Candidate(state, job, group.Kind) is { } piece && group.Position is not null && !group.Key.Contains('/'))
        {
            var worth = group.Way == Ways.CoreKept ? group.Price / (1 - terms.CoreShare) : group.Price;
            var last = Law.LastReference(state, piece) ? " It is your reference: none left of its kind." : "";
            var from = $"{piece.Name} ({piece.Id}), {piece.Where}.{last}";
            var work = group.Shared / 60 * terms.Hourly;
            ways.Add(new(Ways.Replace, PlainWords.WayWord(Ways.Replace), Taxed(work + worth), piece.Id, from));
            ways.Add(new(Ways.CoreKept, PlainWords.WayWord(Ways.CoreKept), Taxed(work + worth * (1 - terms.CoreShare)), piece.Id, from));
            ways.Add(new(Ways.CoreReturned, PlainWords.WayWord(Ways.CoreReturned), Taxed(work + worth), piece.Id, from));
        }
        ways.Add(new(Ways.Decline, PlainWords.WayWord(Ways.Decline), 0, null, ""));
        return new(group.Key, group.Name, p, Quantities.Words.Band(Math.Clamp(p, 0, 1)), way?.Way, Judged(p, way), ways.ToImmutable());
        decimal Taxed(double money) => ShopTerms.Cents(money * terms.Tax);
    }

    /// <summary>The shop's piece of that kind one would part with first: not the reference while another will do, the surest of the rest.</summary>
    public static PieceState? Candidate(ShopState state, string job, string kind) => state.Pieces.Values
        .Where(p => p.Kind == kind && p is { Owner: Party.Shop, Gone: false } && (p.LentTo is null || p.LentTo == job) && (p.Where.System is null || state.Systems[p.Where.System].Job == job))
        .OrderByDescending(p => p.LentTo == job).ThenBy(p => Law.LastReference(state, p)).ThenByDescending(p => p.Trust ?? (p.KnownGood ? 0.97 : 0.5)).ThenBy(p => p.Id, StringComparer.Ordinal).FirstOrDefault();

    private static decimal UpTo(decimal money, ShopTerms terms)
    {
        var step = (decimal)Math.Max(0.01, terms.RoundTo);
        return Math.Ceiling(money / step) * step;
    }
}
