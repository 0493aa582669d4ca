using Bellwire.Reasoning;
using Bellwire.Reasoning.Tables;

namespace Core.Tests.Reasoning;

/// <summary>ln p of whole tapes against a program for graphical models, on the same network written out (toulbar2 -logz, Debian package toulbar2;
/// Hurley and others, "Multi-language evaluation of exact solvers in graphical model discrete optimization", 2016; from memory).</summary>
public class ToulbarTests
{
    [Fact]
    public void Evidence_is_what_toulbar2_reckons()
    {
        int judged = 0, seed = 700_000, walks = 0;
        while (judged < 12)
        {
            var c = new RandomCases(++seed, judged < 8 ? 2 : 3).Make();
            if (c.Events.OfType<CaseEvent.Observe>().Count() < 3) continue;
            var w = Reasoner.Weigh(c, new WeighOptions(NodeBudget: int.MaxValue, Samples: 20));
            if (w.Posterior is not { } p) continue;
            judged++;
            var network = NetworkText.Of(w);
            if (network.Split('\n').Any(l => l.StartsWith("3 ", StringComparison.Ordinal))) walks++;
            // Printed to three decimals by a program that reckons in whole numbers.
            Assert.Equal(p.LogEvidence, Toulbar.LogZ(network), 0.002);
        }
        Assert.True(walks > 0, "no look was large enough to be written as a walk");
    }
}
