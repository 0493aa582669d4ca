namespace Bellwire.Sheets.Text;

/// <summary>Gathers everything that is wrong, so that all of it is told at once.</summary>
internal sealed class Complaints
{
    public const int Most = 200;
    private readonly List<SheetComplaint> list = [];
    private readonly HashSet<(int, int, string)> seen = [];

    public int Count => list.Count;

    public void Add(Mark at, string path, string message, string? nearest = null)
    {
        if (list.Count > Most || !seen.Add((at.Line, at.Column, message))) return;
        list.Add(list.Count < Most
            ? new SheetComplaint(at.Line, at.Column, path, message, nearest)
            : new SheetComplaint(at.Line, at.Column, "", $"More than {Most} complaints; the rest is left out.", null));
    }

    public IEnumerable<SheetComplaint> InOrder => list.OrderBy(c => c.Line).ThenBy(c => c.Column);
}
