using System.Collections.Immutable;
using System.Globalization;

namespace Bellwire.Workshop;

/// <summary>What the papers say of the shop: read from the journal, every item optional.</summary>
public sealed record ShopDetails(ImmutableDictionary<string, string> Said)
{
    public static ShopDetails None { get; } = new(ImmutableDictionary<string, string>.Empty);

    /// <summary>Every item that can be said, in the order of a letter's head.</summary>
    public static ImmutableArray<string> Items { get; } =
        ["name", "address", "country", "telephone", "mail", "currency", "tax-name", "tax-percent", "hourly-rate", "terms", "payment", "logo"];

    public static ImmutableArray<string> OwnerItems { get; } = ["address", "country", "telephone", "mail"];

    public string? this[string item] => Said.GetValueOrDefault(item) is { Length: > 0 } value ? value : null;

    /// <summary>Three letters; every sum carries it.</summary>
    public string Currency => this["currency"] ?? "EUR";

    /// <summary>Tax on work and parts in percent, 0..100; null when none was said: then no tax is shown.</summary>
    public decimal? TaxPercent => Number("tax-percent");

    /// <summary>Money an attended hour is charged at; null when it was not said.</summary>
    public decimal? HourlyRate => Number("hourly-rate");

    private decimal? Number(string item) =>
        decimal.TryParse(this[item], NumberStyles.Number, CultureInfo.InvariantCulture, out var n) ? n : null;

    /// <summary>What is wrong with a value, or null. Nothing is always right: it takes the item away.</summary>
    public static string? Complaint(string item, string value)
    {
        if (!Items.Contains(item)) return $"Item: “{item}” is not one of {string.Join(", ", Items)}.";
        if (value.Length == 0) return null;
        bool Amount(decimal most) => decimal.TryParse(value, NumberStyles.Number, CultureInfo.InvariantCulture, out var n) && n >= 0 && n <= most;
        return item switch
        {
            _ when value.Length > 4000 => $"{item}: {value.Length} letters are more than the 4000 a paper's item may have.",
            "currency" when value.Length != 3 || !value.All(char.IsAsciiLetterUpper) => $"currency: “{value}” is not three capital letters, such as EUR.",
            "tax-percent" when !Amount(100) => $"tax-percent: “{value}” is not a number from 0 to 100.",
            "hourly-rate" when !Amount(10_000) => $"hourly-rate: “{value}” is not a number from 0 to 10000.",
            "logo" when value.Length != 64 || !value.All(char.IsAsciiHexDigitLower) => "logo: the name of an attachment, 64 hex digits.",
            _ => null,
        };
    }
}
