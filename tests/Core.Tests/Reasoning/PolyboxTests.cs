using System.Text.Json;
using Bellwire.Reasoning.Tables;

namespace Core.Tests.Reasoning;

/// <summary>De Kleer &amp; Williams' circuits; source and marks in reference/diagnosis-polybox/SOURCE.md.</summary>
public class PolyboxTests
{
    private static readonly JsonElement Values = Reference.Read("diagnosis-polybox", "values.json");
    private static readonly string[] Parts = ["A1", "A2", "M1", "M2", "M3"];

    private static TableNetwork Polybox()
    {
        var n = Values.GetProperty("width").GetInt32();
        string[] numbers = [.. Enumerable.Range(0, n).Select(i => i.ToString())];
        var p = Values.GetProperty("probability").GetDouble();
        int In(string name) => Values.GetProperty("inputs").GetProperty(name).GetInt32();
        var net = new TableNetwork();
        foreach (var x in Parts) net.Variable(x, "good", "bad");
        foreach (var x in new[] { "X", "Y", "Z", "F", "G" }) net.Variable(x, numbers);
        foreach (var x in Parts) net.Table([x], 1 - p, p);
        double Given(bool good, int output, int right) => !good ? 1.0 / n : output == right ? 1 : 0;
        net.Table(["M1", "X"], x => Given(x[0] == 0, x[1], In("A") * In("C")));
        net.Table(["M2", "Y"], x => Given(x[0] == 0, x[1], In("B") * In("D")));
        net.Table(["M3", "Z"], x => Given(x[0] == 0, x[1], In("C") * In("E")));
        net.Table(["A1", "X", "Y", "F"], x => Given(x[0] == 0, x[3], x[1] + x[2]));
        net.Table(["A2", "Y", "Z", "G"], x => Given(x[0] == 0, x[3], x[1] + x[2]));
        return net;
    }

    private static (string, string)[] Outputs => [("F", Values.GetProperty("F").ToString()), ("G", Values.GetProperty("G").ToString())];

    [Fact]
    public void Marginals_and_evidence()
    {
        var a = Polybox().Weigh(Outputs);
        Reference.Near(Values.GetProperty("evidence"), a.Evidence, "P(e)");
        foreach (var m in Values.GetProperty("marginals").EnumerateObject()) Reference.Near(m.Value, a.P(m.Name, "bad"), m.Name);
        var b = Polybox().Weigh([.. Outputs, ("X", "4")]);
        Assert.Equal(1, b.P("M1", "bad"), 1e-9);
    }

    [Fact]
    public void Entropies_of_the_fault_set()
    {
        var net = Polybox();
        var (points, consistent) = Entropy(5, set => net.Weigh([.. Outputs, .. Parts.Select((x, i) => (x, (set >> i & 1) == 1 ? "bad" : "good"))]), ["X", "Y", "Z"]);
        Assert.Equal(Values.GetProperty("consistentSets").GetInt32(), consistent);
        Reference.Near(Values.GetProperty("entropy"), points[""], "entropy");
        foreach (var x in Values.GetProperty("after").EnumerateObject()) Reference.Near(x.Value, points[x.Name], "after " + x.Name);
    }

    [Fact]
    public void Four_inverters()
    {
        var p = Values.GetProperty("probability").GetDouble();
        var net = new TableNetwork();
        for (var i = 1; i <= 4; i++) net.Variable("g" + i, "good", "bad");
        for (var i = 0; i <= 4; i++) net.Variable("w" + i, "0", "1");
        for (var i = 1; i <= 4; i++)
        {
            net.Table(["g" + i], 1 - p, p);
            net.Table(["g" + i, "w" + (i - 1), "w" + i], x => x[0] == 1 ? 0.5 : x[1] != x[2] ? 1 : 0);
        }
        net.Table(["w0"], 1, 0);
        var file = Values.GetProperty("inverters");
        var a = net.Weigh(("w4", "1"));
        Reference.Near(file.GetProperty("evidence"), a.Evidence, "P(e)");
        for (var i = 1; i <= 4; i++) Reference.Near(file.GetProperty("gate"), a.P("g" + i, "bad"), "g" + i);
        var (points, _) = Entropy(4, set => net.Weigh([("w4", "1"), .. Enumerable.Range(1, 4).Select(i => ("g" + i, (set >> (i - 1) & 1) == 1 ? "bad" : "good"))]), ["w1", "w2", "w3"]);
        for (var i = 0; i < 3; i++) Reference.Near(file.GetProperty("after")[i], points["w" + (i + 1)], "after w" + (i + 1));
    }

    /// <summary>Entropy in bits of the fault set ("") and its expectation after each point is measured.</summary>
    private static (Dictionary<string, double> Bits, int Consistent) Entropy(int parts, Func<int, TableAnswer> weigh, string[] points)
    {
        var answers = Enumerable.Range(0, 1 << parts).Select(weigh).Where(a => a.Evidence > 0).ToList();
        var all = answers.Sum(a => a.Evidence);
        var bits = new Dictionary<string, double> { [""] = answers.Sum(a => Term(a.Evidence / all)) };
        foreach (var point in points)
        {
            double h = 0;
            foreach (var state in answers[0].Marginals[point].Keys)
            {
                var joint = answers.Select(a => a.Evidence / all * a.P(point, state)).ToList();
                var p = joint.Sum();
                if (p > 0) h += p * joint.Sum(j => Term(j / p));
            }
            bits[point] = h;
        }
        return (bits, answers.Count);
    }

    private static double Term(double p) => p > 0 ? -p * Math.Log2(p) : 0;
}
