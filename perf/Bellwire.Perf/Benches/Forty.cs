using System.Globalization;
using System.Text;
using Bellwire.Sheets;

namespace Bellwire.Perf.Benches;

/// <summary>An invented set of forty pieces, all of which come to the bench: a supply with two rails, and a tree of boards, three hung on each, at whose ends
/// stand the functions. Odds and minutes are drawn once; the language is that of every sheet.</summary>
internal static class Forty
{
    public const int Pieces = 40, Rails = 3;

    public static TypeSheet Sheet()
    {
        var read = SheetReader.Read(Text(), "forty.yaml");
        return read.Sheet ?? throw new InvalidOperationException(string.Join("\n", read.Complaints.Take(5)));
    }

    /// <summary>The board it is fed from; −1 for those that hang on a rail only.</summary>
    public static int Above(int i) => i <= Rails ? (i is > 0 and < Rails ? 0 : -1) : Rails + (i - Rails - 1) / 3;

    /// <summary>From the supply to this board, its rail and every board above it, in the order of the signal.</summary>
    public static List<int> Path(int i)
    {
        List<int> path = [];
        for (var at = i; at >= Rails; at = Above(at)) path.Insert(0, at);
        return [0, Rail(i), .. path];
    }

    private static int Rail(int i) => 1 + i % 2;

    private static bool IsEnd(int i) => Rails + (i - Rails) * 3 + 1 >= Pieces;

    private static string Text()
    {
        var lot = new Lot(40);
        var t = new StringBuilder();
        void Line(FormattableString s) => t.Append(s.ToString(CultureInfo.InvariantCulture)).Append('\n');
        int Between(string name, int low, int high) => low + (int)(lot.Of(name) * (high - low + 1));
        bool Two(int i) => lot.Of($"two {i}") < 0.6;
        Line($"bellwire: 1\nid: forty\ntitle: Forty boards\nera: transistor\nfeed: transformer\nodds: estimated");
        Line($"causes:\n  age: {{name: Years of service, prior: 0.4}}\n  surge: {{name: Surge on the lines, prior: 0.1}}\npieces:");
        for (var i = 0; i < Pieces; i++)
        {
            Line($"  k{i}:\n    name: Board {i}\n    other: 0.2\n    sites:");
            Line($"      a:\n        name: Main part\n        faults:\n          open: {{words: main part open, weight: {Between($"w{i}", 1, 4)}, by: {{age: x2}}, mend: {Between($"m{i}", 15, 60)}, cost: 3}}");
            if (i is > 0 and < Rails) Line($"          high: {{words: rail too high, weight: 1, by: {{surge: x2}}, mend: 30, cost: 3}}");
            if (Two(i)) Line($"      b:\n        name: Second part\n        faults:\n          hum: {{words: second part noisy, weight: {Between($"v{i}", 1, 3)}, by: {{age: x1.5}}, mend: {Between($"n{i}", 15, 60)}, cost: 3}}");
        }
        Line($"positions:");
        for (var i = 0; i < Pieces; i++)
            Line($"  p{i}:\n    name: Place {i}\n    piece: k{i}\n    at: [{i % 8}, {i / 8}]\n    worth: 40\n    swap: {Between($"s{i}", 3, 8)}\n    contact: {{weight: 0.8, redraw: 0.6}}");
        Line($"signals:");
        for (var i = 0; i < Pieces; i++)
        {
            Line($"  s{i}:\n    name: Output of board {i}\n    states: [good, dead, {(i is > 0 and < Rails ? "high" : "hum")}]\n    through: [p{i}]\n    rules:");
            if (i == 0) Line($"      - dead when feed off");
            if (Above(i) is >= 0 and var up) Line($"      - \"as upstream s{up}: dead\"");
            if (i >= Rails) Line($"      - \"as upstream s{Rail(i)}: dead\"");
            Line($"      - dead when p{i}.a open");
            if (i is > 0 and < Rails) Line($"      - high when p{i}.a high");
            else if (Two(i)) Line($"      - hum when p{i}.b hum");
            if (i >= Rails && Above(i) is >= Rails and var over) Line($"      - \"as s{over}: hum\"");
        }
        Line($"hazards:\n  - s1 high kills p{Rails + 4}.a open (5 in 10) each time\n  - s2 high kills p{Rails + 5}.a open (5 in 10) each time");
        Line($"bundles:\n  ohms: {{words: \"Meter, unplugged and discharged\", minutes: 4}}\n  meter-live: {{words: While the meter is there, minutes: 4}}\n  functions: {{words: Hung on bench stations, minutes: 8}}");
        Line($"points:\n  raw-ohms: {{words: Raw rail to common, quantity: ohm, nominal: 900, low: 100, high: 10000, powered: false}}\nchecks:");
        for (var i = 0; i < Pieces; i++)
        {
            Line($"  m{i}:\n    words: Signal at the output of board {i}\n    of: s{i}\n    how: measure\n    powered: true\n    minutes: 2\n    bundle: meter-live\n    with: meter");
            foreach (var site in Two(i) ? new[] { "a", "b" } : ["a"])
                Line($"  o{i}-{site}:\n    words: \"Board {i}, part {site} measured\"\n    of: p{i}.{site}\n    how: measure\n    powered: false\n    minutes: {Between($"o{i}{site}", 2, 5)}\n    bundle: ohms\n    with: meter");
        }
        Line($"functions:");
        for (var i = Rails; i < Pieces; i++)
            if (IsEnd(i)) Line($"  f{i}: {{words: Station {i}, signal: s{i}, needs: [{string.Join(", ", Path(i).Select(p => $"p{p}"))}], instrument: ear, minutes: 0.5, bundle: functions, owner: Does station {i} play?}}");
        Line($"instruments:\n  meter: {{right: 0.99}}\n  ear: {{right: 0.97}}");
        // A step for each function, as every sheet has it, and as much in all as the benches charge for it.
        Line($"proof:\n  hung-on: {{words: Stations hung on, minutes: 8}}\n  rails: {{words: Rails with the meter, minutes: 10}}");
        for (var i = Rails; i < Pieces; i++)
            if (IsEnd(i)) Line($"  p{i}: {{words: Station {i}, check: fn-f{i}, minutes: 1.5}}");
        Line($"gates:\n  ohms-first: {{words: Raw rail to common measured unpowered, before: power, point: raw-ohms, above: 100}}\n  limited-feed: {{words: Current-limited feed, before: power}}");
        return t.ToString();
    }
}

