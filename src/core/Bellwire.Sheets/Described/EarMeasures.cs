using System.Collections.Immutable;

namespace Bellwire.Sheets;

/// <summary>What a recording can be measured for, by the names a sheet uses.</summary>
public static class EarMeasures
{
    /// <summary>Measures that end in a word: the measure and the words it may give.</summary>
    public static ImmutableDictionary<string, ImmutableArray<string>> Verdicts { get; } = ImmutableDictionary<string, ImmutableArray<string>>.Empty
        .Add("hum", ["none", "half-missing", "ripple", "pick-up"])
        .Add("sound", ["heard", "silent"])
        .Add("response", ["within", "bass-down", "treble-down", "outside"]);

    /// <summary>Measures that end in a number: the measure and its unit.</summary>
    public static ImmutableDictionary<string, string> Numbers { get; } = ImmutableDictionary<string, string>.Empty
        .Add("level", "dBFS").Add("hum-level", "dBFS").Add("noise", "dBFS A").Add("tone", "Hz").Add("distortion", "%").Add("note", "Hz").Add("interval", "cents").Add("crosstalk", "dB").Add("balance", "dB");

    /// <summary>What a telephone's recording says nothing of: its gain, its response and its coding are its own, and it has one channel.</summary>
    public static ImmutableHashSet<string> OfLevel { get; } = ["level", "hum-level", "noise", "sound", "response", "distortion", "crosstalk", "balance"];

    public static IEnumerable<string> All => Verdicts.Keys.Concat(Numbers.Keys).Order(StringComparer.Ordinal);
}
