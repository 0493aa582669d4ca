using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Core.Tests.Workshop;

/// <summary>A journal kept in memory: the laws without the disk.</summary>
public sealed class ShopWorld
{
    public List<Entry> Recorded { get; } = [];
    public ShopState State { get; private set; } = ShopState.Empty;

    public static readonly SetOutline Outline = new("1990s", "24 V centre-tapped", 3, 1, ["tuner"]);

    public Verdict Do(Act act, string? id = null, long? after = null)
    {
        var verdict = Law.Try(State, Recorded, act, after);
        if (verdict is not Verdict.Lawful yes) return verdict;
        var entry = new Entry(Recorded.Count + 1, id ?? "e" + (Recorded.Count + 1), DateTimeOffset.UnixEpoch.AddMinutes(Recorded.Count), null, after, yes.Jobs, yes.Entities, act, "", "");
        State = Replay.Continue(State, Recorded, [entry]);
        Recorded.Add(entry);
        return verdict;
    }

    public void Must(Act act, string? id = null, long? after = null)
    {
        if (Do(act, id, after) is Verdict.Refused no) Assert.Fail($"{ActKinds.NameOf(act)} was refused: {no.Why} {string.Join(" ", no.Details)}");
    }

    public Verdict.Refused Refused(Act act, long? after = null) => Assert.IsType<Verdict.Refused>(Do(act, null, after));

    /// <summary>One job J1 with a set of two positions, a shop amplifier, and a mule.</summary>
    public static ShopWorld WithOneJob()
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J1", new("p1"), null, null, Outline));
        w.Must(new PieceRecorded("amp1", "amplifier", "Amplifier", "owner:J1", "J1", Places.Bench, null, null));
        w.Must(new PieceRecorded("sup1", "supply", "Supply", "owner:J1", "J1", Places.Bench, null, null));
        w.Must(new PieceRecorded("ampS", "amplifier", "Amplifier", Party.Shop, null, Places.Shelf, "green dot", null, true, 0.97));
        w.Must(new SystemSetUp("set1", "J1", null, ImmutableDictionary<string, string>.Empty.Add("amplifier", "amp1").Add("supply", "sup1")));
        w.Must(new SystemSetUp("mule", null, null, ImmutableDictionary<string, string>.Empty));
        return w;
    }
}
