using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Which set to take up first, and with what in the hand. Derived anew each time; nobody sets it.</summary>
/// <param name="Hand">What to have in the hand: the telephone, the meter, the iron, a piece, the carton; empty while another's turn it is.</param>
/// <param name="Rank">Lower comes first.</param>
public sealed record TodayTurn(string Job, string Do, string Hand, string Awaiting, double Rank)
{
    public static TodayTurn Of(ShopState state, JobGlance glance, Advice advice, TypeSheet sheet, Agreement agreement, JobClock? clock, DateOnly today)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(glance);
        ArgumentNullException.ThrowIfNull(advice);
        var job = state.Jobs[glance.Job];
        var days = Math.Min(30, (today.DayNumber - DateOnly.FromDateTime(job.LastTouched.UtcDateTime).DayNumber) / 10.0);
        var freight = state.TapeOf(job.Id).Select(e => e.Act).OfType<Freighted>().LastOrDefault();
        TodayTurn Wait(string for_, double rank) => new(job.Id, "", "", for_, rank);
        TodayTurn Turn(string what, string hand, double rank) => new(job.Id, what, hand, "", rank - days);
        if (job.Ending is not null) return Wait("", 900);
        if (job.ParkedWhy is not null && (job.ParkedUntil is null || job.ParkedUntil > today))
            return Wait(job.ParkedUntil is null ? "somebody to take it up again" : "that day", 500);
        if (job.CartonClosed) return freight is { Way: "home", Stage: "sent" } ? Wait("the carrier: it is on its way home", 400) : Turn("Hand it to the carrier", "the carton", 20);
        if (freight is { Way: "here", Stage: "sent" }) return Wait("the carrier: it is on its way here", 400);
        if (clock is { StopAndCall: true }) return Turn(clock.Word, "the telephone", 0);
        if (agreement.Unagreed.Length > 0) return Turn($"Ask for a new word: {agreement.Unagreed[0]}", "the telephone", 5);
        if (agreement.Quote is not null && !agreement.Accepted && !agreement.Refused) return Wait($"the owner’s word on the quote given {agreement.Given!.Value.ToString("d MMMM", CultureInfo.InvariantCulture)}", 300);
        if (glance.Where.StartsWith("still", StringComparison.Ordinal)) return Wait("the owner, to send it", 450);
        if (glance.Where.StartsWith("being packed", StringComparison.Ordinal)) return Turn("Pack it", "the carton", 30);
        if (glance.Where.StartsWith("being proved", StringComparison.Ordinal)) return Turn("Go on proving", "the test sheet", 40);
        var move = advice.Moves.SelectMany(b => b.Moves).FirstOrDefault(m => m.Refusal is null);
        if (move is null) return Turn(advice.StoppingWord, "the telephone", 60);
        // A short look with much to tell comes before a long one.
        return Turn(move.Words, InHand(move, sheet), 100 - 40 * Math.Min(1, Math.Max(0, move.Score)));
    }

    private static string InHand(MoveLine move, TypeSheet sheet) => move.Kind switch
    {
        "mend" => "the iron",
        "swap" => "the good piece",
        _ => sheet.Checks.FirstOrDefault(c => c.Id == move.Check) is not { } check ? "the tape" : check.Tool is { Length: > 0 } tool && tool != "ear" && tool != "eye" ? $"the {tool.Replace('-', ' ')}"
            : check.How switch { "measure" => "the meter", "listen" => "your ears", "look" => "the lamp", "ask" => "the telephone", _ => "your hands" },
    };
}
