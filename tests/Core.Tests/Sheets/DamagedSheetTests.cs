using Bellwire.Sheets;

namespace Core.Tests.Sheets;

public class DamagedSheetTests
{
    private static int Count => Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1" ? 100_000 : 2_000;

    [Fact]
    public void No_damage_makes_the_reader_crash()
    {
        var random = new Random(20261125);
        var whole = ShippedSheets.Texts.Select(t => t.Text).ToArray();
        for (var i = 0; i < Count; i++)
        {
            // One in forty of the large shipped sheets: the small one holds one of everything.
            var text = Damage(i % 40 == 0 ? whole[i / 40 % whole.Length] : SmallSheet.Text, random);
            var result = SheetReader.Read(text, "damaged.yaml");
            Assert.Equal(result.IsGood, result.Complaints.IsEmpty);
            Assert.All(result.Complaints, c => Assert.True(c.Line >= 1 && c.Column >= 1 && c.Message.Length > 0));
        }
    }

    [Theory]
    [InlineData("[", 5_000)]
    [InlineData("{a: ", 5_000)]
    [InlineData("- ", 5_000)]
    [InlineData("a: &x [*x]\n", 50)]
    [InlineData("\"", 3)]
    [InlineData("a b c <room> ", 20_000)]
    public void Deep_or_endless_text_is_refused(string piece, int times) =>
        Assert.False(SheetReader.Read(string.Concat(Enumerable.Repeat(piece, times)), "deep.yaml").IsGood);

    [Fact]
    public void A_sheet_that_is_too_long_is_not_read() =>
        Assert.Contains("at most", SheetReader.Read(new string('x', 2_000_000), "long.yaml").Complaints.Single().Message, StringComparison.Ordinal);

    private const string Odd = "{}[]:,&*#?|-<>!%@`\"'\\\n\t \0\u2028()/";

    private static string Damage(string text, Random random)
    {
        var t = new System.Text.StringBuilder(text);
        for (var n = random.Next(1, 6); n > 0 && t.Length > 10; n--)
        {
            var at = random.Next(t.Length);
            switch (random.Next(7))
            {
                case 0: t.Remove(at, Math.Min(random.Next(1, 40), t.Length - at)); break;
                case 1: t.Insert(at, Odd[random.Next(Odd.Length)]); break;
                case 2: t[at] = (char)random.Next(1, 0x2100); break;
                case 3: t.Insert(at, t.ToString(at, Math.Min(random.Next(1, 200), t.Length - at))); break;
                case 4: t.Length = at; break;
                case 5: t.Insert(at, random.Next(2) == 0 ? "-1e999" : "99999999999999999999"); break;
                default: t.Replace("room", random.Next(2) == 0 ? "door" : "rom", at, Math.Min(60, t.Length - at)); break;
            }
        }

        return t.ToString();
    }
}
