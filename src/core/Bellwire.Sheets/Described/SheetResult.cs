using System.Collections.Immutable;

namespace Bellwire.Sheets;

/// <summary>What reading a sheet gives: the sheet, or every complaint at once (never both, never neither).</summary>
public sealed record SheetResult
{
    private SheetResult(TypeSheet? sheet, ImmutableArray<SheetComplaint> complaints)
    {
        Sheet = sheet;
        Complaints = complaints;
    }

    public TypeSheet? Sheet { get; }

    /// <summary>In order of line and column; empty exactly when there is a sheet.</summary>
    public ImmutableArray<SheetComplaint> Complaints { get; }

    [System.Diagnostics.CodeAnalysis.MemberNotNullWhen(true, nameof(Sheet))]
    public bool IsGood => Sheet is not null;

    internal static SheetResult Good(TypeSheet sheet) => new(sheet, []);
    internal static SheetResult Bad(IEnumerable<SheetComplaint> complaints) => new(null, [.. complaints]);

    /// <summary>The complaints as lines a terminal or page can show: <c>file:line:column: path: what</c>.</summary>
    public IEnumerable<string> Lines(string fileName) => Complaints.Select(c =>
        $"{fileName}:{c.Line}:{c.Column}: {(c.Path.Length > 0 ? c.Path + ": " : "")}{c.Message}{(c.Nearest is null ? "" : $" Did you mean '{c.Nearest}'?")}");
}
