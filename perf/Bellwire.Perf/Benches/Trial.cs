using System.Collections.Concurrent;
using System.Globalization;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Perf.Benches;

/// <summary>Paired cases: the same sets, each worked through in every order.</summary>
internal static class Trial
{
    public const double MostMinutes = 600, SureSound = 0.2, PoorScore = 0.004;

    /// <summary>A quarter of the worlds the program draws for its what-ifs: rougher advice, but a day's work in seconds.</summary>
    private const int Samples = 500;

    internal sealed record Result(string World, ulong Seed, string Order, double Minutes, bool Proved, double Kills, int Swaps, int NeedlessSwaps, int Mends, int NeedlessMends, int Proofs, int Faults, double Bound)
    {
        public string Line => string.Create(CultureInfo.InvariantCulture, $"{World},{Seed},{Order},{Minutes:0.0},{Proved},{Kills:0.0000},{Swaps},{NeedlessSwaps},{Mends},{NeedlessMends},{Proofs},{Faults},{Bound:0.0}");

        public static Result Of(string line)
        {
            var c = line.Split(',');
            int Whole(int at) => int.Parse(c[at], CultureInfo.InvariantCulture);
            double Number(int at) => double.Parse(c[at], CultureInfo.InvariantCulture);
            return new(c[0], ulong.Parse(c[1], CultureInfo.InvariantCulture), c[2], Number(3), c[4] == "True", Number(5), Whole(6), Whole(7), Whole(8), Whole(9), Whole(10), Whole(11), c.Length > 12 && double.TryParse(c[12], NumberStyles.Float, CultureInfo.InvariantCulture, out var bound) ? bound : 0);
        }
    }

    /// <summary>Works the cases and writes one line for each case and order as it ends.</summary>
    /// <param name="orders">Names of the orders; empty for all.</param>
    public static void Run(int cases, WorldKind[] worlds, ulong first, IReadOnlyList<string> orders, TextWriter to, int threads, bool forty = false)
    {
        var sheet = forty ? Forty.Sheet() : Family();
        // World by world in turn, so that a run that is ended early has as many cases of each.
        var chosen = worlds.Select(w => Chosen(sheet, w, first).Take(cases).GetEnumerator()).ToList();
        var picked = Enumerable.Range(0, cases).SelectMany(_ => worlds.Zip(chosen, (w, c) => c.MoveNext() ? (w, c.Current) : (w, 0UL)));
        Parallel.ForEach(Partitioner.Create(picked, EnumerablePartitionerOptions.NoBuffering), new ParallelOptions { MaxDegreeOfParallelism = threads }, pick =>
        {
            var (world, seed) = pick;
            var bound = KnowingAll.Minutes(() => new Day(sheet, world, seed));
            foreach (var order in Orders(Options(), forty).Where(o => orders.Count == 0 || orders.Contains(o.Name)))
            {
                var day = new Day(sheet, world, seed);
                order.Work(day);
                var r = new Result(forty ? world.Name + " 40" : world.Name, seed, order.Name, Math.Min(day.Minutes, MostMinutes), day.IsProved, day.ExpectedKills, day.Swaps, day.NeedlessSwaps, day.Mends, day.NeedlessMends, day.Proofs, day.FaultsAtStart, bound);
                lock (to)
                {
                    to.WriteLine(r.Line + "," + string.Join(' ', day.Spent.Select(x => string.Create(CultureInfo.InvariantCulture, $"{x.Key.Replace(' ', '-')}:{x.Value:0.#}"))));
                    to.Flush();
                }
            }
        });
    }

    /// <summary>Tables of what runs have written.</summary>
    public static void Tables(IEnumerable<string> lines, TextWriter to)
    {
        foreach (var world in lines.Where(l => l.Count(c => c == ',') >= 11).Select(Result.Of).GroupBy(r => r.World))
        {
            // Only cases that every order has ended.
            var names = world.Select(r => r.Order).Distinct().Count();
            var whole = world.GroupBy(r => r.Seed).Where(g => g.Select(r => r.Order).Distinct().Count() == names).SelectMany(g => g.DistinctBy(r => r.Order));
            Table(world.Key, [.. whole], to);
        }
    }

    /// <summary>One case in one order, told step by step.</summary>
    public static void Tell(ulong seed, WorldKind world, string order, TextWriter to, bool forty = false)
    {
        var day = new Day(forty ? Forty.Sheet() : Family(), world, seed) { Trace = to };
        to.WriteLine($"Really wrong: {day.Truth}. Told: {string.Join(", ", day.Told.Select(t => $"{t.Key} {t.Value}"))}");
        Orders(Options(), forty).First(o => o.Name == order).Work(day);
        to.WriteLine($"Left: {day.Truth}");
    }

