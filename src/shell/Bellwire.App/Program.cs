using System.CommandLine;
using Bellwire.App.Cli;

var root = new RootCommand("Bellwire: a bench that thinks along. Start the pages with `serve`; every other command is for scripts.");
foreach (var command in CommandFiles.All()) root.Subcommands.Add(command);
return await root.Parse(args).InvokeAsync();
