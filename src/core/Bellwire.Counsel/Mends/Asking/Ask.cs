using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>One thing a calculation asks. The field's name, its unit and its limits travel with it, so that every page, command and test
/// refuses the same values with the same words.</summary>
/// <param name="Id">Name in an address: letters and digits only.</param>
public abstract record Ask(string Id, string Label)
{
    public string? Hint { get; init; }
    /// <summary>Without it nothing can be said.</summary>
    public bool Required { get; init; }
    /// <summary>Belongs to the part one would fit, not to the set: what own stock is known by.</summary>
    public bool OfNewPart { get; init; }
    /// <summary>Id of the ask about the old part that this one answers: how near a part comes.</summary>
    public string? Like { get; init; }

    /// <summary>The value, or null and what is wrong with it.</summary>
    internal abstract object? Read(string text, out string? wrong);
}

/// <param name="Unit">Base SI unit; values and limits are in it.</param>
/// <param name="Low">Least value, <paramref name="High"/> greatest; both allowed.</param>
public sealed record NumberAsk(string Id, string Label, string Unit, double Low, double High) : Ask(Id, Label)
{
    /// <summary>Prefix meant when none is typed.</summary>
    public string Prefix { get; init; } = "";
    /// <summary>Taken when nothing is typed; null leaves it unknown.</summary>
    public double? Usual { get; init; }

    public string Limits => $"{Engineering.Say(Low, Unit)} to {Engineering.Say(High, Unit)}";

    internal override object? Read(string text, out string? wrong)
    {
        wrong = null;
        if (Engineering.Parse(text, Unit, Prefix, out var why) is not { } value) { wrong = $"{Label}: {why}"; return null; }
        if (value >= Low && value <= High) return value;
        wrong = $"{Label}: {Engineering.Say(value, Unit)} is outside {Limits}.";
        return null;
    }
}

/// <summary>A few words to choose from; the first is meant when nothing is said.</summary>
public sealed record ChoiceAsk(string Id, string Label, params ImmutableArray<(string Value, string Word)> Options) : Ask(Id, Label)
{
    internal override object? Read(string text, out string? wrong)
    {
        wrong = Options.Any(o => o.Value == text) ? null : $"{Label}: “{text}” is not one of {string.Join(", ", Options.Select(o => o.Value.Length == 0 ? "(nothing)" : o.Value))}.";
        return wrong is null ? text : null;
    }

    public string WordOf(string value) => Options.First(o => o.Value == value).Word;
}

/// <summary>A few characters as they stand on a part.</summary>
public sealed record TextAsk(string Id, string Label) : Ask(Id, Label)
{
    internal override object? Read(string text, out string? wrong)
    {
        wrong = text.Length > 80 ? string.Create(CultureInfo.InvariantCulture, $"{Label}: {text.Length} characters; at most 80.") : null;
        return wrong is null ? text : null;
    }
}
