using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>A good piece risked against a gate is judged by what the set shows afterwards, and the entry that hurt it is named
/// (common practice, no source: a shorted logic regulator takes the next good board plugged in).</summary>
public class HarmWordsTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    private static Act[] Story(string five, string filament) =>
    [
        new JobOpened("case", new Personal("o"), Sheet.Id, Sheet.Hash, new SetOutline(Sheet.Era, Sheet.Feed, 3, 2, [])),
        .. Sheet.Positions.Where(p => p.TravelsByPost && !p.House).Select(p => new PieceRecorded("case-" + p.Id, p.Kind, p.Name, "owner:case", "case", "bench", null, null)),
        new PieceRecorded("d9", "display", "Display 9", "shop", null, "shelf", null, null, KnownGood: true),
        new SystemSetUp("set", "case", Sheet.Id, Sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToImmutableDictionary(p => p.Id, p => "case-" + p.Id)),
        new Powered("case", "set", "limited", null),
        new Checked("case", "set", "fn-clock", "garbled", None, None, 1),
        new Checked("case", "set", "rail5-volts", five, None, None, 1),
        new Unpowered("case", "set"),
        new Lent("d9", "case"),
        new Pulled("case", "case-display", "set", "display", "bench"),
        new Fitted("case", "d9", "set", "display") { Overrides = [new("rail5-safe", "the owner waits"), new("last-good", "the owner pays for it")] },
        new Powered("case", "set", "limited", null),
        new Checked("case", "set", "filament", filament, None, None, 4),
    ];

    [Fact]
    public void The_entry_that_killed_the_good_piece_is_named_with_the_reason_it_went_in_for()
    {
        var (advice, power) = Advise(Story("high", "weak"));
        var display = advice.Suspects.Single(s => s.Key == "d9");
        Assert.True(display.ShopPiece && display.Probability > 0.8, $"Display 9: {display.Probability}");
        Assert.Contains($"entry {power}", display.HurtBy, StringComparison.Ordinal);
        var hurt = Assert.Single(advice.Tape.Single(l => l.Number == power).Hurt, h => h.Contains("Display 9", StringComparison.Ordinal));
        Assert.Contains("the owner pays for it", hurt, StringComparison.Ordinal);
        Assert.Contains($"entry {power - 1} ", hurt, StringComparison.Ordinal);
    }

    [Fact]
    public void It_came_through_when_it_is_seen_to_work_and_is_not_doubted_on_a_rail_that_was_right()
    {
        Assert.True(P(Story("high", "good")) < 0.1, $"worked afterwards: {P(Story("high", "good"))}");
        Assert.True(P(Story("good", "good")) < 0.05);
        var (advice, _) = Advise(Story("good", "good"));
        Assert.DoesNotContain(advice.Tape.SelectMany(l => l.Hurt), h => h.Contains("Display 9", StringComparison.Ordinal));

        static double P(Act[] acts) => Advise(acts).Advice.Suspects.FirstOrDefault(s => s.Key == "d9")?.Probability ?? 0;
    }

    private static (Advice Advice, long Power) Advise(Act[] acts)
    {
        var recorded = new List<Entry>();
        var state = ShopState.Empty;
        foreach (var act in acts)
        {
            var (jobs, entities) = Touches.Of(state, act);
            var entry = new Entry(recorded.Count + 1, $"e{recorded.Count + 1}", DateTimeOffset.UnixEpoch.AddMinutes(recorded.Count), null, null, jobs, entities, act, "", "");
            state = Replay.Continue(state, recorded, [entry]);
            recorded.Add(entry);
        }
        return (Counsellor.Advise(state, "case", Sheet, _ => null), recorded.Last(e => e.Act is Powered).Number);
    }
}
