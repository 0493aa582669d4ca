using System.Collections.Immutable;

namespace Bellwire.Sheets;

/// <summary>The texts of sheets/*.yaml, carried inside the program.</summary>
public static class ShippedSheets
{
    public const string GenericFile = "unknown-set.yaml";

    private static readonly Lazy<ImmutableArray<(string FileName, string Text)>> all = new(() =>
        [.. typeof(ShippedSheets).Assembly.GetManifestResourceNames().Where(n => n.EndsWith(".yaml", StringComparison.Ordinal)).Order(StringComparer.Ordinal).Select(n => (n, TextOf(n)))]);

    public static ImmutableArray<(string FileName, string Text)> Texts => all.Value;

    private static string TextOf(string name)
    {
        using var stream = typeof(ShippedSheets).Assembly.GetManifestResourceStream(name)!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
