using System.Collections.Immutable;
using Bellwire.Counsel.Mends;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>A connection asked about, where a circuit is known: what is tried on paper.</summary>
/// <param name="Sources">Each is tried; none for a thing without volts of its own.</param>
public sealed record ConnectionTrial(TypeSheet Sheet, ForeignPlace Place, ImmutableArray<ForeignSource> Sources);

/// <summary>"May this be connected" where a sheet has the circuit: the connection is tried on paper beside the handbook's sum.
/// What comes out may only make the answer sharper: a part hurt is a "no"; nothing hurt is never a "yes" (rule 13 of safety).</summary>
public static class ConnectionCheck
{
    /// <summary>What such things work with; all estimates but the telephone's, which are from memory (common practice, no source).</summary>
    private static readonly Dictionary<string, ImmutableArray<ForeignSource>> Usual = new()
    {
        ["video"] = [Of("24 V bell transformer"), new("12 V DC supply", 12, 0, 0.5)],
        ["wireless"] = [Of("16 V chime transformer"), Of("24 V bell transformer")],
        ["chime"] = [Of("16 V chime transformer")],
        ["transformer"] = [Of("16 V chime transformer"), Of("24 V bell transformer")],
        ["strike"] = [Of("24 V bell transformer"), new("12 V DC supply", 12, 0, 0.5)],
        ["station"] = [new("12 V DC supply", 12, 0, 0.5)],
        ["telephone"] = [new("telephone line at rest", 48, 0, 400), new("telephone line, ringing", 90, 20, 400)],
        ["source"] = [new("music source", 2, 400, 600)],
    };

    /// <summary>The handbook's fields, with the terminals of these sheets to choose from.</summary>
    public static ImmutableArray<Ask> AsksFor(IEnumerable<TypeSheet> sheets) =>
        [.. Sum.Asks.Select(a => a.Id != MayConnectSum.Terminal.Id ? a : new ChoiceAsk(a.Id, "On paper: the terminal of a sheet",
            [("", "none: the sum alone"), .. sheets.SelectMany(s => ForeignPlaces.Of(s).Select(p => (NameOf(s, p), $"{p.Words} – {s.Title}")))]))];

    /// <summary>"corridor-nine/door-1".</summary>
    public static string NameOf(TypeSheet sheet, ForeignPlace place)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(place);
        return $"{sheet.Id}/{place.Id}";
    }

    /// <summary>What is to be tried; null without a terminal.</summary>
    /// <returns>Complaints by the field they belong to.</returns>
    public static (ConnectionTrial? Trial, ImmutableDictionary<string, string> Wrong) Asked(Given given, IEnumerable<TypeSheet> sheets)
    {
        ArgumentNullException.ThrowIfNull(given);
        var wrong = ImmutableDictionary<string, string>.Empty;
        var volts = given[MayConnectSum.Volts].Trim();
        var why = "";
        var told = volts.Length == 0 ? null : ForeignSource.Parse(volts, out why);
        if (why.Length > 0) wrong = wrong.Add(MayConnectSum.Volts.Id, $"{MayConnectSum.Volts.Label}: {why}");
        var named = given[MayConnectSum.Terminal].Trim();
        var places = sheets.SelectMany(s => ForeignPlaces.Of(s).Select(p => (Sheet: s, Place: p))).ToList();
        var (sheet, place) = places.FirstOrDefault(x => NameOf(x.Sheet, x.Place) == named);
        if (named.Length > 0 && place is null)
            wrong = wrong.Add(MayConnectSum.Terminal.Id, $"{MayConnectSum.Terminal.Label}: there is no “{named}”; there are {(places.Count == 0 ? "none" : string.Join(", ", places.Select(x => NameOf(x.Sheet, x.Place))))}.");
        if (place is null || wrong.Count > 0) return (null, wrong);
        ImmutableArray<ForeignSource> sources = told is not null ? [told]
            : MayConnectSum.BringsVolts(given) == false ? [] : Usual.GetValueOrDefault(MayConnectSum.Thing(given), []);
        return (new(sheet, place, [.. sources.SelectMany(s => Ways(s, MayConnectSum.IsMeasured(given)))]), wrong);
    }

    /// <summary>Direct volts are tried both ways round unless both ends were measured.</summary>
    public static IEnumerable<ForeignSource> Ways(ForeignSource source, bool measured)
    {
        ArgumentNullException.ThrowIfNull(source);
        return source.IsAlternating || measured ? [source] : [source with { Reversed = false }, source with { Reversed = true }];
    }

    /// <summary>The handbook's finding with what the trial says before it.</summary>
    public static Finding Answer(Given given, ConnectionTrial trial, IEnumerable<ForeignOutcome> outcomes)
    {
        ArgumentNullException.ThrowIfNull(trial);
        ArgumentNullException.ThrowIfNull(outcomes);
        var (sum, all) = (Sum.Answer(given), outcomes.ToList());
        var dangerous = trial.Sources.Any(s => s.IsDangerous);
        var no = sum.Says == MayConnectSum.No || dangerous || all.Exists(o => !o.Hurt.IsEmpty);
        var why = all.Select(o => $"{o.Source.Named} on {trial.Place.Words}, on paper: {o.Says}{(o.Margin is { } m ? " " + m : "")}").ToList();
        if (dangerous) why.Insert(0, "More volts than touch may bear: for those licensed for it, by the local code, and never on these terminals.");
        if (trial.Sources.IsEmpty) why.Add("It brings no volts that could be tried on paper: what it draws or lets through was not judged.");
        return sum with { Says = no ? MayConnectSum.No : sum.Says, Why = [.. why, .. sum.Why], Cautions = [.. sum.Cautions, .. ForeignTrial.Cautions.Where(_ => all.Count > 0)] };
    }

    private static Calculation Sum { get; } = Calculation.Of("may-connect")!;
    private static ForeignSource Of(string words) => ForeignSource.Usual.First(s => s.Words == words);
}
