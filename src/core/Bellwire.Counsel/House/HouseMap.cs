using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>One cable of the house, as it is known.</summary>
/// <param name="Loop">The last reading of it, or null.</param>
/// <param name="MetresToShort">At most so far from the master, when the loop reads a short; null otherwise or when the gauge is not known.</param>
public sealed record HouseRun(string Id, string Name, string? Terminal, string? Colours, int? Gauge, double? Metres, LoopRead? Loop, double? MetresToShort, string Word);

/// <param name="Photo">Content hash of the photograph it is marked on.</param>
public sealed record MarkedTerminal(int Number, string Photo, string Terminal, double X, double Y, string? Colour, string? GoesTo);

/// <param name="Outcome">Null = not done yet.</param>
public sealed record RefitLine(string Id, string Words, string? Outcome, string? By);

/// <summary>The owner's house: runs, terminals, group tests and the refit, from the tape alone.</summary>
public sealed record HouseMap(ImmutableArray<HouseRun> Runs, ImmutableArray<MarkedTerminal> Terminals, HalvingStep Halving, ImmutableArray<RefitLine> Refit)
{
    public static HouseMap Of(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        var acts = state.TapeOf(job).Select(e => e.Act).ToList();
        var names = sheet.Positions.Where(IsRun).Select(p => (p.Id, p.Name)).ToList();
        foreach (var own in acts.Select(a => a switch { RunDescribed r => r.Run, LoopRead l => l.Run, _ => null }).OfType<string>())
            if (names.All(n => n.Id != own)) names.Add((own, own));
        ImmutableArray<HouseRun> runs = [.. names.Select(n => Run(n.Id, n.Name, acts))];
        var marked = acts.OfType<TerminalMarked>().GroupBy(t => (t.ContentHash, t.Terminal)).Select(g => g.Last()).ToList();
        return new(runs,
            [.. marked.Select((t, i) => new MarkedTerminal(i + 1, t.ContentHash, t.Terminal, t.X, t.Y, t.Colour, t.GoesTo))],
            House(names, acts), [.. Steps(runs, sheet).Select(s =>
            {
                var last = acts.OfType<RefitTried>().LastOrDefault(t => t.Step == s.Id);
                return new RefitLine(s.Id, s.Words, last?.Outcome, last?.By);
            })]);
    }

    /// <summary>A run is a cable of the house: what stays there, is fed by something, and is no house feed.</summary>
    private static bool IsRun(PositionInfo p) => p.House && p.Kind.Contains("run", StringComparison.Ordinal);

    private static HalvingStep House(List<(string Id, string Name)> names, List<Act> acts)
    {
        var step = Counsel.Halving.Next([.. names.Select(n => n.Id)], acts.OfType<GroupTried>());
        return names.Aggregate(step with { Word = step.Word }, (s, n) => s with { Word = Named(s.Word, n.Id, n.Name) });
    }

    private static string Named(string words, string id, string name) => id == name ? words
        : System.Text.RegularExpressions.Regex.Replace(words, $@"(?<=^|[\s,]){System.Text.RegularExpressions.Regex.Escape(id)}(?=$|[\s,;.])", name.Replace("$", "$$", StringComparison.Ordinal));

    private static HouseRun Run(string id, string name, List<Act> acts)
    {
        var said = acts.OfType<RunDescribed>().Where(r => r.Run == id).ToList();
        T? Last<T>(Func<RunDescribed, T?> of) => said.Select(of).LastOrDefault(v => v is not null);
        var gauge = said.Select(r => r.Gauge).LastOrDefault(g => g is not null);
        var metres = said.Select(r => r.Metres).LastOrDefault(m => m is not null);
        var loop = acts.OfType<LoopRead>().LastOrDefault(l => l.Run == id);
        double? far = loop is { FarEnd: "open", Ohms: < ShortOhms } && gauge is { } g ? WireTable.MetresToShort(loop.Ohms, g, loop.Celsius ?? 20) : null;
        return new(id, name, Last(r => r.Terminal), Last(r => r.Colours), gauge, metres, loop, far, Word(loop, gauge, metres, far));
    }

    /// <summary>Below this a pair with nothing at its end is shorted; above the second it is sound (trade reference: over 1 MΩ with the station lifted).</summary>
    private const double ShortOhms = 1000, SoundOhms = 1e6;

    private static string Word(LoopRead? loop, int? gauge, double? metres, double? far)
    {
        static string N(double v) => v.ToString(v < 10 ? "0.0" : "0", CultureInfo.InvariantCulture);
        if (loop is null) return "not read";
        switch (loop.FarEnd)
        {
            case "open":
                if (loop.Ohms >= SoundOhms) return "open, as it should be with nothing at its end";
                if (loop.Ohms >= ShortOhms) return "leaks from wire to wire: wet, or something still hangs on it";
                return far is { } m ? metres is { } all && m > all * 1.1 ? $"shorted, and it reads farther off ({N(m)} m) than the run is long: a poor short near its end, or another wire"
                    : $"shorted, at most {N(m)} m from the master" : "shorted; with the gauge of the wire the distance can be told";
            case "joined":
                if (double.IsInfinity(loop.Ohms) || loop.Ohms > 200) return "broken: the ends are joined and it reads open";
                if (gauge is { } n && metres is { } length)
                {
                    var want = 2 * length * WireTable.OhmsPerMetre(n, loop.Celsius ?? 20);
                    return loop.Ohms > want * 1.5 + 0.5 ? $"whole, but {N(loop.Ohms)} Ω where {N(want)} Ω would do: a poor joint" : $"whole, {N(loop.Ohms)} Ω where {N(want)} Ω is expected";
                }
                return gauge is { } k ? $"whole; by its ohms about {N(WireTable.MetresToShort(loop.Ohms, k, loop.Celsius ?? 20))} m long" : "whole";
            default:
                return double.IsInfinity(loop.Ohms) ? "open, with the station on: run or station broken" : $"{N(loop.Ohms)} Ω with the station on";
        }
    }

    /// <summary>The refit, step by step: transformer alone, runs read, rooms one at a time, doors last.</summary>
    private static IEnumerable<(string Id, string Words)> Steps(ImmutableArray<HouseRun> runs, TypeSheet sheet)
    {
        yield return ("breaker", "Breaker off and tagged; wires matched to photographs and labels");
        yield return ("alone", "Transformer landed alone, everything else lifted: lamps, no hum, no smell for ten minutes");
        yield return ("runs", "Power off again; every run read with its station lifted, and no volts on any of them across 10 kΩ");
        foreach (var run in runs.Where(r => !r.Id.Contains("door", StringComparison.Ordinal))) yield return ("land-" + run.Id, $"{run.Name} landed by itself: talk, listen, music");
        foreach (var run in runs.Where(r => r.Id.Contains("door", StringComparison.Ordinal))) yield return ("land-" + run.Id, $"{run.Name} landed: talk, listen, chime");
        if (sheet.Functions.Any(f => f.Id.StartsWith("chime", StringComparison.Ordinal))) yield return ("chime", "Chime heard from every door, right tune, once");
        yield return ("all", "All landed: every function once more, and an hour of music");
    }
}
