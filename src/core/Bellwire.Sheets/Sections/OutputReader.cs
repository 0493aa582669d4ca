using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Reads an audio output stage told by its shape: kind, rail, idle current, emitter ohms, speaker. It stands alone, on a rail as it is read.</summary>
internal sealed class OutputReader(Complaints complaints) : ShapeFields(complaints)
{
    private const string Complementary = "complementary", Transformers = "transformer-coupled", Chip = "chip";

    /// <summary>Part of the resistor between supply and stage, over which its amperes are read.</summary>
    public const string Feed = "R-feed";

    /// <summary>The stage, or null after complaints.</summary>
    public OutputCircuit? Read(Fields f)
    {
        var kind = f.OneOf("stage", [Complementary, Transformers, Chip], required: true);
        var rail = Value(f, "rail", "V", required: true);
        var (ohms, tolerance, feed) = (Value(f, "rail-ohms", "Ω") ?? 0.1, Value(f, "rail-tolerance", "%") / 100 ?? 0, Value(f, "feed", "Ω"));
        var stage = rail is { } volts ? kind switch
        {
            Complementary => Pair(f, new(Math.Abs(volts))),
            Transformers => Coupled(f, new(Math.Abs(volts))),
            Chip => Amplifier(f, new(Math.Abs(volts))),
            _ => null,
        } : null;
        if (stage is not null)
            stage = stage with { SpeakerOhms = Value(f, "speaker", "Ω") ?? stage.SpeakerOhms, IdleAmperes = Value(f, "idle", "A") ?? stage.IdleAmperes, Negative = rail < 0 };
        if (kind is null || rail is null) return null; // Which keys belong here is not known: no complaint of the others.
        f.Done();
        if (Wrong || stage is null || Judged(f, stage.Build()) is not { } built) return null;
        try
        {
            var source = (VoltageSource)built.Netlist[built.RailSource] with { Ohms = ohms, Tolerance = tolerance };
            return built with { Netlist = feed is null ? built.Netlist.Replace(source.Name, source) : built.Netlist.Replace(source.Name, source.Moved(0, "supply"), new Resistor(Feed, "supply", OutputStage.Rail, feed.Value)) };
        }
        catch (ArgumentException e) { return Say<OutputCircuit>(f.At, f.Path, e.Message.Split(" (Parameter")[0]); }
    }

    private OutputStage Pair(Fields f, ComplementaryPair p) => p with
    {
        EmitterOhms = Value(f, "emitter", "Ω") ?? p.EmitterOhms,
        DriveAmperes = Value(f, "drive", "A"),
        Output = Transistor(f, "output") ?? p.Output,
        Driver = Transistor(f, "driver") ?? p.Driver,
        OutputCapacitor = Capacitor(f, "out", required: false) ?? p.OutputCapacitor,
    };

    private OutputStage Coupled(Fields f, TransformerCoupled t) => t with
    {
        EmitterOhms = Value(f, "emitter", "Ω") ?? t.EmitterOhms,
        HalfPrimaryOhms = Value(f, "half-primary", "Ω") ?? t.HalfPrimaryOhms,
        CollectorLoadOhms = Value(f, "collector-load", "Ω") ?? t.CollectorLoadOhms,
        DriveAmperes = Value(f, "drive", "A") ?? t.DriveAmperes,
        BiasAmperes = Value(f, "bias", "A") ?? t.BiasAmperes,
        Output = Transistor(f, "output") ?? t.Output,
        Driver = Transistor(f, "driver") ?? t.Driver,
    };

    private OutputStage Amplifier(Fields f, AmplifierChip c) => c with
    {
        Gain = f.Number("gain", 2, 500) ?? c.Gain,
        ShortOfRailVolts = Value(f, "short-of-rail", "V") ?? c.ShortOfRailVolts,
        OutputCapacitor = Capacitor(f, "out", required: false) ?? c.OutputCapacitor,
    };

    private TransistorAsRead? Transistor(Fields f, string key) => f.Name(key) is not { } q ? null
        : Markings.Transistor(q.Value)?.Part ?? Say<TransistorAsRead>(q.At, $"{f.Path}.{key}", $"Unknown transistor {q.What}. Write its marking, such as TIP31C, or leave '{key}' out.");
}
