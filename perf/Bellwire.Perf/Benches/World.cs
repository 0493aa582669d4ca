using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Perf.Benches;

/// <summary>How a world differs from the sheet's own.</summary>
/// <param name="Slips">Share of looks whose outcome is written down as another.</param>
/// <param name="Late">Share of reseats, swaps and mends written down only after the next look.</param>
/// <param name="Forgotten">Share of reseats never written down.</param>
/// <param name="Skewed">Odds off threefold, contacts three times as often bad, and in one case of four a fault the sheet does not list.</param>
internal sealed record WorldKind(string Name, double Slips, double Late, double Forgotten, bool Skewed)
{
    public static WorldKind Own { get; } = new("own", 0, 0, 0, false);
    public static WorldKind Wrong { get; } = new("wrong", 0.03, 0.2, 0.05, true);

    /// <summary>The family as this world has it.</summary>
    public Family Of(Family sheet, Lot lot)
    {
        if (!Skewed) return sheet;
        var kinds = sheet.Kinds.Select(k => k with { Sites = [.. k.Sites.Select(s => s.Id == "other" ? s : Skew(s, k.Id, lot, 1))] }).ToImmutableArray();
        var positions = sheet.Positions.Select(p => p with
        {
            RedrawChance = Math.Min(0.9, p.RedrawChance * 1.3),
            Sites = [.. p.Sites.Select(s => Skew(s, p.Id, lot, s.Id == p.ContactSite ? 3 : 1))],
        }).ToImmutableArray();
        var family = sheet with { Kinds = kinds, Positions = positions };
        return lot.Of("unlisted?") < 0.25 ? Unlisted(family, lot) : family;
    }

    private static SiteSpec Skew(SiteSpec s, string of, Lot lot, double more) => s with
    {
        Modes = [.. s.Modes.Select(m =>
        {
            var by = (lot.Of($"skew {of} {s.Id} {m.Id}") < 0.5 ? 1.0 / 3 : 3) * more;
            double Off(double p) => 1 - Math.Exp(Math.Log(1 - Math.Min(p, 0.95)) * by);
            return m with { BaseOdds = Off(m.BaseOdds), ByCause = m.ByCause.ToImmutableDictionary(c => c.Key, c => Off(c.Value)) };
        })],
    };

    /// <summary>A site nobody wrote a rule for, certain to be faulty, in a piece that comes to the bench: it sets one signal that the
    /// piece already has a say in to one of its bad states.</summary>
    private static Family Unlisted(Family f, Lot lot)
    {
        var spots = (from p in f.Positions
                     where !p.House && f.Kinds.First(k => k.Id == p.Kind).Sites.Length > 1 && !p.Id.Contains('-')
                     from s in f.Signals
                     where !s.Loop && s.Rules.Any(r => Names(r.When, p.Id))
                     select (p, s)).ToList();
        var (position, signal) = lot.One("unlisted where", spots);
        var bad = lot.One("unlisted how", [.. signal.States.Skip(1)]);
        var kind = f.Kinds.First(k => k.Id == position.Kind);
        var rule = new RuleSpec("unlisted", new Condition.SiteIn(position.Id, "unlisted", ["faulty"]), bad);
        return f with
        {
            Kinds = f.Kinds.Replace(kind, kind with { Sites = kind.Sites.Add(new SiteSpec("unlisted", "Unlisted", [new ModeSpec("faulty", "unlisted fault", 0.9, ImmutableDictionary<string, double>.Empty)])) }),
            Signals = f.Signals.Replace(signal, signal with { Rules = signal.Rules.Insert(0, rule) }),
        };
    }

    private static bool Names(Condition c, string position) => c switch
    {
        Condition.All a => a.Of.Any(x => Names(x, position)),
        Condition.Any a => a.Of.Any(x => Names(x, position)),
        Condition.Not n => Names(n.Of, position),
        Condition.SiteIn s => s.Position == position,
        _ => false,
    };
}
