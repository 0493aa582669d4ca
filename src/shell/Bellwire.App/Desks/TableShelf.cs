using Bellwire.Circuits;
using Bellwire.Store;

namespace Bellwire.App.Desks;

/// <summary>The circuits' shelf, in a folder beside the shop's file.</summary>
internal sealed class TableShelf(TableFolder folder) : ITableShelf
{
    public byte[]? Take(string name) => folder.Take(name);
    public void Lay(string name, byte[] bytes) => folder.Lay(name, bytes);
}
