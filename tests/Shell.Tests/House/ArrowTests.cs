using System.Xml.Linq;

namespace Shell.Tests;

/// <summary>The arrows between projects, as drawn in docs/tour.md: nobody references what the plan does not allow.</summary>
public class ArrowTests
{
    private static readonly Dictionary<string, string[]> Allowed = new()
    {
        ["Bellwire.Quantities"] = [],
        ["Bellwire.Reasoning"] = ["Quantities"],
        ["Bellwire.Circuits"] = ["Quantities"],
        ["Bellwire.Signals"] = ["Quantities"],
        ["Bellwire.Sheets"] = ["Quantities", "Reasoning", "Circuits", "Signals"],
        ["Bellwire.Workshop"] = ["Quantities"],
        ["Bellwire.Counsel"] = ["Quantities", "Workshop", "Sheets", "Reasoning", "Circuits", "Signals"],
        ["Bellwire.Store"] = ["Quantities", "Counsel", "Workshop"],
        ["Bellwire.Papers"] = ["Quantities", "Counsel", "Workshop"],
    };

    public static string Root { get; } = FindRoot();

    [Fact]
    public void Every_reference_follows_the_arrows()
    {
        var broken =
            from file in Directory.EnumerateFiles(Path.Combine(Root, "src"), "*.csproj", SearchOption.AllDirectories)
            let name = Path.GetFileNameWithoutExtension(file)
            where Allowed.ContainsKey(name)
            from reference in XDocument.Load(file).Descendants("ProjectReference")
            let to = Path.GetFileNameWithoutExtension(reference.Attribute("Include")!.Value).Replace("Bellwire.", "")
            where !Allowed[name].Contains(to)
            select $"{name} -> {to}";
        Assert.Empty(broken);
    }

    private static string FindRoot()
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return at?.FullName ?? throw new InvalidOperationException("Bellwire.slnx was not found above the test binaries.");
    }
}
