using Bellwire.App.Desks;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Quotes;

/// <summary>Quote, word, and the swap that stays.</summary>
internal static class QuotePosts
{
    public static readonly Dictionary<string, PostAct> Acts = new()
    {
        ["way"] = Way, ["terms"] = Terms, ["quote"] = Quote, ["word"] = Word, ["extra"] = Extra, ["stays"] = Stays, ["end"] = End, ["comeback"] = Comeback, ["freight"] = Freight, ["strike"] = CommonPosts.Strike,
    };

    private static QuoteSight Sight(Post post)
    {
        if (post.Desk.Quote(post.Job) is { } sight) return sight;
        post.Typed.Refusal = "The tape contradicts itself; nothing can be priced until that is mended.";
        throw new StopPost();
    }

    private static Task<string?> Way(Post post)
    {
        var what = post.Need("what", "Say which piece.");
        var way = post.Need("way", "Say what is to be done.");
        post.StopIfWrong();
        var with = Sight(post).Proposal.Offers.FirstOrDefault(o => o.Key == what)?.Ways.FirstOrDefault(w => w.Way == way)?.With;
        post.Record(new WayChosen(post.Job, what, way, with));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Terms(Post post)
    {
        var now = Sight(post).Terms;
        decimal Of(string field, string what, double known) => (decimal)(post.Number(field, 0, 1_000_000, what) ?? known);
        var act = new TermsSet(post.Job, now.Currency, Of("in", "Freight here", now.FreightIn), Of("out", "Freight home", now.FreightOut), Of("insured", "The insured value", now.InsuredValue), (decimal)(post.Number("tax", 0, 100, "Tax") ?? now.TaxPercent));
        post.Record(act);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Quote(Post post)
    {
        var p = Sight(post).Proposal;
        var ceiling = post.Number("ceiling", 0, 10_000_000, "The ceiling");
        post.StopIfWrong();
        var extras = p.Extras.Where(e => post.Typed.All("with").Contains(e.Id)).ToList();
        var words = post.Words("words");
        post.Record(new QuoteGiven(post.Job, p.Lines, p.Flat, [.. extras], (decimal?)ceiling ?? p.Ceiling, p.Currency, words?.Ref), words is { } w ? [w] : []);
        return Task.FromResult<string?>(post.Here + "#word");
    }

    /// <summary>The owner's word on the quote, tied to its pieces and to the extras it takes in.</summary>
    private static Task<string?> Word(Post post)
    {
        var a = Sight(post).Agreement;
        if (a.Quote is not { } quote) { post.Complain("answer", "No quote was given yet."); return Task.FromResult<string?>(null); }
        var yes = post.Need("answer", "Yes or no?") == "yes";
        var channel = post.Need("channel", "Say how it was said.");
        post.StopIfWrong();
        var extras = (quote.Extras.IsDefault ? [] : quote.Extras).Where(e => post.Typed.All("extra").Contains(e.Id)).ToList();
        var pieces = quote.Lines.Select(l => l.Piece).Concat(extras.Select(e => e.Piece)).OfType<string>().ToList();
        // What the quote would put in from the shelf is part of what was said yes to.
        var with = post.Desk.ChosenWith(post.Job).Where(c => pieces.Contains(c.What)).Select(c => c.With);
        Tied(post, new OwnerWord(post.Job, "the quote", yes, channel, quote.Flat + extras.Sum(e => e.Amount), quote.Currency, post.Words("words")?.Ref), a.QuoteEntry, [.. extras.Select(e => e.Id)], [.. pieces.Concat(with).Distinct()]);
        return Task.FromResult<string?>(post.Here);
    }

    /// <summary>A later extra: a new word with its own sum, about one piece.</summary>
    private static Task<string?> Extra(Post post)
    {
        var piece = post.Need("piece", "Say about which piece.");
        var amount = post.Number("amount", 0, 1_000_000, "The sum");
        if (amount is null) post.Complain("amount", "Say the sum; nothing is nothing.");
        var channel = post.Need("channel", "Say how it was said.");
        var yes = post.Need("answer", "Yes or no?") == "yes";
        post.StopIfWrong();
        var with = post.Desk.ChosenWith(post.Job).Where(c => c.What == piece).Select(c => c.With);
        Tied(post, new OwnerWord(post.Job, post.Desk.SuspectName(post.Job, piece), yes, channel, (decimal)amount!.Value, Sight(post).Terms.Currency, post.Words("words")?.Ref), null, [], [piece, .. with]);
        return Task.FromResult<string?>(post.Here);
    }

    private static void Tied(Post post, OwnerWord word, string? quote, System.Collections.Immutable.ImmutableArray<string> extras, System.Collections.Immutable.ImmutableArray<string> pieces)
    {
        var entry = post.NextId;
        var words = post.Words("words");
        post.RecordAll([word, new WordTied(post.Job, entry, quote, extras, pieces)], words is { } w ? [w] : []);
    }

    /// <summary>The swap that stays: a sale, with the core's custody and the serials. Posted by Quote and by Mend.</summary>
    internal static Task<string?> Stays(Post post)
    {
        var piece = post.Need("piece", "Say which piece stays.");
        var price = post.Number("price", 0, 1_000_000, "The price");
        if (price is null) post.Complain("price", "Say the price.");
        var word = post.Need("word", "Say by which word of the owner.");
        var fate = post.Need("fate", "Say what becomes of the core.");
        post.StopIfWrong();
        var core = post.Typed.Maybe("core");
        var stays = new Exchanged(post.Job, piece, core, core is null ? "returned" : fate, word, (decimal)price!.Value, post.Desk.MoneyOf(post.Job), post.Typed.Maybe("serial"), post.Typed.Maybe("coreserial"), post.Override);
        // A core that is kept joins the shelf with what this job thinks of it.
        post.RecordAll([stays, .. stays is { Core: { } kept, CoreFate: "kept" } && post.Desk.HandOn(post.Job, kept) is { } trust ? new Act[] { trust, new OriginNoted(kept, "core", null) } : []]);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Comeback(Post post)
    {
        post.Record(new ComebackOf(post.Job, post.Need("earlier", "Say as which job.")));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Freight(Post post)
    {
        var parts = post.Need("freight", "Say where the carton is.").Split('/');
        if (parts.Length != 2) post.Complain("freight", "Say where the carton is.");
        post.StopIfWrong();
        var words = post.Words("words");
        post.Record(new Freighted(post.Job, parts[0], parts[1], words?.Ref), words is { } w ? [w] : []);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> End(Post post)
    {
        post.Record(new JobClosed(post.Job, post.Need("ending", "Say how it ended."), post.Override));
        return Task.FromResult<string?>("/");
    }
}
