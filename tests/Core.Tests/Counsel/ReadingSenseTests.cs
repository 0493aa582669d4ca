using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>What a tired hand types is asked about before it is evidence. Limits of what such sets read: common practice, no source.</summary>
public class ReadingSenseTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableHashSet<string> Own = ImmutableHashSet.Create(StringComparer.OrdinalIgnoreCase, "TP9");

    [Theory]
    [InlineData("rau", "did you mean “raw”?")]
    [InlineData("rail-15", "did you mean “rail-12”?")]
    [InlineData("FI1", "did you mean “F1”?")]
    [InlineData("nowhere", "there are ac-ends, fuse-drop, raw")]
    [InlineData("TP8", "new TP8 4.1 V")]
    public void A_place_no_sheet_names_is_asked_about(string place, string words) =>
        Assert.Contains(words, ReadingSense.NoSuchPlace(Sheet, Own, place, place + " 4.1 V"), StringComparison.Ordinal);

    [Theory]
    [InlineData("raw"), InlineData("TP9"), InlineData("tp9"), InlineData("C1"), InlineData("c1"), InlineData("C1-esr"), InlineData("raw-ripple-hertz"), InlineData("U12")]
    public void A_place_of_sheet_circuit_or_tape_is_known(string place) => Assert.Null(ReadingSense.NoSuchPlace(Sheet, Own, place, place));

    [Theory]
    [InlineData("rail-12", "ohm", 12000, "type V")]
    [InlineData("raw", "volt-ac", 0.4, "type V")]
    [InlineData("raw", "ohm", double.PositiveInfinity, "type V")]
    [InlineData("raw-ohms", "volt-dc", 5, "type Ω")]
    [InlineData("C1", "volt-dc", 5, "in ohms or farads")]
    [InlineData("raw", "volt-dc", 99999999, "more than 2000 V")]
    [InlineData("TP9", "volt-dc", -2001, "more than 2000 V")]
    [InlineData("TP9", "ampere", 101, "more than 100 A")]
    [InlineData("hot-leak", "volt-ac", 751, "more than 1000 times what hot-leak reads in a good set (0.75 V)")]
    public void What_cannot_be_read_there_is_a_slip(string place, string quantity, double value, string words) =>
        Assert.Contains(words, ReadingSense.Slip(Sheet, place, quantity, value, "so"), StringComparison.Ordinal);

    [Theory]
    [InlineData("rail-12", "volt-dc", -12)] // positive ground
    [InlineData("raw", "volt-dc", 1999)]
    [InlineData("hot-leak", "volt-ac", 749)]
    [InlineData("hot-leak", "volt-dc", 0.2)] // "0.2 V", typed at a point read on AC
    [InlineData("fuse-ohms", "ohm", 4.7e6)]
    [InlineData("fuse-ohms", "ohm", double.PositiveInfinity)]
    [InlineData("C1", "farad", 310e-6)]
    [InlineData("TP9", "ohm", 12000)]
    public void What_a_faulty_set_reads_is_taken(string place, string quantity, double value) => Assert.Null(ReadingSense.Slip(Sheet, place, quantity, value, "so"));

    [Fact]
    public void Volts_across_a_part_are_no_reading_of_the_part() => Assert.Null(PartReading.Of(Sheet, "F1", "volt-dc"));
}
