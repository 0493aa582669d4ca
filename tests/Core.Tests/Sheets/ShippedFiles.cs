using Bellwire.Sheets;

namespace Core.Tests.Sheets;

/// <summary>The shipped sheets as they lie in the tree.</summary>
public static class ShippedFiles
{
    public static string Folder { get; } = Find();

    public static TypeSheet Read(string id) =>
        SheetReader.Read(File.ReadAllText(Path.Combine(Folder, id + ".yaml")), id + ".yaml").Sheet ?? throw new InvalidOperationException($"{id} does not read.");

    private static string Find()
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return Path.Combine(at!.FullName, "sheets");
    }
}
