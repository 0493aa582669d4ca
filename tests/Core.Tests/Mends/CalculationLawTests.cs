using Bellwire.Counsel.Mends;
using CsCheck;

namespace Core.Tests.Mends;

/// <summary>What holds for every calculation: it is found, states its limits, refuses what is outside them by name, answers everything inside, and answers the same twice.</summary>
public class CalculationLawTests
{
    [Fact]
    public void Every_kind_is_found_once_and_describes_itself()
    {
        Assert.Equal(20, Calculation.All.Length);
        Assert.Equal(Calculation.All.Length, Calculation.All.Select(c => c.Id).Distinct().Count());
        Assert.All(Calculation.All, c =>
        {
            Assert.True(c.About.EndsWith('.') && c.Title.Length > 0, c.Id);
            Assert.Equal(c.Asks.Length, c.Asks.Select(a => a.Id).Distinct().Count());
            Assert.All(c.Asks.OfType<NumberAsk>(), a => Assert.True(a.Low < a.High && a.Usual is not { } u || a.Usual >= a.Low && a.Usual <= a.High, $"{c.Id} {a.Id}"));
            Assert.All(c.Asks.Where(a => a.Like is not null), a => Assert.Contains(c.Asks, b => b.Id == a.Like));
        });
        Assert.All(MendRule.Rules, r => Assert.NotEmpty(r.NewPart));
    }

    [Fact]
    public void Outside_the_limits_the_field_and_the_limit_are_named()
    {
        foreach (var c in Calculation.All)
            foreach (var ask in c.Asks.OfType<NumberAsk>())
            {
                foreach (var beyond in new[] { double.NaN, double.PositiveInfinity, ask.High * 1.01 + 1, ask.Low - 1 })
                {
                    var e = Assert.Throws<ArgumentOutOfRangeException>(() => Given.Nothing.With(ask, beyond));
                    Assert.Contains(ask.Label, e.Message);
                    Assert.Contains(ask.Limits, e.Message);
                }
                var (_, wrong) = c.Read(f => f == ask.Id ? "1e9 " + ask.Unit : null);
                Assert.Contains(ask.Label, wrong[ask.Id]);
                var text = FormattableString.Invariant($"{(ask.High * 1.01 + 1) / (ask.Prefix == "µ" ? 1e-6 : 1):0.######}");
                (_, wrong) = c.Read(f => f == ask.Id ? text : null);
                Assert.Contains(ask.Limits, wrong[ask.Id]);
            }
    }

    [Fact]
    public void What_is_needed_is_asked_for_by_name()
    {
        foreach (var c in Calculation.All)
        {
            var (_, wrong) = c.Read(_ => null);
            Assert.Equal(c.Asks.Where(a => a.Required).Select(a => a.Id).Order(), wrong.Keys.Order());
        }
    }

    /// <summary>Anything within the limits gets a finding without a broken figure, and the same one twice.</summary>
    [Fact]
    public void Everything_inside_the_limits_is_answered()
    {
        var seeds = Gen.Int[0, int.MaxValue - 1];
        seeds.Sample(seed =>
        {
            var random = new Random(seed);
            var c = Calculation.All[random.Next(Calculation.All.Length)];
            var given = Given.Nothing;
            foreach (var ask in c.Asks)
            {
                if (!ask.Required && random.Next(3) == 0) continue;
                given = ask switch
                {
                    NumberAsk n => given.With(n, Math.Clamp(n.Low > 0 && random.Next(2) == 0 ? Math.Exp(Math.Log(n.Low) + random.NextDouble() * Math.Log(n.High / n.Low)) : n.Low + random.NextDouble() * (n.High - n.Low), n.Low, n.High)),
                    ChoiceAsk o => given.With(o, o.Options[random.Next(o.Options.Length)].Value),
                    TextAsk t => given.With(t, Texts[random.Next(Texts.Length)]),
                    _ => given,
                };
            }
            var finding = c.Answer(given);
            Assert.NotEqual("", finding.Says);
            Assert.All(finding.Figures, f => Assert.False(double.IsNaN(f.Value), $"{c.Id}: {f.Name}"));
            Assert.All(finding.Figures, f => Assert.NotEqual("", f.Said));
            var again = c.Answer(given);
            Assert.Equal((finding.Judgement, finding.Says), (again.Judgement, again.Says));
            if (c is not MendRule) Assert.True(finding.Judgement is Judgement.Reckoned or Judgement.NoAdvice);
        }, iter: Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1" ? 20_000 : 600);
    }

    private static readonly string[] Texts = ["T500mA L 250V", "F 1A", "3 A slow", "45 45 8", "nonsense", "8"];
}
