using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What a shop's piece went through, handed on when it leaves a job: the posterior marginal. What it shared with other suspects is lost,
/// and the shelf says so.</summary>
public static class Handing
{
    /// <returns>Null when the job never had the piece in a hook-up, or its tape contradicts itself.</returns>
    public static TrustHandedOn? On(ShopState state, string job, string piece, TypeSheet sheet, Weighed weighed)
    {
        ArgumentNullException.ThrowIfNull(weighed);
        if (weighed.Weighing.Posterior is not { } belief || belief.Pieces.FirstOrDefault(p => p.Piece == piece) is not { } now) return null;
        if (weighed.Built.Case.Pieces.FirstOrDefault(p => p.Id == piece) is not { } instance) return null;
        var kind = sheet.Family.Kinds.First(k => k.Id == instance.Kind);
        var before = instance.Trust ?? kind.Sites.Aggregate(1.0, (q, s) => s.Modes.Aggregate(q, (r, m) => r * (1 - m.BaseOdds)));
        return new(piece, job, before, Math.Clamp(1 - now.Faulty, 0, 1), "marginal");
    }
}
