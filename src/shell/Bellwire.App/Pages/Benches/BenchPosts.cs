using System.Collections.Immutable;
using Bellwire.App.Desks;
using Bellwire.App.Pages.Mending;
using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Quantities;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Benches;

/// <summary>What the bench page's forms do: each records acts and returns where to go.</summary>
internal static class BenchPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new()
    {
        ["check"] = Checks, ["anycheck"] = Checks, ["reading"] = Reading, ["meter"] = Meter, ["swap"] = Swap, ["pull"] = Pull, ["reseat"] = Reseat, ["mend"] = Mend, ["through"] = MendPosts.Through,
        ["power"] = Power, ["off"] = Off, ["soak"] = Soak, ["gate"] = Gate, ["note"] = CommonPosts.Note, ["photo"] = CommonPosts.Photo, ["strike"] = CommonPosts.Strike, ["forget"] = CommonPosts.Forget, ["park"] = CommonPosts.Park, ["no-ahead"] = NoAhead,
    };

    private static string Bench(Post post) => $"/job/{post.Job}/bench";

    internal static SystemState System(Post post)
    {
        if (post.Desk.SystemOf(post.Job) is { } system) return system;
        post.Typed.Refusal = Law.NotOnTheBench;
        throw new StopPost();
    }

    private static Task<string?> NoAhead(Post post)
    {
        post.Desk.AheadOf(post.Job).Stop();
        return Task.FromResult<string?>(Bench(post) + "#ahead");
    }

    private static Task<string?> Checks(Post post)
    {
        var check = post.Need("check", "Say which look this was.");
        var outcome = post.Need("outcome", "Touch what it showed.");
        post.StopIfWrong();
        var spec = post.Desk.SheetOf(post.Job).Checks.FirstOrDefault(c => c.Id == check);
        if (spec is null) post.Complain("check", $"The type sheet has no look called “{check}”.");
        else if (!spec.Outcomes.Contains(outcome)) post.Complain("outcome", $"“{outcome}” is not among what this look can show: {string.Join(", ", spec.Outcomes)}.");
        post.StopIfWrong();
        var throws = Post.Map(post.Typed.Under("throw-"));
        // A form from before the set came still calls it by its name in the house.
        var system = post.Typed.Maybe("system") is { } named && named != Law.SetInTheHouse(post.Job) ? named : System(post).Id;
        post.Record(new Checked(post.Job, system, check, outcome, throws, spec!.Circumstances, spec.Minutes));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Reading(Post post)
    {
        var system = System(post);
        var sheet = post.Desk.SheetOf(post.Job);
        var said = post.Need("point", "Say where it was read.");
        var typed = post.Need("value", "Type the reading with its unit.");
        post.StopIfWrong();
        var (isNew, place) = said.StartsWith(ReadingSense.New + " ", StringComparison.OrdinalIgnoreCase) ? (true, said[(ReadingSense.New.Length + 1)..].TrimStart()) : (false, said);
        var point = isNew ? post.Desk.PointOf(post.Job, place) : MeterLine.PointOf(place, sheet);
        place = point?.Id ?? place;
        if (!isNew && ReadingSense.NoSuchPlace(sheet, ReadingSense.OwnNames(post.Desk.State, post.Job), place, place) is { } none) post.Complain("point", none);
        var reading = Readings.Of(post, "value", point?.Quantity);
        if (reading?.Quantity is { } quantity && ReadingSense.Slip(sheet, place, quantity, reading.Value, typed) is { } slip) post.Complain("value", slip);
        post.StopIfWrong();
        post.Record(new ReadingTaken(post.Job, system.Id, place, reading!.Quantity!, reading.Value, typed, Desk.Circumstances(system)));
        return Task.FromResult<string?>(Bench(post) + "?log=reading");
    }

    /// <summary>A line as the technician says it; every reading of it, or none.</summary>
    private static Task<string?> Meter(Post post)
    {
        var system = System(post);
        var sheet = post.Desk.SheetOf(post.Job);
        var (readings, why) = MeterLine.Read(post.Need("line", "Type what the meter says, the point first."), sheet);
        if (why is not null) post.Complain("line", why);
        var own = ReadingSense.OwnNames(post.Desk.State, post.Job);
        foreach (var r in readings)
            if (((r.New ? null : ReadingSense.NoSuchPlace(sheet, own, r.Point, $"{r.Point} {r.Typed}")) ?? ReadingSense.Slip(sheet, r.Point, r.Quantity, r.Value, r.Typed)) is { } sense) post.Complain("line", sense);
        post.StopIfWrong();
        post.RecordAll([.. readings.Select(r => new ReadingTaken(post.Job, system.Id, r.Point, r.Quantity, r.Value, r.Typed, r.Lifted ? Desk.Circumstances(system).SetItem(PartReading.Lead, PartReading.Lifted) : Desk.Circumstances(system)))]);
        return Task.FromResult<string?>(Bench(post));
    }

    /// <summary>A swap is up to four acts: lend, pull what sat there, pull the newcomer from where it was, fit.</summary>
    private static Task<string?> Swap(Post post)
    {
        var home = System(post);
        var into = post.Typed.Maybe("system") ?? home.Id;
        foreach (var (position, piece) in post.Typed.Under("swap-"))
            post.RecordAll(post.Desk.SwapActs(post.Job, into, position, piece));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Pull(Post post)
    {
        var system = post.Typed.Maybe("system") is { } named && post.Desk.State.Systems.TryGetValue(named, out var other) ? other : System(post);
        var position = post.Need("position", "Say which position was pulled.");
        if (!system.Pieces.TryGetValue(position, out var piece)) post.Complain("position", "Nothing sits there.");
        post.StopIfWrong();
        post.Record(new Pulled(post.Job, piece!, system.Id, position, post.Typed.Maybe("place") ?? "on the bench"));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Reseat(Post post)
    {
        post.Record(new Reseated(post.Job, System(post).Id, post.Need("position", "Say which position was reseated.")));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Mend(Post post)
    {
        if (post.Typed.Has("piece")) return MendPiece(post);
        var system = System(post);
        var position = post.Need("position", "Say where.");
        var minutes = post.Number("minutes", 0, 1000, "Minutes");
        var cost = post.Number("cost", 0, 100_000, "The price");
        var fault = post["fault"].Split('/');
        var info = fault.Length == 3 ? post.Desk.FaultAt(post.Job, position, fault[0] == "position", fault[1], fault[2]) : null;
        if (info is null) post.Complain("fault", "Choose what was put right.");
        var sitting = system.Pieces.GetValueOrDefault(position);
        if (info is { Position: null } && sitting is null) post.Complain("fault", "Nothing sits there to be mended.");
        if (sitting is null && post.Typed.Has("part")) post.Complain("part", "Nothing sits there that the part could go into; note it as a word.");
        post.StopIfWrong();
        post.Record(info!.Position is null
            ? new Mended(post.Job, sitting, null, null, info.Site, info.Words, info.MendSuccess, minutes ?? info.MendMinutes)
            : new Mended(post.Job, null, system.Id, position, info.Site, info.Words, info.MendSuccess, minutes ?? info.MendMinutes));
        if (post.Typed.Maybe("part") is { } part) post.Record(new PartUsed(post.Job, sitting!, part, (decimal)(cost ?? 0), post.Desk.Currency, null));
        return Task.FromResult<string?>(Bench(post));
    }

    /// <summary>The owner's piece by its name: it may lie on the bench while another sits in its place.</summary>
    private static Task<string?> MendPiece(Post post)
    {
        var minutes = post.Number("minutes", 0, 1000, "Minutes");
        if (!post.Desk.State.Pieces.TryGetValue(post["piece"], out var piece) || piece.Job != post.Job || piece.Owner == Party.Shop || piece.Gone)
        {
            post.Typed.Refusal = "That piece is not the owner’s, or it is here no longer.";
            throw new StopPost();
        }
        var fault = post["fault"].Split('/');
        var info = fault is ["piece", var site, var mode] ? post.Desk.FaultIn(post.Job, piece.Kind, site, mode) : null;
        if (info is null) post.Complain("fault", "Choose what was put right.");
        post.StopIfWrong();
        post.Record(new Mended(post.Job, piece.Id, null, null, info!.Site, info.Words, info.MendSuccess, minutes ?? info.MendMinutes));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Power(Post post)
    {
        var system = System(post);
        var volts = post.Number("volts", 0, 300, "Line volts");
        post.Record(new Powered(post.Job, system.Id, post.Need("feed", "Say by which feed."), volts));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Off(Post post)
    {
        post.Record(new Unpowered(post.Job, System(post).Id));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Soak(Post post)
    {
        var system = System(post);
        var attended = post.Need("attended", "Say whether somebody stays with it.") == "yes";
        var hours = post.Number("hours", 0.1, 1000, "Hours");
        post.Record(new SoakBegun(post.Job, system.Id, attended, hours));
        return Task.FromResult<string?>(Bench(post));
    }

    private static Task<string?> Gate(Post post)
    {
        var system = System(post);
        var gate = post.Desk.GateOf(post.Job, post.Need("gate", "Say which gate."));
        if (gate is null) post.Typed.Refusal = $"This set has no safety gate “{post["gate"]}”. Load the page again and answer one that stands there.";
        post.StopIfWrong();
        double? value = null;
        var (quantity, limit) = (post.Desk.GateQuantity(post.Job, gate!), Limit(post, gate!));
        if (post.Typed.Has("value"))
        {
            var read = Readings.Of(post, "value", quantity);
            // The value of a gate without point or limit is a word more, whatever it is in.
            if (read is not null && (gate!.Point is not null || limit is not null) && !TypedReading.Tells(quantity, read.Quantity!))
                post.Complain("value", $"“{post["value"]}” is not what this gate is measured in: type {Desk.UnitWord(quantity)}{(limit is null ? "" : $"; it must be {limit}")}.");
            value = read?.Value;
        }
        else if (limit is not null && post["passed"] == "yes") post.Complain("value", $"Measure it and type what it reads, with its unit: it must be {limit}.");
        var passed = post["passed"] == "yes";
        var despite = post["passed"] == "despite" ? post.Need("why", "Say why it may go on all the same; the reason is kept and printed.") : null;
        post.StopIfWrong();
        post.Record(new GateAnswered(post.Job, system.Id, gate!.Id, passed, value, post.Typed.Maybe("value"), despite));
        return Task.FromResult<string?>(Bench(post));
    }

    /// <summary>"above 4.7 V and below 5.3 V"; null for a gate that is answered without a number.</summary>
    private static string? Limit(Post post, GateSpec gate)
    {
        var unit = Desk.UnitWord(post.Desk.GateQuantity(post.Job, gate));
        var parts = new[] { gate.Above is { } above ? FormattableString.Invariant($"above {above:0.###} {unit}") : null, gate.Below is { } below ? FormattableString.Invariant($"below {below:0.###} {unit}") : null };
        return parts.OfType<string>().ToList() is { Count: > 0 } some ? string.Join(" and ", some) : null;
    }
}

/// <summary>Typed numbers with units, complaints beside their field.</summary>
internal static class Readings
{
    public static TypedReading? Of(Post post, string field, string? usual)
    {
        var reading = TypedReading.Parse(post[field], usual, out var why);
        if (reading is null) post.Complain(field, why);
        else if (reading.Quantity is null) { post.Complain(field, "Say its unit: V, V AC, mVpp, ohm, A or Hz."); return null; }
        return reading;
    }
}
