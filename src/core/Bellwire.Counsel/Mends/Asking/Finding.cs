using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>How a calculation ends. There is no "safe": nothing here replaces a measurement.</summary>
public enum Judgement
{
    /// <summary>Numbers, no part judged.</summary>
    Reckoned,
    Fits,
    DoesNotFit,
    /// <summary>Too little is known for any advice, and guessing would be worse than none.</summary>
    NoAdvice,
}

/// <param name="Value">In the base unit.</param>
/// <param name="Word">"", "at least", "at most", "about".</param>
public sealed record Figure(string Id, string Name, double Value, string Unit, string Word = "")
{
    public string Said => $"{(Word.Length > 0 ? Word + " " : "")}{Engineering.Say(Value, Unit)}";
}

/// <summary>What comes back: the judgement in one sentence, why, what to mind, and the figures behind it.</summary>
public sealed record Finding(Judgement Judgement, string Says, ImmutableArray<string> Why, ImmutableArray<string> Cautions, ImmutableArray<Figure> Figures)
{
    /// <exception cref="ArgumentException">No such figure.</exception>
    public double Value(string id) => Figures.FirstOrDefault(f => f.Id == id)?.Value ?? throw new ArgumentException($"There is no figure {id}; there are {string.Join(", ", Figures.Select(f => f.Id))}.", nameof(id));
}

/// <summary>Gathers a finding. The new part's fields may be empty: then the finding says what to look for.</summary>
internal sealed class Tally(Given given, ImmutableArray<Ask> asks)
{
    private readonly List<string> no = [], why = [], cautions = [];
    private readonly List<Figure> figures = [];

    private readonly HashSet<string> unknown = [];

    /// <summary>Something is said of the part one would fit; a choice left as it stood says nothing.</summary>
    public bool Proposed { get; } = asks.Any(a => a.OfNewPart && given.Has(a) && (a is not ChoiceAsk c || given[c] != c.Options[0].Value));

    public bool Refused => no.Count > 0;

    public Tally No(string reason) { no.Add(Sentence(reason)); return this; }
    public Tally Why(string reason) { why.Add(Sentence(reason)); return this; }
    public Tally Mind(string caution) { cautions.Add(Sentence(caution)); return this; }
    public Tally Figure(string id, string name, double value, string unit, string word = "") { figures.Add(new(id, name, value, unit, word)); return this; }

    /// <param name="must">Refuse a part of which this is not known; otherwise only say so.</param>
    public Tally AtLeast(NumberAsk ask, double least, string because, bool must = true)
    {
        figures.Add(new("need-" + ask.Id, Name(ask), least, ask.Unit, "at least"));
        if (given.Has(ask)) return given[ask] < least * (1 - 1e-9) ? No($"{Name(ask)}: {Say(ask)} is less than {Engineering.Say(least, ask.Unit)}: {because}") : this;
        return Unknown(ask, because, must);
    }

    public Tally AtMost(NumberAsk ask, double most, string because, bool must = true)
    {
        figures.Add(new("limit-" + ask.Id, Name(ask), most, ask.Unit, "at most"));
        if (given.Has(ask)) return given[ask] > most * (1 + 1e-9) ? No($"{Name(ask)}: {Say(ask)} is more than {Engineering.Say(most, ask.Unit)}: {because}") : this;
        return Unknown(ask, because, must);
    }

    /// <summary>Said once for a field with a least and a greatest value.</summary>
    private Tally Unknown(NumberAsk ask, string because, bool must) => !Proposed || !unknown.Add(ask.Id) ? this
        : must ? No($"{Name(ask)}: not known – {because}") : Mind($"{Name(ask)}: not known – {because}");

    private static string Sentence(string words) => words[^1] is '.' or '?' or '!' or '’' or '”' ? words : words + ".";

    private static string Name(Ask ask) => ask.Label.StartsWith("its ", StringComparison.OrdinalIgnoreCase) ? char.ToUpperInvariant(ask.Label[4]) + ask.Label[5..] : ask.Label;

    private string Say(NumberAsk ask) => Engineering.Say(given[ask]!.Value, ask.Unit);

    /// <param name="look">Said when no part was proposed.</param>
    public Finding Close(string fits, string look) =>
        no.Count > 0 ? new(Judgement.DoesNotFit, no[0], [.. no[1..], .. why], [.. cautions], [.. figures])
        : new(Proposed ? Judgement.Fits : Judgement.Reckoned, Proposed ? fits : look, [.. why], [.. cautions], [.. figures]);

    public Finding Reckoned(string says) => new(Judgement.Reckoned, says, [.. why], [.. cautions], [.. figures]);

    public Finding NoAdvice(string says) => new(Judgement.NoAdvice, says, [.. why], [.. cautions], [.. figures]);
}
