namespace Bellwire.Circuits.Shapes;

/// <summary>Gives parts their names – a letter and a running number – and collects them with what they are for.</summary>
internal sealed class PartMaker(int after = 0)
{
    private readonly Dictionary<string, int> _last = [];

    public List<Device> Devices { get; } = [];
    public List<ShapePart> Parts { get; } = [];
    public List<TestPoint> Points { get; } = [];

    public void Add(string letter, Func<string, Device> part, string words)
    {
        var number = _last[letter] = _last.GetValueOrDefault(letter, after) + 1;
        Named(letter + number, part, words);
    }

    public void Named(string name, Func<string, Device> part, string words)
    {
        Devices.Add(part(name));
        Parts.Add(new(name, words));
    }

    /// <summary>A node of a stage; rail names are checked beforehand, so its name is its own.</summary>
    public string Node(string name) => name;

    public void Point(string name, string node, string against = Netlist.Ground) => Points.Add(new(name, node, against));

    public void Resistor(string a, string b, double ohms, double? watts, string words, double tolerance = 0.05) =>
        Add("R", name => new Resistor(name, a, b, ohms, tolerance) { Ratings = watts is { } w ? new(Watts: w) : null }, words);

    /// <summary>The plus at <paramref name="hot"/>, or away from it below common.</summary>
    public void Capacitor(CapacitorAsRead read, string hot, string other, bool negative, string words) =>
        Add("C", name => negative ? read.Part(name, other, hot) : read.Part(name, hot, other), words);

    public void Zener(ZenerAsRead read, string hot, bool negative, string words) =>
        Add("Z", name => negative ? read.Part(name, hot, Netlist.Ground) : read.Part(name, Netlist.Ground, hot), words);

    /// <summary>Current flows from <paramref name="from"/> to <paramref name="to"/>, or the other way below common.</summary>
    public void Rectifier(RectifierPart part, string from, string to, bool negative, string words) =>
        Add("D", name => negative ? part.Part(name, to, from) : part.Part(name, from, to), words);
}

/// <summary>A part of a built shape and what it is there for.</summary>
/// <param name="Name">As in the netlist: <c>C1</c>.</param>
/// <param name="Words">For people: <c>reservoir</c>.</param>
public sealed record ShapePart(string Name, string Words);
