using System.Collections.Immutable;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>Fault sets that no look of the sheet tells apart.</summary>
/// <param name="Sets">Each in words; a set of one fault or two.</param>
/// <param name="Odds">P(one of them is there) before anything is known, 0..1.</param>
/// <param name="Share">How much of that is the likeliest's, 0..1.</param>
/// <param name="Swap">What a swap would still tell, or why it does not matter.</param>
/// <param name="NewCheck">The cheapest new look that would split it, in words; null when nothing could, or nothing need.</param>
/// <param name="WorthMinutes">Minutes of needless mending it would spare where one of them is left.</param>
public sealed record AlikeClass(ImmutableArray<string> Sets, double Odds, double Share, string Swap, string? NewCheck, double WorthMinutes);

/// <param name="Words">The look.</param>
/// <param name="Minutes">Its attended minutes, set-up apart.</param>
/// <param name="Most">Minutes it takes away at most, when all hangs between the two faults it tells apart best.</param>
public sealed record IdleCheck(string Check, string Words, double Minutes, double Most);

/// <param name="Minutes">Attended minutes lost a job, on average, when these odds alone are three times too high or too low.</param>
public sealed record WeightyOdds(string Words, double Odds, double Minutes);

/// <param name="Best">The look that tells them apart best, and does so in <paramref name="Apart"/> of the cases more, 0..1 (total variation).</param>
/// <param name="Odds">Of the less likely of the two.</param>
public sealed record HardlyTold(string One, string Other, string Best, double Apart, double Odds);

/// <summary>What a sheet cannot tell, whatever is done.</summary>
public sealed record SheetReport(
    string Title, int Faults, int Pairs, int Checks, ImmutableArray<AlikeClass> Alike, ImmutableArray<IdleCheck> Idle, ImmutableArray<WeightyOdds> Odds)
{
    /// <summary>Single faults that the best look tells apart in no more than four cases of ten.</summary>
    public ImmutableArray<HardlyTold> Hardly { get; init; } = [];

    /// <summary>Looks that were too large to be reckoned for some faults, in words: there they were taken to tell nothing.</summary>
    public ImmutableArray<string> TooLarge { get; init; } = [];

    /// <summary>Total variation below which two sets count as alike: one look in fifty would come out otherwise at most.</summary>
    internal const double Alikeness = 0.02;

    /// <param name="pairs">True: sets of two faults as well; minutes rather than seconds.</param>
    /// <param name="progress">Told (sets looked at, of all).</param>
    /// <exception cref="OperationCanceledException">It was given up.</exception>
    public static SheetReport Of(TypeSheet sheet, bool pairs = false, Action<int, int>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var table = new SheetTable(sheet, signals: true);
        var faults = table.Faults();
        var all = faults.Length + 1 + (pairs ? faults.Length * (faults.Length - 1) / 2 : 0);
        var done = 0;
        double[][] Row(SheetTable t, params SheetFault[] set)
        {
            cancel.ThrowIfCancellationRequested();
            var row = t.Row(set);
            progress?.Invoke(++done, all);
            return row;
        }
        var none = Row(table);
        var single = faults.Select(f => new LookedAt([f], Row(table, f))).ToList();
        List<LookedAt> sets = [new([], none), .. single];
        if (pairs)
        {
            var bare = new SheetTable(sheet, signals: false);
            for (var i = 0; i < faults.Length; i++)
                for (var j = i + 1; j < faults.Length; j++)
                    if (faults[i].Site != faults[j].Site) sets.Add(new([faults[i], faults[j]], Row(bare, faults[i], faults[j])));
                    else done++;
        }
        var checks = table.Checks.Length;
        var classes = Alikes.Classes(sets, checks);
        return new(sheet.Title, faults.Length, pairs ? sets.Count - single.Count - 1 : 0, checks,
            [.. classes.Select(c => Alikes.Say(sheet, table, c)).OrderByDescending(c => c.WorthMinutes * c.Odds).ThenByDescending(c => c.Odds)],
            Worths.Idle(table, single, none, Doubt.Attended(sheet)), Sensitivity.Of(sheet, table, single, none)) { Hardly = Alikes.Hardly(table, single), TooLarge = [.. table.TooLarge] };
    }
}

/// <summary>A fault set and what every look would show of it.</summary>
internal sealed record LookedAt(ImmutableArray<SheetFault> Faults, double[][] Row)
{
    public double Odds => Faults.Aggregate(1.0, (p, f) => p * f.Odds);

    public double MendMinutes => Faults.Sum(f => f.MendMinutes);

    public string Words => Faults.IsEmpty ? "nothing wrong" : string.Join(" and ", Faults.Select(f => f.Words));

    /// <summary>Total variation between two distributions, 0..1: half the sum of differences.</summary>
    public static double Apart(double[] a, double[] b)
    {
        double sum = 0;
        for (var i = 0; i < a.Length; i++) sum += Math.Abs(a[i] - b[i]);
        return sum / 2;
    }
}
