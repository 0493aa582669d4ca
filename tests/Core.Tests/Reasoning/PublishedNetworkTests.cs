using System.Text.Json;
using Bellwire.Reasoning.Tables;

namespace Core.Tests.Reasoning;

/// <summary>Published networks through the engine's table interface. Sources: SOURCE.md in each reference folder.</summary>
public class PublishedNetworkTests
{
    [Fact]
    public void Chest_clinic() => Check(Reference.Read("diagnosis-chest-clinic", "network.json"));

    [Theory]
    [InlineData(0, "burglary")]
    [InlineData(1, "sprinkler")]
    [InlineData(2, "car start")]
    [InlineData(3, "noisy-or 3x3")]
    public void Small_networks(int index, string name)
    {
        var net = Reference.Read("diagnosis-small-networks", "networks.json").GetProperty("networks")[index];
        Assert.Equal(name, net.GetProperty("name").GetString());
        Check(net);
    }

    [Fact]
    public void Chest_clinic_conflicts_and_joint()
    {
        var file = Reference.Read("diagnosis-chest-clinic", "network.json");
        var net = Network(file);
        foreach (var c in file.GetProperty("conflicts").EnumerateArray())
            Reference.Near(c.GetProperty("bits"), net.Conflict(Seen(c)), "conflict " + c.GetProperty("seen"));
        foreach (var j in file.GetProperty("joint").GetProperty("values").EnumerateObject())
        {
            var w = j.Name.Split(' ');
            Assert.Equal(j.Value.GetDouble(), net.Weigh((w[0], w[1]), (w[2], w[3])).Evidence, 5e-5);
        }
    }

    [Fact]
    public void A_wrong_table_says_what_it_wants()
    {
        var e = Assert.Throws<ArgumentException>(() => new TableNetwork().Variable("a", "yes", "no").Table(["a"], 0.5));
        Assert.Contains("wants 2 values, not 1", e.Message);
    }

    private static void Check(JsonElement file)
    {
        var net = Network(file);
        foreach (var c in file.GetProperty("cases").EnumerateArray())
        {
            var a = net.Weigh(Seen(c));
            var what = $"{file.GetProperty("name")} {c.GetProperty("seen")}";
            Reference.Near(c.GetProperty("evidence"), a.Evidence, what);
            foreach (var m in c.GetProperty("marginals").EnumerateObject()) Reference.Near(m.Value, a.P(m.Name, "yes"), what + " " + m.Name);
        }
    }

    private static (string, string)[] Seen(JsonElement c) =>
        [.. c.GetProperty("seen").EnumerateObject().Select(x => (x.Name, x.Value.GetString()!))];

    private static TableNetwork Network(JsonElement file)
    {
        var net = new TableNetwork();
        foreach (var v in file.GetProperty("variables").EnumerateArray())
            net.Variable(v.GetProperty("name").GetString()!, [.. v.GetProperty("states").EnumerateArray().Select(s => s.GetString()!)]);
        foreach (var t in file.GetProperty("tables").EnumerateArray())
            net.Table([.. t.GetProperty("of").EnumerateArray().Select(s => s.GetString()!)], [.. t.GetProperty("values").EnumerateArray().Select(x => x.GetDouble())]);
        return net;
    }
}
