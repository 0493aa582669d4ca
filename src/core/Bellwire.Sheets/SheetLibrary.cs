using System.Collections.Immutable;
using Bellwire.Sheets.Generic;

namespace Bellwire.Sheets;

/// <summary>The type sheets at hand, by id. The block model ("unknown-set", also "generic") is cut to the outline asked for.</summary>
public sealed class SheetLibrary
{
    private readonly ImmutableSortedDictionary<string, TypeSheet> sheets;

    private SheetLibrary(ImmutableSortedDictionary<string, TypeSheet> sheets, ImmutableDictionary<string, ImmutableArray<SheetComplaint>> refused)
    {
        this.sheets = sheets;
        Refused = refused;
    }

    /// <summary>File name → complaints, for texts that could not be read or whose id was taken before.</summary>
    public ImmutableDictionary<string, ImmutableArray<SheetComplaint>> Refused { get; }

    /// <summary>Ids in order, without the block model.</summary>
    public IEnumerable<string> Ids => sheets.Keys;

    public IEnumerable<TypeSheet> All => sheets.Values;

    /// <summary>A library of the shipped families and the texts handed in; where ids are equal, the one handed in stands.</summary>
    public static SheetLibrary Of(params IEnumerable<(string FileName, string Text)> texts)
    {
        var own = Read(texts);
        return new(Shipped.Value.sheets.SetItems(own.sheets), own.Refused);
    }

    /// <summary>The sheet of that id, or null; <paramref name="outline"/> matters to the block model only.</summary>
    public TypeSheet? Find(string? id, Outline outline)
    {
        ArgumentNullException.ThrowIfNull(outline);
        return id is null or GenericSheet.Id or GenericSheet.Alias ? GenericSheet.For(outline) : sheets.GetValueOrDefault(id);
    }

    /// <summary>The nearest id to a misspelt one, or null.</summary>
    public string? NearestId(string id) => Text.Nearest.To(id, sheets.Keys.Append(GenericSheet.Id));

    private static readonly Lazy<SheetLibrary> Shipped = new(() => Read(ShippedSheets.Texts.Where(t => t.FileName != ShippedSheets.GenericFile)));

    private static SheetLibrary Read(IEnumerable<(string FileName, string Text)> texts)
    {
        var good = ImmutableSortedDictionary.CreateBuilder<string, TypeSheet>(StringComparer.Ordinal);
        var refused = ImmutableDictionary.CreateBuilder<string, ImmutableArray<SheetComplaint>>();
        foreach (var (name, text) in texts)
        {
            var result = SheetReader.Read(text, name);
            if (!result.IsGood) refused[name] = result.Complaints;
            else if (result.Sheet.Id is GenericSheet.Id or GenericSheet.Alias || !good.TryAdd(result.Sheet.Id, result.Sheet))
                refused[name] = [new(1, 1, "id", $"The id '{result.Sheet.Id}' is taken by another sheet.", null)];
        }

        return new(good.ToImmutable(), refused.ToImmutable());
    }
}
