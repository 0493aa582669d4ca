using System.CommandLine;
using System.Reflection;

namespace Bellwire.App.Cli;

/// <summary>One command = one file: a static class in this folder named <c>…Command</c> with <c>public static Command Build()</c>.
/// Nothing is registered anywhere else.</summary>
internal static class CommandFiles
{
    public static IEnumerable<Command> All() =>
        from type in typeof(CommandFiles).Assembly.GetTypes()
        where type.Namespace == typeof(CommandFiles).Namespace && type.Name.EndsWith("Command", StringComparison.Ordinal)
        let build = type.GetMethod("Build", BindingFlags.Public | BindingFlags.Static, [])
        where build is not null
        orderby type.Name
        select (Command)build.Invoke(null, null)!;
}
