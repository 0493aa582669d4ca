using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>What was given to a calculation, within its limits. Read from typed texts or built in code; both refuse alike.</summary>
public sealed class Given
{
    private readonly ImmutableDictionary<string, object> values;

    private Given(ImmutableDictionary<string, object> values) => this.values = values;

    public static Given Nothing { get; } = new(ImmutableDictionary<string, object>.Empty);

    /// <summary>Reads texts by the asks' ids; every complaint names its field and the limit it broke.</summary>
    public static (Given Given, ImmutableDictionary<string, string> Wrong) Read(IEnumerable<Ask> asks, Func<string, string?> typed)
    {
        var read = ImmutableDictionary.CreateBuilder<string, object>();
        var wrong = ImmutableDictionary.CreateBuilder<string, string>();
        foreach (var ask in asks)
        {
            var text = typed(ask.Id)?.Trim() ?? "";
            if (text.Length == 0)
            {
                if (ask.Required) wrong[ask.Id] = $"{ask.Label} is needed{(ask is NumberAsk n ? $": {n.Limits}" : "")}.";
            }
            else if (ask.Read(text, out var complaint) is { } value) read[ask.Id] = value;
            else wrong[ask.Id] = complaint!;
        }
        return (new(read.ToImmutable()), wrong.ToImmutable());
    }

    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the ask's limits; the message names the field and the limits.</exception>
    public Given With(NumberAsk ask, double value) => value >= ask.Low && value <= ask.High
        ? new(values.SetItem(ask.Id, value))
        : throw new ArgumentOutOfRangeException(ask.Id, value, $"{ask.Label}: outside {ask.Limits}.");

    /// <exception cref="ArgumentException">Not one of the choices.</exception>
    public Given With(ChoiceAsk ask, string value) => ask.Read(value, out var wrong) is null ? throw new ArgumentException(wrong, ask.Id) : new(values.SetItem(ask.Id, value));

    public Given With(TextAsk ask, string value) => new(values.SetItem(ask.Id, value));

    public bool Has(Ask ask) => values.ContainsKey(ask.Id) && values[ask.Id] is not "";

    /// <summary>The number given, else the usual one, else null.</summary>
    public double? this[NumberAsk ask] => values.TryGetValue(ask.Id, out var value) ? (double)value : ask.Usual;

    /// <exception cref="ArgumentException">Neither given nor usual.</exception>
    public double Need(NumberAsk ask) => this[ask] ?? throw new ArgumentException($"{ask.Label} is needed: {ask.Limits}.", ask.Id);

    public string this[ChoiceAsk ask] => values.TryGetValue(ask.Id, out var value) ? (string)value : ask.Options[0].Value;

    public string this[TextAsk ask] => values.TryGetValue(ask.Id, out var value) ? (string)value : "";

    /// <summary>These values, with what is known of a part laid over what was asked of the new part.</summary>
    internal Given Over(IEnumerable<Ask> newPart, Given part)
    {
        var laid = values;
        foreach (var ask in newPart) laid = part.values.TryGetValue(ask.Id, out var value) ? laid.SetItem(ask.Id, value) : laid.Remove(ask.Id);
        return new(laid);
    }

    /// <summary>In words, for the tape: "marked volts 25 V, …".</summary>
    public string Said(IEnumerable<Ask> asks) => string.Join(", ", asks.Where(Has).Select(a => $"{a.Label} {a switch
    {
        NumberAsk n => Engineering.Say(this[n]!.Value, n.Unit),
        ChoiceAsk c => c.WordOf(this[c]),
        _ => values[a.Id],
    }}"));
}
