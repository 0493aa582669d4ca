using System.Diagnostics;
using System.Globalization;
using Bellwire.Perf;
using Bellwire.Perf.Benches;
using Bellwire.Reasoning;

// Usage: Bellwire.Perf accuracy – ordinary limits against a long reference run (cut a hundredfold less).
//        Bellwire.Perf signals – ten minutes of stereo, beside sox stats.
//        Bellwire.Perf circuits – the fault table of a supply beside ngspice.
//        Bellwire.Perf benches [cases [own|wrong|both [first seed [threads [order,order…]]]]] – simulated benches: ours beside the orders of the
//        trade and the books; a line a case and order. Bellwire.Perf benches table FILE… – tables of such lines.
//        Bellwire.Perf benches tell seed own|wrong ours|practised|… – one case, step by step.
//        Bellwire.Perf forty …, forty tell …, forty table … – the same on an invented set of forty pieces.
//        Bellwire.Perf growth [seeds] – 12 to 300 pieces, 10 to 200 entries; growth draw TABLE FOLDER – drawings of how times grow.
//        Bellwire.Perf evidence – ln p of generated tapes beside toulbar2 -logz.
//        Bellwire.Perf [pieces entries hookups [seeds]]; without arguments the whole grid. Times are processor time.
if (args is ["growth", "draw", var table, var folder])
{
    Growth.Draw(File.ReadLines(table), folder);
    return;
}
if (args is ["growth", .. var runs])
{
    Growth.Run(runs is [var n] ? int.Parse(n, CultureInfo.InvariantCulture) : 2);
    return;
}
if (args is ["evidence"])
{
    EvidenceSpeed.Run();
    return;
}
if (args is ["benches" or "forty", "tell", var seed, var kind, .. var order])
{
    Trial.Tell(ulong.Parse(seed, CultureInfo.InvariantCulture), kind == "own" ? WorldKind.Own : WorldKind.Wrong, string.Join(' ', order), Console.Out, args[0] == "forty");
    return;
}
if (args is ["benches" or "forty", "table", .. var files])
{
    Trial.Tables(files.SelectMany(File.ReadLines), Console.Out);
    return;
}
if (args is ["benches" or "forty", ..])
{
    int Number(int at, int otherwise) => args.Length > at ? int.Parse(args[at], CultureInfo.InvariantCulture) : otherwise;
    WorldKind[] worlds = [.. new[] { WorldKind.Own, WorldKind.Wrong }.Where(w => args.Length < 3 || args[2] == "both" || args[2] == w.Name)];
    Trial.Run(Number(1, 300), worlds, (ulong)Number(3, 1), args.Length > 5 ? args[5].Split(',') : [], Console.Out, Number(4, Environment.ProcessorCount), args[0] == "forty");
    return;
}
if (args is ["signals"])
{
    SignalsSpeed.Run();
    return;
}
if (args is ["accuracy"])
{
    Measure.Accuracy();
    return;
}
if (args is ["lot", ..])
{
    Measure.ByLot(args.Length > 1);
    return;
}
if (args is ["circuits"])
{
    CircuitSpeed.Run();
    return;
}
int[] all = [12, 40, 120];
var grid = args.Length >= 3
    ? new[] { (int.Parse(args[0]), int.Parse(args[1]), int.Parse(args[2])) }
    : [.. from p in all from e in new[] { 10, 30, 60 } from h in new[] { 1, 4, 10 } select (p, e, h)];
var seeds = args.Length > 3 ? int.Parse(args[3]) : 5;
Measure.Warm();
Console.WriteLine(Measure.Head);
foreach (var (p, e, h) in grid) Console.WriteLine(Measure.Row(p, e, h, seeds));

internal static class Measure
{
    public const string Head = "| pieces | entries | hook-ups | ms an entry, median | worst entry | ms a ranking, median | worst | nodes, worst | memory MB, worst | exact runs | bound on lost share, worst | by lot |\n"
        + "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |";

    public static void Warm() => Row(12, 20, 4, 2);

