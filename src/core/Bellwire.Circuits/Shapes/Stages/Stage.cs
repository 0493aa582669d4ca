namespace Bellwire.Circuits.Shapes;

/// <summary>What stands between one rail and the next. A new kind is one record in one file.</summary>
/// <param name="Rail">Name of the rail it makes: letters, digits, <c>-</c> and <c>.</c>.</param>
public abstract record Stage(string Rail)
{
    /// <summary>The rail it is fed from: <c>raw</c>, <c>raw-neg</c> of a dual supply, or that of an earlier stage.</summary>
    public string From { get; init; } = SupplyShape.Raw;

    /// <summary>Capacitor from the rail to common; null for none.</summary>
    public CapacitorAsRead? Output { get; init; }

    /// <summary>What the rail is meant to hold, V, size only; null where nothing regulates it.</summary>
    public virtual double? MeantVolts => null;

    /// <summary>What it is, for people: <c>RC filter</c>.</summary>
    public abstract string Words { get; }

    /// <param name="make">Where the parts go.</param>
    /// <param name="input">Node it is fed from.</param>
    /// <param name="output">Node of its rail.</param>
    /// <param name="negative">True below common.</param>
    internal abstract void Build(PartMaker make, string input, string output, bool negative);

    internal virtual void Check(Checks on) => Output?.Check(on.At("Output"));

    private protected void OutputCapacitor(PartMaker make, string output, bool negative)
    {
        if (Output is { } c) make.Capacitor(c, output, Netlist.Ground, negative, $"output capacitor of {Rail}");
    }
}
