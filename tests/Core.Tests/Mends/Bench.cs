using System.Text.Json;
using Bellwire.Counsel.Mends;
using Core.Tests.Reasoning;

namespace Core.Tests.Mends;

/// <summary>The bench values of reference/mends-bench, and a shorthand for asking a calculation in texts.</summary>
internal static class Bench
{
    public static JsonElement Values { get; } = Reference.Read("mends-bench", "values.json");

    public static Finding Ask(string id, params (string Field, object Value)[] typed)
    {
        var calculation = Calculation.Of(id);
        Assert.NotNull(calculation);
        foreach (var (field, _) in typed) Assert.Contains(calculation.Asks, a => a.Id == field);
        var (given, wrong) = calculation.Read(f => typed.Where(t => t.Field == f).Select(t => Convert.ToString(t.Value, System.Globalization.CultureInfo.InvariantCulture)).FirstOrDefault());
        Assert.True(wrong.Count == 0, string.Join(" ", wrong.Values));
        return calculation.Answer(given);
    }

    public static void Near(double expected, double actual, double relative, string what) =>
        Assert.True(Math.Abs(actual - expected) <= Math.Abs(expected) * relative, $"{what}: {expected:R} ± {relative:P1} expected, {actual:R} found");

    public static double N(this JsonElement e, string name) => e.GetProperty(name).GetDouble();
    public static double? Maybe(this JsonElement e, string name) => e.TryGetProperty(name, out var v) ? v.GetDouble() : null;
    public static string S(this JsonElement e, string name) => e.GetProperty(name).GetString()!;

    public static void Fits(Finding finding) => Assert.True(finding.Judgement == Judgement.Fits, finding.Says);

    /// <summary>Refused, and somewhere among the reasons these words.</summary>
    public static void Refused(Finding finding, string words)
    {
        Assert.Equal(Judgement.DoesNotFit, finding.Judgement);
        Assert.Contains(words, string.Join(" ", [finding.Says, .. finding.Why]));
    }

    public static void Minds(Finding finding, string words) => Assert.Contains(words, string.Join(" ", finding.Cautions));
}
