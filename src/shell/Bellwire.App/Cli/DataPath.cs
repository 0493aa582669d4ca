using System.CommandLine;

namespace Bellwire.App.Cli;

/// <summary>Where the shop's one database file lies.</summary>
public static class DataPath
{
    /// <summary>The user's local data folder, or BELLWIRE_DATA.</summary>
    public static string Default =>
        Environment.GetEnvironmentVariable("BELLWIRE_DATA") is { Length: > 0 } set
            ? set
            : Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.Create), "bellwire", "shop.db");

    /// <summary>The option every command shares.</summary>
    public static Option<string> Option() => new("--data")
    {
        Description = "The shop's database file; made when it is not there.",
        DefaultValueFactory = _ => Default,
        HelpName = "path",
    };
}