    /// <summary>A third of the program's diagram, and drawn by lot only when more than a fifth of the weight may be lost.</summary>
    private static AdviceOptions Options() => new(Samples: Samples) { Limits = new(NodeBudget: 700, MaxFaultSets: 2, LossPerEntry: 1e-4, MostLost: 0.2, WantedError: 0.01) };

    private static TypeSheet Family() =>
        SheetReader.Read(ShippedSheets.Texts.First(t => t.FileName.EndsWith("corridor-nine.yaml", StringComparison.Ordinal)).Text, "corridor-nine.yaml").Sheet!;

    /// <summary>For one case. The two orders by odds begin alike, and what is weighed once need not be weighed again.</summary>
    private static IOrder[] Orders(AdviceOptions options, bool forty)
    {
        var shared = new OddsOrder.Beginning();
        return [new OurOrder(options), forty ? new FollowOrder() : new PractisedOrder(), new OddsOrder(true, options, shared), new OddsOrder(false, options, shared)];
    }

    /// <summary>Sets whose owners had something to complain of: at least one function wrong at home.</summary>
    private static IEnumerable<ulong> Chosen(TypeSheet sheet, WorldKind world, ulong first)
    {
        for (var seed = first; ; seed++)
            if (!new Day(sheet, world, seed).Wrong.IsEmpty) yield return seed;
    }

    private static void Table(string world, IReadOnlyList<Result> all, TextWriter to)
    {
        var names = all.Select(r => r.Order).Distinct().OrderBy(n => n == "ours" ? "" : n, StringComparer.Ordinal).ToList();
        var ours = all.Where(r => r.Order == "ours").ToDictionary(r => r.Seed);
        to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"\n### The {world} world, {ours.Count} paired cases, faults on the bench per case {ours.Values.Average(r => r.Faults):0.00}\n"));
        to.WriteLine("| order | minutes until proved, mean | median | ninth decile | ours ÷ it, minutes (95 %) | ours faster in | it ÷ knowing all | needless swaps | swaps | needless mends | expected kills | not proved in 600 min |");
        to.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var name in names)
        {
            var rows = all.Where(r => r.Order == name).OrderBy(r => r.Seed).ToList();
            var minutes = rows.Select(r => r.Minutes).Order().ToList();
            var ratio = ours.Values.Average(r => r.Minutes) / rows.Average(r => r.Minutes);
            var (low, high) = Interval([.. rows.Select(r => (ours[r.Seed].Minutes, r.Minutes))]);
            var over = rows[0].Bound > 0 ? string.Create(CultureInfo.InvariantCulture, $"{rows.Average(r => r.Minutes) / rows.Average(r => r.Bound):0.00}") : "";
            var faster = name == "ours" ? "" : $"{rows.Count(r => ours[r.Seed].Minutes < r.Minutes) * 100.0 / rows.Count:0} %";
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {name} | {minutes.Average():0} | {minutes[minutes.Count / 2]:0} | {minutes[minutes.Count * 9 / 10]:0} | {(name == "ours" ? "" : $"{ratio:0.00} ({low:0.00}–{high:0.00})")} | {faster} | {over} | {rows.Average(r => r.NeedlessSwaps):0.00} | {rows.Average(r => r.Swaps):0.00} | {rows.Average(r => r.NeedlessMends):0.00} | {rows.Average(r => r.Kills):0.000} | {rows.Count(r => !r.Proved)} |"));
        }
        if (ours.Values.Any(r => r.Bound > 0))
        {
            var bound = ours.Values.Average(r => r.Bound);
            to.WriteLine(string.Create(CultureInfo.InvariantCulture, $"\nKnowing all faults from the start: {bound:0} minutes, so no order could have less than") + " " + string.Join(", ",
                names.Where(n => n != "ours").Select(n => string.Create(CultureInfo.InvariantCulture, $"{bound / all.Where(r => r.Order == n).Average(r => r.Minutes):0.00} × {n}"))) + ".");
        }
        var worst = all.Where(r => r.Order == "practised").OrderByDescending(r => ours[r.Seed].Minutes - r.Minutes).Take(10);
        to.WriteLine("\nCases in which the practised order won by most (seed: ours, practised): " + string.Join("; ", worst.Select(r => string.Create(CultureInfo.InvariantCulture, $"{r.Seed}: {ours[r.Seed].Minutes:0}, {r.Minutes:0}"))));
    }

    /// <summary>Percentile bootstrap of a ratio of means over pairs, 2,000 draws (Efron and Tibshirani 1993, chapter 13).</summary>
    private static (double Low, double High) Interval((double Ours, double Other)[] pairs)
    {
        var random = new Random(1);
        var ratios = Enumerable.Range(0, 2000).Select(_ =>
        {
            double a = 0, b = 0;
            for (var i = 0; i < pairs.Length; i++) { var (x, y) = pairs[random.Next(pairs.Length)]; a += x; b += y; }
            return a / b;
        }).Order().ToList();
        return (ratios[50], ratios[1949]);
    }
}