    /// <summary>Worst difference of a site's marginal between the ordinary run and a long one.</summary>
    public static void Accuracy()
    {
        Console.WriteLine("| pieces | entries | hook-ups | seed | worst difference of a marginal | bound, ordinary | bound, reference | reference |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (p, e, h) in new[] { (12, 30, 4), (40, 10, 4), (40, 30, 4), (40, 30, 10), (40, 60, 4), (120, 30, 4) })
            for (var seed = 1; seed <= 3; seed++)
            {
                var c = new Models(p, seed).Case(e, h);
                var a = Reasoner.Weigh(c).Posterior;
                var b = Reasoner.Weigh(c, new WeighOptions(NodeBudget: 40_000, LossPerEntry: 1e-7)).Posterior;
                if (a is null || b is null) continue;
                var worst = a.Sites.Zip(b.Sites).Max(x => Math.Abs(x.First.Faulty - x.Second.Faulty));
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"| {p} | {e} | {h} | {seed} | {worst:0.0e+0} | {a.How.LostMass:0.0e+0} | {b.How.LostMass:0.0e+0} | {(b.How.Exact ? "exact" : "cut less")} |"));
            }
    }

    /// <summary>Figures drawn by lot against exact ones (small) or a run cut far less (large): the difference counted in standard errors.</summary>
    public static void ByLot(bool large)
    {
        Console.WriteLine("| pieces | entries | hook-ups | seed | how | effective size | worst standard error | worst difference | worst difference in standard errors | s | bound, reference |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        (int, int, int)[] grid = large ? [(120, 60, 4), (120, 60, 10)] : [(12, 10, 4), (12, 30, 1), (40, 10, 4)];
        foreach (var (p, e, h) in grid)
            for (var seed = 1; seed <= 5; seed++)
            {
                var c = new Models(p, seed).Case(e, h);
                // Small models are made to leave exactness by a budget far too small for them.
                var t = Cpu();
                var a = Reasoner.Weigh(c, large ? null : new WeighOptions(NodeBudget: 150, LossPerEntry: 1e-3, MostLost: 0)).Posterior;
                t = Cpu() - t;
                var b = Reasoner.Weigh(c, large ? new WeighOptions(NodeBudget: 100_000, LossPerEntry: 1e-8) : new WeighOptions(NodeBudget: int.MaxValue)).Posterior;
                if (a is null || b is null) { Console.WriteLine($"| {p} | {e} | {h} | {seed} | {a is null} {b is null}"); continue; }
                var pairs = a.Sites.Zip(b.Sites).Select(x => (D: Math.Abs(x.First.Faulty - x.Second.Faulty), E: x.First.NowErrors.GetValueOrDefault("good"))).ToList();
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"| {p} | {e} | {h} | {seed} | {a.How.Method} | {a.How.Drawn?.EffectiveSize:0} of {a.How.Drawn?.Worlds} | {a.How.Drawn?.WorstStandardError:0.0e+0} | {pairs.Max(x => x.D):0.0e+0} | {pairs.Max(x => x.E > 0 ? x.D / x.E : 0):0.0} | {t / 1000:0.0} | {(b.How.Exact ? "exact" : b.How.LostMass.ToString("0.0e+0", CultureInfo.InvariantCulture))} |"));
            }
    }

    internal sealed record Figures(int Pieces, int Entries, double Entry, double WorstEntry, double Ranking, double WorstRanking, double Memory, string Row);

    public static string Row(int pieces, int entries, int hookups, int seeds) => Of(pieces, entries, hookups, seeds).Row;

    public static Figures Of(int pieces, int entries, int hookups, int seeds)
    {
        var entry = new List<double>();
        var ranking = new List<double>();
        int nodes = 0, exact = 0, lots = 0;
        double lost = 0, memory = 0;
        for (var seed = 1; seed <= seeds; seed++)
        {
            var models = new Models(pieces, seed);
            var c = models.Case(entries, hookups);
            GC.Collect();
            var before = GC.GetTotalMemory(true);
            Weighing? w = null;
            // One tape entry after another, as at the bench.
            for (var n = 1; n <= c.Events.Length; n++)
            {
                if (n < c.Events.Length && c.Events[n].Entry == c.Events[n - 1].Entry) continue;
                var part = c with { Events = [.. c.Events.Take(n)] };
                var t = Cpu();
                w = Reasoner.Weigh(part, previous: w);
                entry.Add(Cpu() - t);
                if (entry[^1] > 300)
                    Console.Error.WriteLine($"slow: {pieces}/{entries}/{hookups} seed {seed} event {n} of {c.Events.Length} ({c.Events[n - 1].GetType().Name}): {entry[^1]:0} ms, {w.Posterior?.How}");
                if (w.Posterior is { } q) { nodes = Math.Max(nodes, q.How.Nodes); lost = Math.Max(lost, q.How.LostMass); }
            }
            if (w?.Posterior is not { } p) continue;
            if (p.How.Exact) exact++;
            if (p.How.Method.StartsWith("drawn", StringComparison.Ordinal)) lots++;
            var moves = Models.Ranking(c);
            var r = Cpu();
            var values = w.Try(moves);
            var leaders = Enumerable.Range(0, moves.Count).OrderByDescending(i => values[i].InformationBits).Take(6).ToList();
            w.Recheck([.. leaders.Select(i => moves[i])], [.. leaders.Select(i => values[i])]);
            ranking.Add(Cpu() - r);
            memory = Math.Max(memory, (GC.GetTotalMemory(true) - before) / 1e6);
            GC.KeepAlive(w);
        }
        var row = string.Create(CultureInfo.InvariantCulture,
            $"| {pieces} | {entries} | {hookups} | {Median(entry):0.0} | {entry.Max():0} | {Median(ranking):0} | {(ranking.Count > 0 ? ranking.Max() : 0):0} | {nodes} | {memory:0} | {exact} of {seeds} | {lost:0.0e+0} | {lots} |");
        return new(pieces, entries, Median(entry), entry.Max(), Median(ranking), ranking.Count > 0 ? ranking.Max() : 0, memory, row);
    }

    private static double Cpu() => Process.GetCurrentProcess().TotalProcessorTime.TotalMilliseconds;

    private static double Median(List<double> x)
    {
        if (x.Count == 0) return 0;
        x.Sort();
        return x.Count % 2 == 1 ? x[x.Count / 2] : (x[x.Count / 2 - 1] + x[x.Count / 2]) / 2;
    }
}
