using System.Collections.Immutable;

namespace Bellwire.Circuits.Shapes;

/// <summary>From the shape to its parts.</summary>
internal static class SupplyBuilder
{
    private const string Source = "LINE";
    private const string Common = Netlist.Ground;

    public static Built<SupplyCircuit> Build(SupplyShape shape)
    {
        var complaints = shape.Complaints();
        if (complaints.Length > 0) return new(complaints);
        var make = new PartMaker();
        Feed(shape, make);
        Rectify(shape, make);
        var rails = Rails(shape, make);
        var loads = LoadFinder.Find(shape, rails, make.Devices);
        if (loads.Complaint is { } no) return new([no]);
        foreach (var (load, name, ohms) in loads.Loads) make.Named(name, n => new Resistor(n, load.Rail, Common, ohms, load.Tolerance), $"load of {load.Rail}");
        return Renamed(shape, make, rails);
    }

    /// <summary>Line, fuse of the line, transformer, fuse of tap or secondary.</summary>
    private static void Feed(SupplyShape s, PartMaker make)
    {
        var t = s.Transformer;
        make.Devices.Add(new VoltageSource(Source, "line", Common, new Sine(t.LineVolts, t.LineHertz), t.LineOhms) { Tolerance = t.LineTolerance });
        var primary = s.Fuse.Place == FusePlace.Line ? "primary" : "line";
        var (ohms, half) = t.WindingOhms(s.Tapped);
        // The foot of the winding: common for half wave, the middle of a doubler, the tap (fused or not), the other end of a bridge.
        var foot = s.Rectifier switch
        {
            RectifierKind.HalfWave => Common,
            RectifierKind.Doubler => "mid",
            RectifierKind.Bridge => "sec-b",
            _ => s.Fuse.Place == FusePlace.Tap ? "tap" : Common,
        };
        ImmutableArray<string> nodes = s.Tapped ? ["sec-a", foot, foot, "sec-b"] : ["sec-a", foot];
        ImmutableArray<Winding> windings = s.Tapped ? [new(t.OpenVolts, half), new(t.OpenVolts, half)] : [new(t.OpenVolts, half)];
        var ratings = t.VoltAmperes is { } va && t.OpenVolts < t.LineVolts ? new Ratings(Amperes: va / (t.OpenVolts * windings.Length)) : null;
        make.Named("T1", n => new Transformer(n, [primary, Common, .. nodes], [new(t.LineVolts, ohms), .. windings], t.MagnetisingHenries ?? double.PositiveInfinity) { Ratings = ratings }, "transformer");
        if (s.Tapped)
        {
            make.Point("ac", "sec-a", "sec-b");
            make.Point("ac-a", "sec-a", foot);
            make.Point("ac-b", "sec-b", foot);
        }
        else make.Point("ac", "sec-a", foot);
        if (s.Fuse.Place == FusePlace.None) return;
        var (a, b) = s.Fuse.Place switch { FusePlace.Line => ("line", "primary"), FusePlace.Tap => ("tap", Common), _ => ("sec-a", "fused") };
        make.Named("F1", n => new Fuse(n, a, b, s.Fuse.Amperes, s.Fuse.ColdOhms) { Ratings = s.Fuse.MeltingAmpereSquaredSeconds is { } m ? new(MeltingAmpereSquaredSeconds: m) : null }, "fuse");
        if (s.Fuse.Place != FusePlace.Line) make.Point("fuse", a, b);
    }

