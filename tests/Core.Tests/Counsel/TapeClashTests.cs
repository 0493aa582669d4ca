using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>What is behind an entry that stands against the rest, in words (common practice, no source).</summary>
public class TapeClashTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    [Fact]
    public void A_dead_rail_in_a_set_that_does_everything_is_a_misreading()
    {
        List<int> told = [];
        var found = Explain([.. Good("fn-clock", "fn-keys", "fn-fm", "fn-aux", "fn-tone"), Seen("rail5-volts", "dead")], new Counting(told));
        Assert.Equal("rail5-volts dead", Short(found.At!));
        Assert.Equal(["rail5-volts dead"], Assert.Single(found.Smallest).Select(Short));
        Assert.Equal(("slip", true), (found.Reasons[0].Kind, found.Reasons[0].Words.StartsWith($"Entry {found.At!.Number} is a slip", StringComparison.Ordinal)));
        Assert.InRange(found.Reasons.Sum(r => r.Share), 0.9, 1 + 1e-9);
        Assert.True(told.Count > 1 && told.SequenceEqual(told.Order()), "progress goes forward");
    }

    [Fact]
    public void Each_explanation_says_what_settles_it_and_no_setting_of_the_source_is_blamed_for_a_rail()
    {
        var found = Explain([.. Good("fn-clock", "fn-keys", "fn-fm"), Seen("rail5-volts", "dead")], null);
        Assert.Contains(found.Reasons, r => r.Kind is "wrong-sheet" or "unknown-fault");
        Assert.DoesNotContain(found.Reasons, r => r.Words.Contains("was turned to", StringComparison.Ordinal));
        Assert.All(found.Reasons, r => Assert.False(string.IsNullOrWhiteSpace(r.ToDo)));
    }

    [Fact]
    public void A_tape_that_holds_together_has_nothing_behind_it()
    {
        var found = Explain([.. Good("fn-clock", "fn-keys")], null);
        Assert.Null(found.At);
        Assert.Empty(found.Reasons);
    }

    [Fact]
    public void It_can_be_given_up()
    {
        using var stop = new CancellationTokenSource();
        Assert.Throws<OperationCanceledException>(() => TapeClash.Explain(State([.. Good("fn-clock", "fn-keys", "fn-fm", "fn-aux"), Seen("rail5-volts", "dead")]), "case", Sheet, _ => null,
            progress: new Stopping(stop), cancel: stop.Token));
    }

    private sealed class Counting(List<int> told) : IProgress<ClashProgress>
    {
        public void Report(ClashProgress value) => told.Add(value.Done);
    }

    private sealed class Stopping(CancellationTokenSource stop) : IProgress<ClashProgress>
    {
        public void Report(ClashProgress value) => stop.Cancel();
    }

    private readonly Dictionary<string, string> shorts = [];

    private string Short(ClashEntry e) => shorts[e.EntryId];
    private static Checked Seen(string check, string outcome) => new("case", "set", check, outcome, Sheet.Checks.First(c => c.Id == check).Throws, None, 1);
    private static IEnumerable<Act> Good(params string[] checks) => checks.Select(c => Seen(c, Sheet.Checks.First(x => x.Id == c).Outcomes[0]));

    private ClashFinding Explain(Act[] acts, IProgress<ClashProgress>? progress) => TapeClash.Explain(State(acts), "case", Sheet, _ => null, progress: progress);

    private ShopState State(Act[] acts)
    {
        var recorded = new List<Entry>();
        var state = ShopState.Empty;
        foreach (var act in (Act[])[
            new JobOpened("case", new Personal("o"), Sheet.Id, Sheet.Hash, new SetOutline(Sheet.Era, Sheet.Feed, 3, 2, [])),
            new SystemSetUp("set", "case", Sheet.Id, None), new Powered("case", "set", "limited", null), .. acts])
        {
            var (jobs, entities) = Touches.Of(state, act);
            var entry = new Entry(recorded.Count + 1, $"e{recorded.Count + 1}", DateTimeOffset.UnixEpoch.AddMinutes(recorded.Count), null, null, jobs, entities, act, "", "");
            state = Replay.Continue(state, recorded, [entry]);
            recorded.Add(entry);
            if (act is Checked c) shorts[entry.Id] = $"{c.Check} {c.Outcome}";
        }
        return state;
    }
}
