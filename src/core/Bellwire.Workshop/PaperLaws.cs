namespace Bellwire.Workshop;

/// <summary>What may be said of the shop, its papers and the owner's house.</summary>
public static partial class Law
{
    private static Verdict.Refused? OfPapers(ShopState s, Act act) => act switch
    {
        ShopDetailSet a => ShopDetails.Complaint(a.Item, a.Value) is { } wrong ? No(wrong) : null,
        OwnerDetail a => Job(s, a.Job) ?? (ShopDetails.OwnerItems.Contains(a.Item) ? null : No($"Item: “{a.Item}” is not one of {string.Join(", ", ShopDetails.OwnerItems)}.")),
        PaperSent a => Job(s, a.Job) ?? (a.Sum < 0 ? No($"Sum: {a.Sum} is below nothing.") : a.Head < 0 ? No($"Head: {a.Head} is below nothing.") : null),
        RunDescribed a => Job(s, a.Job) ?? Run(a.Run) ?? (a.Gauge is < 10 or > 30 ? No($"Gauge: {a.Gauge} is outside 10 to 30.") : Within(a.Metres, "Metres", 0.1, 2000)),
        TerminalMarked a => Job(s, a.Job) ?? (string.IsNullOrWhiteSpace(a.Terminal) ? No("Say which terminal it is.") : null) ?? Within(a.X, "X", 0, 1) ?? Within(a.Y, "Y", 0, 1),
        LoopRead a => Job(s, a.Job) ?? Run(a.Run) ?? (a.FarEnd is "open" or "joined" or "station" ? null : No($"FarEnd: “{a.FarEnd}” is not one of open, joined, station."))
            ?? (a.Ohms >= 0 ? null : No($"Ohms: {a.Ohms} is below nothing.")) ?? Within(a.Celsius, "Celsius", -40, 80),
        GroupTried a => Job(s, a.Job) ?? (a.Lifted.IsDefault ? No("Name the runs that were lifted, or none.") : null),
        RefitTried a => Job(s, a.Job) ?? (a.Outcome is "well" or "badly" or "left out" ? null : No($"Outcome: “{a.Outcome}” is not one of well, badly, left out.")),
        SheetGrown a => a.Job is null ? null : Job(s, a.Job),
        _ => null,
    };

    private static Verdict.Refused? Run(string run) => string.IsNullOrWhiteSpace(run) || run.Length > 120 ? No("A run needs a name of at most 120 letters.") : null;

    private static Verdict.Refused? Within(double? value, string field, double low, double high) =>
        value is { } v && !(v >= low && v <= high) ? No(FormattableString.Invariant($"{field}: {v} is outside {low} to {high}.")) : null;
}
