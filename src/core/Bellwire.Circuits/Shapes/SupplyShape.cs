using System.Collections.Immutable;

namespace Bellwire.Circuits.Shapes;

/// <summary>
/// A line supply described by its shape: how the winding is rectified, the transformer as it is read, fuse, reservoir, and the
/// stages behind it. <see cref="Build"/> makes the circuit.
/// </summary>
/// <param name="Rectifier">How the winding is rectified.</param>
/// <param name="Transformer">As read on the bench; its volts and secondary ohms are of one half with <see cref="RectifierKind.CentreTap"/> and <see cref="RectifierKind.DualFromTap"/>.</param>
/// <param name="Reservoir">The first capacitor; each of the two of a dual supply or a doubler.</param>
public sealed record SupplyShape(RectifierKind Rectifier, TransformerAsRead Transformer, CapacitorAsRead Reservoir)
{
    /// <summary>The rail behind the rectifier.</summary>
    public const string Raw = "raw";

    /// <summary>The negative one of a dual supply.</summary>
    public const string RawNegative = "raw-neg";

    /// <summary>Each of the rectifiers.</summary>
    public RectifierPart Diodes { get; init; } = new Silicon();
    public FuseAsRead Fuse { get; init; } = FuseAsRead.Absent;

    /// <summary>A resistor between rectifier and reservoir, Ω, as old sets have; 0 for none.</summary>
    public double SurgeOhms { get; init; }

    /// <summary>In the order of their parts' numbers; a stage comes after the one that feeds it.</summary>
    public ImmutableArray<Stage> Stages { get; init; } = [];
    public ImmutableArray<RailLoad> Loads { get; init; } = [];

    /// <summary>A positive-ground set: all rails stand below common.</summary>
    public bool Negative { get; init; }

    /// <summary>Names as printed on the board in place of the running ones: <c>C1</c> → <c>C301</c>.</summary>
    public ImmutableDictionary<string, string> Printed { get; init; } = ImmutableDictionary<string, string>.Empty;

    /// <summary>True where volts and ohms of the secondary are those of one half.</summary>
    public bool Tapped => Rectifier is RectifierKind.CentreTap or RectifierKind.DualFromTap;

    /// <summary>What is wrong with the description; empty when nothing is.</summary>
    public ImmutableArray<ShapeComplaint> Complaints() => ShapeJudge.Judge(this);

    /// <summary>The circuit, or the complaints. Loads given in amperes on rails that nothing regulates cost a few steady states.</summary>
    public Built<SupplyCircuit> Build() => SupplyBuilder.Build(this);
}
