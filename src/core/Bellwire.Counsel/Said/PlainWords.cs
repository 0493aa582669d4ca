using System.Globalization;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Entries of quote, word and shelf as sentences.</summary>
internal static class PlainWords
{
    public static string Of(ShopState state, PlainAct act, Func<string, string> piece, Func<string?, string> over) => act switch
    {
        TermsSet a => string.Create(CultureInfo.InvariantCulture, $"Terms: freight here {a.FreightIn} and home {a.FreightOut} {a.Currency}, insured for {a.InsuredValue}, tax {a.TaxPercent} %"),
        WayChosen a => $"{(state.Pieces.ContainsKey(a.What) ? piece(a.What) : a.What)}: {WayWord(a.Way)}{(a.With is null ? "" : $" with {piece(a.With)}")}",
        QuoteGiven a => string.Create(CultureInfo.InvariantCulture, $"Quote given: {a.Flat} {a.Currency} flat{(a.Extras.IsDefaultOrEmpty ? "" : $", {a.Extras.Length} named extra{(a.Extras.Length == 1 ? "" : "s")}")}, ceiling {a.Ceiling}"),
        WordTied a => $"That word was about {(a.Quote is null ? "" : "the quote")}{(a.Extras.IsDefaultOrEmpty ? "" : $" with {a.Extras.Length} of its extras")}{(a.Pieces.IsDefaultOrEmpty ? "" : $"{(a.Quote is null ? "" : ", ")}{string.Join(", ", a.Pieces.Select(piece))}")}",
        Exchanged a => string.Create(CultureInfo.InvariantCulture, $"{piece(a.Piece)} stays, {a.Price} {a.Currency}{(a.Serial is null ? "" : $", serial {a.Serial}")}{(a.Core is null ? "" : $"; {piece(a.Core)} is {FateWord(a.CoreFate)}{(a.CoreSerial is null ? "" : $", serial {a.CoreSerial}")}")}{over(a.OverrideReason)}"),
        TrustHandedOn a => string.Create(CultureInfo.InvariantCulture, $"{piece(a.Piece)}: {Quantities.Words.Band(a.After)} that it is good ({(a.How == "marginal" ? "a marginal of this work" : a.How)}), before {Quantities.Words.Band(a.Before)}"),
        OriginNoted a => $"{piece(a.Piece)}: {a.Origin}{(a.Donor is null ? "" : $", out of {state.Donors.GetValueOrDefault(a.Donor)?.Name ?? a.Donor}")}",
        RevisionNoted a => $"{piece(a.Piece)}: revision {a.Revision}{(a.Fits.IsDefaultOrEmpty ? "" : $", also takes the place of {string.Join(", ", a.Fits)}")}",
        Reserved a => a.For is null ? $"{piece(a.Piece)} is free again" : $"{piece(a.Piece)} reserved for this job{(a.Why is null ? "" : $": {a.Why}")}",
        DonorKept a => $"{a.Name} kept as a donor at {a.Place}",
        TakenOut a => $"{piece(a.Piece)} taken out of {state.Donors.GetValueOrDefault(a.Donor)?.Name ?? a.Donor}",
        OddsAdopted a => $"New sets of {a.SheetId} go by odds learned from {(a.Closings.Length == 1 ? "1 closed job" : $"{a.Closings.Length} closed jobs")}",
        SoakEnded a => string.Create(CultureInfo.InvariantCulture, $"Soak ended after {a.Hours:0.#} hours, {a.Listened:0.#} of them listened to: {a.Said}"),
        ComesAndGoes a => string.Create(CultureInfo.InvariantCulture, $"It comes and goes: at home it showed {(a.Times == 1 ? "once" : $"{a.Times} times")} in {a.Weeks:0.#} weeks of {a.HoursAWeek:0.#} hours"),
        SoundKept a => $"{(a.ByOwner ? "A recording of the owner’s" : "A recording")}: {a.Said}",
        ComebackOf a => $"This set was here before, as job {a.Earlier}",
        Freighted a => $"The carton {(a.Way == "here" ? "to the shop" : "home")} {(a.Stage == "sent" ? "is on its way" : "has arrived")}",
        _ => ActKinds.NameOf(act),
    };

    public static string WayWord(string way) => way switch
    {
        Ways.Mend => "mend it",
        Ways.Replace => "replace it from the shelf",
        Ways.CoreKept => "exchange it, the shop keeps the core",
        Ways.CoreReturned => "exchange it, the core goes back",
        Ways.Decline => "leave it as it is",
        _ => way,
    };

    public static string FateWord(string fate) => fate switch { "kept" => "kept by the shop", "returned" => "returned to the owner", _ => "scrapped" };
}
