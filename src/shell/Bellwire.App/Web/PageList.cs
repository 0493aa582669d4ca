using Bellwire.App.Desks;
using Bellwire.App.Pages.Benches;
using Bellwire.App.Pages.Circuits;
using Bellwire.App.Pages.Handbooks;
using Bellwire.App.Pages.Ears;
using Bellwire.App.Pages.Mending;
using Bellwire.App.Pages.Houses;
using Bellwire.App.Pages.Learning;
using Bellwire.App.Pages.Packing;
using Bellwire.App.Pages.Printed;
using Bellwire.App.Pages.Proving;
using Bellwire.App.Pages.Quotes;
using Bellwire.App.Pages.Sheets;
using Bellwire.App.Pages.Shelves;
using Bellwire.App.Pages.Stories;
using Bellwire.App.Pages.Tapes;
using Bellwire.App.Pages.Todays;
using Bellwire.App.Pages.Unpacking;

namespace Bellwire.App.Web;

internal static partial class PageMap
{
    internal const long LargestForm = 64L << 20;

    /// <summary>An hour of stereo at 48 kHz, 24 bit, is a gigabyte.</summary>
    internal const long LargestSound = 1L << 30;

    /// <summary>Every address, its page and the acts its forms may ask for.</summary>
    public static void Map(WebApplication app)
    {
        Page<Today>(app, "/");
        Page<NewStory>(app, "/story", StoryPosts.Opening);
        Page<Story>(app, "/job/{job}/story", StoryPosts.Acts);
        Page<Unpack>(app, "/job/{job}/unpack", UnpackPosts.Acts);
        Page<Bench>(app, "/job/{job}/bench", RailPosts.WithBench);
        Page<Grid>(app, "/job/{job}/grid", RoundPosts.Acts);
        Page<Ladder>(app, "/job/{job}/ladder", RoundPosts.Acts);
        Page<HookUp>(app, "/job/{job}/hookup", RoundPosts.Acts);
        Page<SoakPage>(app, "/job/{job}/soak", SoakPosts.Acts, LargestSound);
        Page<EarPage>(app, "/job/{job}/ear", EarPosts.Acts, LargestSound);
        Page<Tape>(app, "/job/{job}/tape", TapePosts.Acts);
        Page<Prove>(app, "/job/{job}/prove", ProvePosts.Acts);
        Page<Quote>(app, "/job/{job}/quote", QuotePosts.Acts);
        Page<Pack>(app, "/job/{job}/pack", PackPosts.Acts);
        Page<PaperList>(app, "/job/{job}/papers", PaperPosts.Owner);
        Page<PaperPage>(app, "/job/{job}/papers/{kind}", PaperPosts.Sending);
        Page<House>(app, "/job/{job}/house", HousePosts.Acts);
        Page<Scan>(app, "/job/{job}/scan", ScanPosts.Acts);
        Page<Grow>(app, "/job/{job}/grow", GrowPosts.Acts);
        Page<ShopPage>(app, "/shop", PaperPosts.Shop);
        Page<ShelfLabelPage>(app, "/shelf/labels");
        Page<Shelf>(app, "/shelf", ShelfCardPosts.Acts);
        Page<LearnedPage>(app, "/learned", LearnPosts.Acts);
        Page<DrawerPage>(app, "/shelf/parts", DrawerPosts.Acts);
        Page<Mend>(app, "/job/{job}/mend", MendPosts.Acts);
        Page<HandbookList>(app, "/handbook");
        Page<ByShapePage>(app, "/handbook/by-shape");
        Page<HandbookPage>(app, "/handbook/{id}");
        Page<SheetList>(app, "/sheets");
        Page<SheetPage>(app, "/sheets/{id}");
        Page<ReportPage>(app, "/sheets/{id}/report", ReportPosts.Acts);
        Page<CircuitPage>(app, "/sheets/{id}/circuit/{name}", CircuitPosts.Acts);
        // A scanned label, or words that name just one thing, go straight there.
        app.MapGet("/find", (string? find, Desk desk) => desk.Find(find ?? "") is [var only] ? Results.LocalRedirect(only.Address) : Results.LocalRedirect("/?find=" + Uri.EscapeDataString(find ?? "")));
        ThemeSwitch.Map(app);
        PhotoFile.Map(app);
        PaperFiles.Map(app);
        EarFiles.Map(app);
        CircuitPosts.MapPlots(app);
        app.MapFallback((HttpContext context) => Render<Pages.NotHere>(context, Typed.Nothing, StatusCodes.Status404NotFound));
    }
}