    private static void Rectify(SupplyShape s, PartMaker make)
    {
        var a = s.Fuse.Place == FusePlace.Secondary ? "fused" : "sec-a";
        var surge = s.SurgeOhms > 0;
        var top = surge ? "rect" : SupplyShape.Raw;
        void D(string from, string to, string words) => make.Rectifier(s.Diodes, from, to, s.Negative, words);
        switch (s.Rectifier)
        {
            case RectifierKind.HalfWave:
                D(a, top, "rectifier");
                break;
            case RectifierKind.CentreTap:
                D(a, top, "rectifier of the first half");
                D("sec-b", top, "rectifier of the second half");
                break;
            case RectifierKind.Bridge:
                D(a, top, "rectifier, first end to raw");
                D("sec-b", top, "rectifier, second end to raw");
                D(Common, a, "rectifier, common to first end");
                D(Common, "sec-b", "rectifier, common to second end");
                break;
            case RectifierKind.DualFromTap:
                var bottom = surge ? "rect-neg" : SupplyShape.RawNegative;
                D(a, top, "rectifier, first half to the positive rail");
                D("sec-b", top, "rectifier, second half to the positive rail");
                D(bottom, a, "rectifier, first half to the negative rail");
                D(bottom, "sec-b", "rectifier, second half to the negative rail");
                break;
            case RectifierKind.Doubler:
                D(a, top, "rectifier of the upper reservoir");
                D(Common, a, "rectifier of the lower reservoir");
                break;
            default: throw new ArgumentOutOfRangeException(nameof(s), s.Rectifier, "A kind of rectifier.");
        }
        if (surge)
        {
            make.Resistor(top, SupplyShape.Raw, s.SurgeOhms, null, "surge resistor");
            if (s.Rectifier == RectifierKind.DualFromTap) make.Resistor("rect-neg", SupplyShape.RawNegative, s.SurgeOhms, null, "surge resistor of the negative rail");
        }
        if (s.Rectifier == RectifierKind.Doubler)
        {
            make.Capacitor(s.Reservoir, SupplyShape.Raw, "mid", s.Negative, "upper reservoir");
            make.Capacitor(s.Reservoir, "mid", Common, s.Negative, "lower reservoir");
            make.Point("mid", "mid");
        }
        else make.Capacitor(s.Reservoir, SupplyShape.Raw, Common, s.Negative, "reservoir");
        if (s.Rectifier == RectifierKind.DualFromTap) make.Capacitor(s.Reservoir, SupplyShape.RawNegative, Common, negative: true, "reservoir of the negative rail");
    }

    private static ImmutableArray<SupplyRail> Rails(SupplyShape s, PartMaker make)
    {
        var rails = new List<SupplyRail> { new(SupplyShape.Raw, s.Negative, null) };
        if (s.Rectifier == RectifierKind.DualFromTap) rails.Add(new(SupplyShape.RawNegative, true, null));
        foreach (var rail in rails) make.Point(rail.Name, rail.Name);
        foreach (var stage in s.Stages)
        {
            var negative = rails.Single(r => r.Name == stage.From).Negative;
            make.Point(stage.Rail, stage.Rail);
            stage.Build(make, stage.From, stage.Rail, negative);
            rails.Add(new(stage.Rail, negative, negative ? -stage.MeantVolts : stage.MeantVolts));
        }
        return [.. rails];
    }

    /// <summary>The names printed on the board in place of the running ones.</summary>
    private static Built<SupplyCircuit> Renamed(SupplyShape s, PartMaker make, ImmutableArray<SupplyRail> rails)
    {
        var on = new Checks();
        string Called(string name) => s.Printed.GetValueOrDefault(name, name);
        foreach (var (name, printed) in s.Printed)
        {
            if (make.Parts.All(p => p.Name != name)) on.Say($"Printed[{name}]", $"There is no part {name}; there are {string.Join(", ", make.Parts.Select(p => p.Name))}.");
            if (!ShapeJudge.IsName(printed)) on.Say($"Printed[{name}]", "A printed name has letters, digits, - and . only.");
        }
        var names = make.Devices.Select(d => Called(d.Name)).ToList();
        foreach (var twice in names.GroupBy(n => n).Where(g => g.Count() > 1)) on.Say("Printed", $"Two parts would be called {twice.Key}.");
        if (on.Found.Count > 0) return new(on.Found);
        return new(new SupplyCircuit(new Netlist(make.Devices.Select(d => d with { Name = Called(d.Name) })), [.. make.Points], Source, rails,
            [.. make.Parts.Select(p => p with { Name = Called(p.Name) })]));
    }
}
