using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>Looks that were made again and did not show the same.</summary>
public static partial class CaseBuilder
{
    /// <summary>Share of looks that went onto the tape as something else, taken where two of one look differ: nothing is impossible then (estimate).</summary>
    private const double SlipsWhereUnlike = 0.04;

    /// <summary>Looked at as often as this in one hook-up, a look is not offered again whatever it showed (estimate).</summary>
    private const int MostUnlike = 5;

    private sealed partial class Walk
    {
        /// <summary>Looks since anything was changed or switched on, by check and setting.</summary>
        private readonly Dictionary<(string Key, string Setting), List<(CaseEvent.Observe Seen, string Outcome)>> lately = [];

        /// <summary>A look that shows the same again counts once: what deceived it once deceives it twice. One that shows something else was not deceived alike: then all of them
        /// count, each for itself. Either one was a slip, and another look tells which; or it comes and goes, and the good one takes nothing back.</summary>
        private void Looked(CheckSpec check, string outcome, CaseEvent.Observe seen)
        {
            var key = $"{seen.System}:{check.Id}";
            fresh.Add(key);
            if (seen.Repeat is null)
            {
                events.Add(seen);
                return;
            }
            var at = (key, string.Join(",", seen.Setting.Throws.Concat(seen.Setting.Circumstances).Select(x => $"{x.Key}={x.Value}").Order(StringComparer.Ordinal)));
            if (!lately.TryGetValue(at, out var all)) lately[at] = all = [];
            all.Add((seen, outcome));
            events.Add(seen);
            if (all.TrueForAll(a => a.Outcome == outcome)) return;
            foreach (var one in all)
                if (events.IndexOf(one.Seen) is >= 0 and var i) events[i] = ForItself(one.Seen);
            if (all.Count < MostUnlike) fresh.Remove(key);
        }

        private static CaseEvent.Observe ForItself(CaseEvent.Observe seen)
        {
            var states = seen.Outcomes.SelectMany(o => o.Keys).Distinct().ToList();
            ImmutableDictionary<string, double> Slipped(ImmutableDictionary<string, double> o) => states.ToImmutableDictionary(s => s, s => (1 - SlipsWhereUnlike) * o.GetValueOrDefault(s) + SlipsWhereUnlike / seen.Outcomes.Length);
            return seen with { Repeat = null, Likelihood = Slipped(seen.Likelihood), Outcomes = [.. seen.Outcomes.Select(Slipped)] };
        }
    }
}
