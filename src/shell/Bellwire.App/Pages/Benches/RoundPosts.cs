using System.Collections.Immutable;
using Bellwire.App.Desks;
using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Benches;

/// <summary>Forms that take many things in one go: the function grid, the rail ladder, the whole hook-up.</summary>
internal static class RoundPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["grid"] = Grid, ["ladder"] = Ladder, ["hookup"] = HookUp };

    private static Task<string?> Grid(Post post)
    {
        var system = BenchPosts.System(post);
        var minutes = post.Number("minutes", 0, 1000, "Minutes");
        var outcomes = ImmutableDictionary.CreateBuilder<string, string>();
        foreach (var (_, check, good) in post.Desk.FunctionsOf(post.Job))
        {
            var said = post.Typed.Maybe($"f-{check.Id}") ?? (post.Typed.Has("rest") ? good : null);
            if (said is not null && check.Outcomes.Contains(said)) outcomes[check.Id] = said;
        }
        if (outcomes.Count == 0) post.Typed.Refusal = "Mark at least one function, or tick “All good except what is marked”.";
        post.StopIfWrong();
        post.Record(new GridChecked(post.Job, system.Id, outcomes.ToImmutable(), ImmutableDictionary<string, string>.Empty, minutes));
        return Task.FromResult<string?>($"/job/{post.Job}/bench");
    }

    private static Task<string?> Ladder(Post post)
    {
        var system = BenchPosts.System(post);
        var readings = new List<ReadingTaken>();
        foreach (var point in post.Desk.SheetOf(post.Job).Points.Where(p => p.Ladder > 0).OrderBy(p => p.Ladder))
        {
            if (!post.Typed.Has("r-" + point.Id)) continue;
            if (Readings.Of(post, "r-" + point.Id, point.Quantity) is not { } reading) continue;
            if (ReadingSense.Slip(post.Desk.SheetOf(post.Job), point.Id, reading.Quantity!, reading.Value, post["r-" + point.Id]) is { } slip) post.Complain("r-" + point.Id, slip);
            else readings.Add(new(post.Job, system.Id, point.Id, reading.Quantity!, reading.Value, post["r-" + point.Id], Desk.Circumstances(system)));
        }
        if (readings.Count == 0 && !post.Typed.Failed) post.Typed.Refusal = "Type at least one reading.";
        post.StopIfWrong();
        post.RecordAll(readings);
        return Task.FromResult<string?>($"/job/{post.Job}/bench");
    }

    private static Task<string?> HookUp(Post post)
    {
        var (desk, system) = (post.Desk, BenchPosts.System(post));
        var pieces = post.Typed.Under("at-").ToImmutableDictionary(p => p.Key, p => p.Value);
        foreach (var twice in pieces.GroupBy(p => p.Value).Where(g => g.Count() > 1))
            foreach (var (position, piece) in twice) post.Complain("at-" + position, $"{desk.PieceName(piece)} cannot sit in two places.");
        post.StopIfWrong();
        post.RecordAll([.. desk.LendActs(post.Job, pieces.Values), new HookUpRepaired(post.Job, system.Id, pieces, post.Typed.Maybe("where") ?? "on the bench")]);
        return Task.FromResult<string?>($"/job/{post.Job}/bench");
    }
}
