namespace Bellwire.Circuits;

/// <summary>A winding with a broken wire.</summary>
/// <param name="Winding">0 is the first.</param>
public sealed record WindingOpen(string Part, int Winding) : Fault(Part)
{
    public override string Words => $"{Part} winding {Winding + 1} open";

    public override Netlist Apply(Netlist netlist)
    {
        var t = Find<Transformer>(netlist, "transformers");
        if (Winding < 0 || Winding >= t.Windings.Length) throw new ArgumentOutOfRangeException(nameof(netlist), Winding, $"{Part} has windings 0 to {t.Windings.Length - 1}.");
        return InSeries(netlist, 2 * Winding, BrokenOhms, "open");
    }
}

/// <summary>Turns of a winding shorted among themselves: they are lost to it and load the core.</summary>
/// <param name="Share">Of the winding's turns, above 0 and below 1.</param>
public sealed record ShortedTurns(string Part, int Winding, double Share = 0.05) : Fault(Part)
{
    public override string Words => FormattableString.Invariant($"{Part} winding {Winding + 1} has {Share * 100:0.#} % of its turns shorted");

    public override Netlist Apply(Netlist netlist)
    {
        var t = Find<Transformer>(netlist, "transformers");
        Ranged.Within(Share, 1e-4, 0.95, "share of turns");
        if (Winding < 0 || Winding >= t.Windings.Length) throw new ArgumentOutOfRangeException(nameof(netlist), Winding, $"{Part} has windings 0 to {t.Windings.Length - 1}.");
        var w = t.Windings[Winding];
        return netlist.Replace(Part, t with
        {
            Windings = t.Windings.SetItem(Winding, w with { Turns = w.Turns * (1 - Share), Ohms = w.Ohms * (1 - Share) }),
            ShortedTurns = w.Turns * Share,
            ShortedOhms = w.Ohms * Share,
        });
    }
}
