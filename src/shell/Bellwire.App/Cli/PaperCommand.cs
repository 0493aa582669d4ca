using System.CommandLine;
using Bellwire.App.Desks;
using Bellwire.Counsel.Papers;
using Bellwire.Papers;

namespace Bellwire.App.Cli;

/// <summary><c>paper</c>: one paper as HTML, Markdown or PDF.</summary>
internal static class PaperCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var job = new Argument<string>("job") { Description = "A job of the shop, or “shelf” for shelf labels." };
        var kind = new Argument<string>("kind") { Description = $"Which paper: {string.Join(", ", PaperKinds.All.Select(k => k.Id))}; for the shelf: labels." };
        var pdf = new Option<bool>("--pdf") { Description = "Print it to PDF with a browser of this machine." };
        var html = new Option<bool>("--html") { Description = "One HTML file that needs nothing beside itself (the default)." };
        var md = new Option<bool>("--md") { Description = "Markdown." };
        var letter = new Option<bool>("--letter") { Description = "For Letter paper instead of A4." };
        var to = new Option<string?>("--to") { Description = "The file to write; must not exist. Left out: standard output, or JOB-KIND.pdf.", HelpName = "file" };
        var command = new Command("paper", "Write one paper of a job, from its tape.") { job, kind, pdf, html, md, letter, to, data };
        command.Validators.Add(r => { if (new[] { pdf, html, md }.Count(r.GetValue) > 1) r.AddError("Choose one of --pdf, --html and --md."); });
        command.SetAction((parsed, stop) => Failing.Plainly(async () =>
        {
            if (!File.Exists(parsed.GetValue(data))) return Failing.Say($"there is no shop at {parsed.GetValue(data)}", 1);
            using var desk = Desk.Open(parsed.GetValue(data)!, TimeProvider.System);
            var (of, which) = (parsed.GetValue(job)!, parsed.GetValue(kind)!);
            var shelf = of == "shelf" && !desk.Knows(of);
            if (!shelf && !desk.Knows(of)) return Failing.Say($"there is no job {of}; there are {string.Join(", ", desk.State.Jobs.Keys.Order(StringComparer.Ordinal))}", 1);
            if (shelf && which != "labels") return Failing.Say($"the shelf has labels, and no paper called {which}", 2);
            if ((shelf ? ShelfLabels.Compose(desk.State, null) : desk.PaperOf(of, which)) is not { } paper)
                return Failing.Say($"there is no paper called {which}; there are {string.Join(", ", PaperKinds.All.Select(k => k.Id))}", 2);
            var size = parsed.GetValue(letter) ? PaperSize.Letter : PaperSize.A4;
            var target = parsed.GetValue(to) ?? (parsed.GetValue(pdf) ? $"{of}-{which}.pdf" : null);
            if (target is not null && File.Exists(target)) return Failing.Say($"{target} exists. Choose another name with --to; nothing was written.", 1);
            if (parsed.GetValue(pdf))
            {
                if (PdfBrowser.Find() is not { } browser) return Failing.Say(PdfBrowser.HowToGet, 1);
                Console.Error.WriteLine("Printing; Ctrl+C stops it.");
                await PdfBrowser.Print(browser, desk.HtmlOf(paper, size), target!, stop);
            }
            else
            {
                var text = parsed.GetValue(md) ? MarkdownPaper.Of(paper) : desk.HtmlOf(paper, size);
                if (target is null) { Console.WriteLine(text); return 0; }
                await File.WriteAllTextAsync(target, text, stop);
            }
            Console.WriteLine($"{paper.Title} written to {target}");
            return 0;
        }));
        return command;
    }
}
