using System.Collections.Concurrent;
using Bellwire.Counsel;
using Bellwire.Sheets;

namespace Bellwire.App.Desks;

/// <summary>What a sheet cannot tell: reckoned beside the pages, when asked for, once for each text of the sheet.</summary>
public sealed partial class Desk
{
    private readonly ConcurrentDictionary<(string Hash, bool Pairs), Beside<SheetReport>> reports = new();

    /// <summary>The last reckoning for the sheet as it stands; null when there was none.</summary>
    public Beside<SheetReport>? ReportOf(TypeSheet sheet, bool pairs) => reports.GetValueOrDefault((sheet.Hash, pairs));

    /// <summary>Begins it; one that runs or is done is left as it is.</summary>
    public void ReportOn(TypeSheet sheet, bool pairs)
    {
        if (ReportOf(sheet, pairs) is { Stopped: false }) return;
        reports[(sheet.Hash, pairs)] = new(sheet.Hash, (tell, cancel) => SheetReport.Of(sheet, pairs, tell, cancel));
    }
}
