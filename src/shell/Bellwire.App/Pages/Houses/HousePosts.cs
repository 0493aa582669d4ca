using Bellwire.App.Pages.Benches;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Houses;

/// <summary>The owner's house over the telephone: runs, loops, group tests, terminals, the refit.</summary>
internal static class HousePosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["run"] = Run, ["loop"] = Loop, ["group"] = Group, ["terminal"] = Terminal, ["refit"] = Refit };

    private static Task<string?> Run(Post post)
    {
        var run = post.Need("run", "Say which run.");
        var gauge = post.Whole("gauge", 10, 30, "The gauge");
        var metres = post.Number("metres", 0.1, 2000, "The length");
        post.Record(new RunDescribed(post.Job, run, post.Typed.Maybe("terminal"), post.Typed.Maybe("colours"), gauge, metres));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Loop(Post post)
    {
        var run = post.Need("run", "Say which run.");
        var celsius = post.Number("celsius", -40, 80, "The temperature");
        var open = post["ohms"].Equals("open", StringComparison.OrdinalIgnoreCase) || post["ohms"].Equals("OL", StringComparison.OrdinalIgnoreCase);
        var ohms = open ? double.PositiveInfinity : Readings.Of(post, "ohms", "ohm") is { Quantity: "ohm" } r ? r.Value : double.NaN;
        if (double.IsNaN(ohms)) post.Complain("ohms", "Ohms are wanted here: 3.2 ohm, 1M2, or open.");
        post.Record(new LoopRead(post.Job, run, post.Typed.Maybe("far") ?? "open", ohms, celsius, post.Typed.Maybe("by") ?? "owner"));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Group(Post post)
    {
        post.Record(new GroupTried(post.Job, [.. post.Typed.All("lifted")], post["remains"] == "yes", "owner"));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Terminal(Post post)
    {
        var terminal = post.Need("terminal", "Say which terminal.");
        var (x, y) = (post.Number("x", 0, 100, "Across"), post.Number("y", 0, 100, "Down"));
        if (x is null || y is null) post.Complain("x", "Touch the terminal on the photo, or type where it is, in percent from the upper left corner.");
        if (post.Desk.PhotosOf(post.Job).All(p => p.ContentHash != post["photo"])) post.Complain("terminal", "That photo is not on this tape.");
        post.StopIfWrong();
        post.Record(new TerminalMarked(post.Job, post["photo"], terminal, x!.Value / 100, y!.Value / 100, post.Typed.Maybe("colour"), post.Typed.Maybe("to")));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Refit(Post post)
    {
        post.Record(new RefitTried(post.Job, post.Need("step", "Say which step."), post.Need("outcome", "Say how it went."), "owner"));
        return Task.FromResult<string?>(post.Here + "#refit");
    }
}