/// <summary>The practised order on such a set: rails before signal, then for each function that fails the signal is followed from the supply to where it is lost
/// (trade reference §4.1); there the parts are measured, the connector reseated, the suspect tried in the mule (§4.2) and refitted to see the fault come back (§4.3).</summary>
internal sealed class FollowOrder : IOrder
{
    public string Name => "practised";

    public void Work(Day day)
    {
        HashSet<string> tried = [];
        for (var i = 0; i < Forty.Rails; i++)
            if (day.Look($"m{i}") is not (null or "good")) Settle(day, i, $"m{i}", tried);
        var failing = Sweep(day, day.Sheet.Functions.Select(f => f.Check));
        while (!day.IsProved && day.Minutes < Trial.MostMinutes)
        {
            if (failing.Count == 0)
            {
                var proof = day.Prove();
                if (day.IsProved) return;
                failing = [.. proof.Select(f => f.Check).Where(c => c.StartsWith("fn-f", StringComparison.Ordinal))];
                if (failing.Count == 0) { Fallback.GoOn(day, tried); continue; }
            }
            var next = failing[0];
            if (tried.Add("careful " + next) && !day.IsReallyWrong(next)) { failing.Remove(next); continue; }
            var lost = Forty.Path(int.Parse(next[4..], System.Globalization.CultureInfo.InvariantCulture)).FirstOrDefault(i => !tried.Contains($"done {i}") && day.Look($"m{i}") is not (null or "good"), -1);
            if (lost < 0 || !Settle(day, lost, next, tried)) { Fallback.GoOn(day, tried); failing = []; continue; }
            failing = Sweep(day, failing);
        }
    }

    /// <summary>One board at which the signal is lost. True when something was put right.</summary>
    private static bool Settle(Day day, int board, string seen, HashSet<string> tried)
    {
        // A board that keeps coming back is left in the end.
        var times = Enumerable.Range(1, MostVisits).First(n => tried.Add($"visit {board} {n}") || n == MostVisits);
        if (times == MostVisits) tried.Add($"done {board}");
        var (position, own) = ($"p{board}", Counsel.CaseBuilder.PieceAt(Day.Job, $"p{board}"));
        foreach (var check in day.Sheet.Checks.Where(c => c.Id.StartsWith($"o{board}-", StringComparison.Ordinal)).ToList())
            if (day.Look(check.Id) is { } found and not "good")
            {
                day.Mend(Reasoning.SiteRef.OfPiece(own, check.Id[^1..]), found);
                return true;
            }
        if (tried.Add($"reseat {board}"))
        {
            day.Reseat(position);
            if (day.Look(seen) == "good") return true;
        }
        if (tried.Add($"swap {board}") && day.Swap(position, own, Day.Mule))
        {
            var follows = day.Look(seen, Day.Mule) is not (null or "good");
            day.PutBack(position);
            if (follows && day.Look(seen) == "good") return true;
        }
        // With the parts sound, what is left is the place, or a fault no check names: all of it is gone through.
        day.GoThrough(position);
        return true;
    }

    private const int MostVisits = 4;

    private static List<string> Sweep(Day day, IEnumerable<string> functions) => [.. functions.Where(f => day.Look(f) is not (null or "good"))];
}
