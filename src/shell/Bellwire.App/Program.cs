using System.CommandLine;
using Bellwire.App.Cli;

var root = new RootCommand("Bellwire: a bench that thinks along. Start the pages with `serve`; every other command is for scripts.");
foreach (var command in CommandFiles.All()) root.Subcommands.Add(command);
var parsed = root.Parse(args);
if (parsed.Errors.Count > 0 && !args.Intersect(["--help", "-h", "-?"]).Any())
    return Failing.Say($"{string.Join(" ", parsed.Errors.Select(e => e.Message).Distinct())} Try `bellwire {parsed.CommandResult.Command.Name} --help`.".Replace("bellwire bellwire", "bellwire"), 2);
return await parsed.InvokeAsync();
