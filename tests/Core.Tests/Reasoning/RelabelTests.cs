using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Core.Tests.Reasoning;

/// <summary>Names and their order mean nothing; what has no chance is not there.</summary>
public class RelabelTests
{
    private static readonly WeighOptions Whole = new(NodeBudget: int.MaxValue, Samples: 50);

    private static IEnumerable<(int Seed, Case Case, Posterior Belief)> Cases(int count, int from)
    {
        for (int seed = from, n = 0; n < count; seed++)
        {
            var c = TwoCauses(new RandomCases(seed).Make(), seed);
            if (Reasoner.Weigh(c, Whole).Posterior is not { } p) continue;
            n++;
            yield return (seed, c, p);
        }
    }

    /// <summary>A second cause, so that lanes can change places; repeats count each time, so that hazards do not open or close them.</summary>
    private static Case TwoCauses(Case c, int seed)
    {
        var f = c.Family;
        SiteSpec Site(SiteSpec s, int i) => s with { Modes = [.. s.Modes.Select((m, k) => (seed + i + k) % 3 == 0 ? m with { ByCause = m.ByCause.Add("damp", 0.2) } : m)] };
        return c with
        {
            Family = f with
            {
                Causes = f.Causes.Add(new CauseSpec("damp", "", 0.15)),
                Kinds = [.. f.Kinds.Select((k, i) => k with { Sites = [.. k.Sites.Select(s => Site(s, i))] })],
                Positions = [.. f.Positions.Select((p, i) => p with { Sites = [.. p.Sites.Select(s => Site(s, i + 1))] })],
            },
            Events = [.. c.Events.Select(e => e is CaseEvent.Observe o ? o with { Repeat = null } : e)],
        };
    }

    [Fact]
    public void Renaming_and_reordering_changes_nothing()
    {
        foreach (var (seed, c, p) in Cases(150, 600_000))
        {
            var names = new Renamed(seed);
            var q = Reasoner.Weigh(names.Of(c), Whole).Posterior!;
            Assert.True(Math.Abs(p.LogEvidence - q.LogEvidence) < 1e-9, $"seed {seed}: evidence");
            var sites = q.Sites.ToDictionary(s => s.Site);
            foreach (var s in p.Sites)
                foreach (var (mode, x) in s.Now)
                {
                    Near(x, sites[names.Of(s.Site)].Now[names.Mode(mode)], $"{s.Site} {mode}");
                    Near(s.Original[mode], sites[names.Of(s.Site)].Original[names.Mode(mode)], $"{s.Site} was {mode}");
                }
            foreach (var (cause, x) in p.Causes) Near(x, q.Causes[names.Cause(cause)], cause);
            Near(p.NothingWrong, q.NothingWrong, "nothing wrong");

            void Near(double x, double y, string what) => Assert.True(Math.Abs(x - y) < 1e-9, $"seed {seed}: {what}: {x:R}, renamed {y:R}");
        }
    }

    [Fact]
    public void What_has_no_chance_is_the_same_as_none()
    {
        foreach (var (seed, c, p) in Cases(120, 610_000))
        {
            var f = c.Family;
            var signal = f.Signals[seed % f.Signals.Length];
            var kind = f.Kinds[seed % f.Kinds.Length];
            var hazard = new HazardSpec("never", "", new Condition.SignalIn(signal.Id, [signal.States[0]]), "P0", f.Kinds[0].Sites[0].Id, f.Kinds[0].Sites[0].Modes[0].Id, 0, seed % 2 == 0);
            Same("hazard", c with { Family = f with { Hazards = f.Hazards.Insert(0, hazard) } });
            Same("contact", c with { Family = f with { Positions = [.. f.Positions.Select(x => x.ContactSite is null && x.Sites.IsEmpty ? x with { RedrawChance = 0.5 } : x)] } });
            var steady = c with { Family = f with { Positions = [.. f.Positions.Select(x => x with { ContactSite = null, RedrawChance = 0 })] } };
            Same("contact that is never redrawn", steady with { Family = steady.Family with { Positions = [.. f.Positions.Select(x => x with { RedrawChance = 0 })] } }, steady);
            var intermittent = new ModeSpec("never", "", 0, ImmutableDictionary<string, double>.Empty, 0.5);
            var rule = new RuleSpec("never", new Condition.SiteIn("P" + kind.Id[1..], kind.Sites[0].Id, ["never"]), signal.States[1]);
            Same("intermittent", c with
            {
                Family = f with
                {
                    Kinds = [.. f.Kinds.Select(k => k.Id == kind.Id ? k with { Sites = k.Sites.SetItem(0, k.Sites[0] with { Modes = k.Sites[0].Modes.Add(intermittent) }) } : k)],
                    Signals = [.. f.Signals.Select(s => s.Id == signal.Id ? s with { Rules = s.Rules.Insert(0, rule) } : s)],
                },
            });
            var graded = new RuleSpec("never", new Condition.Always(), signal.States[1], 0);
            Same("graded rule", c with { Family = f with { Signals = [.. f.Signals.Select(s => s.Id == signal.Id ? s with { Rules = s.Rules.Insert(0, graded) } : s)] } });
            Same("mend", c with { Events = c.Events.Insert(c.Events.Length / 2, new CaseEvent.Mend("never", SiteRef.OfPiece(c.Pieces[0].Id, f.Kinds.First(k => k.Id == c.Pieces[0].Kind).Sites[0].Id), 0)) });

            void Same(string what, Case other, Case? than = null)
            {
                var expected = than is null ? p : Reasoner.Weigh(than, Whole).Posterior!;
                var q = Reasoner.Weigh(other, Whole).Posterior!;
                Assert.True(Math.Abs(expected.LogEvidence - q.LogEvidence) < 1e-9, $"seed {seed}: {what}: evidence");
                foreach (var (x, y) in expected.Sites.Zip(q.Sites))
                    foreach (var (mode, chance) in x.Now) Assert.True(Math.Abs(chance - y.Now[mode]) < 1e-9, $"seed {seed}: {what}: {x.Site} {mode}: {chance:R}, with it {y.Now[mode]:R}");
            }
        }
    }
}
