using System.Text.Json;

namespace Core.Tests.Reasoning;

/// <summary>Reads the published values kept under reference/.</summary>
internal static class Reference
{
    public static JsonElement Read(string folder, string file)
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        Assert.NotNull(at);
        return JsonDocument.Parse(File.ReadAllText(Path.Combine(at.FullName, "reference", folder, file))).RootElement;
    }

    /// <summary>Compares with a value given as [value, tolerance]; the tolerance is half a unit of the last printed digit.</summary>
    public static void Near(JsonElement expected, double actual, string what)
    {
        if (expected.ValueKind == JsonValueKind.Null) return;
        var (value, tolerance) = (expected[0].GetDouble(), expected[1].GetDouble());
        Assert.True(Math.Abs(value - actual) <= tolerance * 1.01, $"{what}: published {value:R} ± {tolerance:0e+0}, ours {actual:R}");
    }
}
