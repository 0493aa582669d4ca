using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Perf.Benches;

/// <summary>The bound no order can pass but by luck: the minutes of one who knew every fault from the start. It pays the mends that the proof would
/// insist on, one passed proof and the one switching-on it takes; no look, and no mend that fails.</summary>
internal static class KnowingAll
{
    /// <summary>Reading the raw rail's ohms before first power, and switching on.</summary>
    private const double PowerMinutes = 4;

    public static double Minutes(Func<Day> begin)
    {
        var faults = begin().TrueFaults;
        return PowerMinutes + begin().ProofMinutes + faults.Where(f => Shows(begin(), faults, f)).Sum(f => begin().LeastMinutes(f.Site, f.Mode));
    }

    /// <summary>Whether the proof would show this one with all others mended; what comes and goes has twenty chances.</summary>
    private static bool Shows(Day day, ImmutableArray<(SiteRef Site, string Mode)> all, (SiteRef Site, string Mode) one)
    {
        foreach (var f in all)
            if (f != one) day.MendForCertain(f.Site);
        return Enumerable.Range(0, 20).Any(_ => day.ProofWouldFail());
    }
}
