using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Job J with every piece that travels, put together as S, under a feed, and read.</summary>
internal static class BenchedSet
{
    public static ShopWorld Of(TypeSheet sheet, string feed, IEnumerable<(string Point, double Value)> readings, double? line = null)
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("p"), sheet.Id, sheet.Hash, new(sheet.Era, sheet.Feed, 3, 2, [])));
        var set = ImmutableDictionary<string, string>.Empty;
        foreach (var p in sheet.Positions.Where(p => p.TravelsByPost && !p.House))
        {
            w.Must(new PieceRecorded("J-" + p.Id, p.Kind, p.Name, "owner:J", "J", Places.Bench, null, null));
            set = set.Add(p.Id, "J-" + p.Id);
        }
        w.Must(new SystemSetUp("S", "J", null, set));
        w.Must(new Powered("J", "S", feed, line));
        foreach (var (point, value) in readings)
            w.Must(new ReadingTaken("J", "S", point, sheet.Points.First(p => p.Id == point).Quantity, value, value.ToString(CultureInfo.InvariantCulture), ImmutableDictionary<string, string>.Empty, 1));
        return w;
    }

    /// <summary>A look in that set, with the throws the sheet gives it.</summary>
    public static Checked Saw(TypeSheet sheet, string check, string outcome) => new("J", "S", check, outcome, sheet.Checks.First(c => c.Id == check).Throws, ImmutableDictionary<string, string>.Empty, 1);

    public static Advice Advise(ShopWorld w, TypeSheet sheet) => Counsellor.Advise(w.State, "J", sheet, _ => null);

    /// <summary>The advice once these acts stand on the tape of that set.</summary>
    public static Advice After(TypeSheet sheet, Act[] acts)
    {
        var w = Of(sheet, "limited", []);
        foreach (var a in acts) w.Must(a);
        return Advise(w, sheet);
    }
}
