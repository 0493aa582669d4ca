using Bellwire.Reasoning;

namespace Bellwire.Sheets.Rules;

/// <summary>Finds signals that depend on themselves.</summary>
internal static class Loops
{
    /// <summary>Groups of signals that follow from one another (Tarjan 1972: strongly connected components that hold a cycle).</summary>
    public static IEnumerable<IReadOnlyList<string>> In(IReadOnlyDictionary<string, IReadOnlyCollection<string>> follows)
    {
        var index = new Dictionary<string, int>(StringComparer.Ordinal);
        var low = new Dictionary<string, int>(StringComparer.Ordinal);
        var on = new HashSet<string>(StringComparer.Ordinal);
        var stack = new Stack<string>();
        var found = new List<IReadOnlyList<string>>();
        foreach (var start in follows.Keys.Where(k => !index.ContainsKey(k)))
        {
            // An own stack of calls: a chain of thousands of signals must not overflow the thread's.
            var calls = new Stack<(string Node, IEnumerator<string> After)>();
            Enter(start);
            while (calls.Count > 0)
            {
                var (node, rest) = calls.Peek();
                if (rest.MoveNext())
                {
                    var to = rest.Current;
                    if (!follows.ContainsKey(to)) continue;
                    if (!index.ContainsKey(to)) Enter(to);
                    else if (on.Contains(to)) low[node] = Math.Min(low[node], index[to]);
                    continue;
                }

                calls.Pop();
                if (calls.Count > 0) low[calls.Peek().Node] = Math.Min(low[calls.Peek().Node], low[node]);
                if (low[node] != index[node]) continue;
                var group = new List<string>();
                string member;
                do
                {
                    member = stack.Pop();
                    on.Remove(member);
                    group.Add(member);
                }
                while (member != node);
                if (group.Count > 1 || follows[node].Contains(node)) found.Add(group);
            }

            void Enter(string node)
            {
                index[node] = low[node] = index.Count;
                stack.Push(node);
                on.Add(node);
                calls.Push((node, follows[node].GetEnumerator()));
            }
        }

        return found;
    }

    public static IEnumerable<string> SignalsIn(Condition c) => c.Leaves().OfType<Condition.SignalIn>().Select(s => s.Signal);
}
