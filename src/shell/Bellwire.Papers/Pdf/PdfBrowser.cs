using System.Diagnostics;

namespace Bellwire.Papers;

/// <summary>Prints HTML to PDF with a browser of this machine. There is no other way to PDF here, and it says so.</summary>
public static class PdfBrowser
{
    private static readonly string[] Names = ["chromium", "chromium-browser", "chromium-headless-shell", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge", "msedge"];

    public const string HowToGet = "No browser of the Chromium family was found, so no PDF can be written. Install one, or name it in BELLWIRE_BROWSER; or save --html and print that from any browser.";

    /// <summary>The browser's path, or null: BELLWIRE_BROWSER first, then the search path.</summary>
    public static string? Find(string? named, string? searchPath)
    {
        if (named is { Length: > 0 }) return File.Exists(named) ? named : null;
        return (from folder in (searchPath ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries)
                from name in Names
                from file in new[] { Path.Combine(folder, name), Path.Combine(folder, name + ".exe") }
                where File.Exists(file)
                select file).FirstOrDefault();
    }

    public static string? Find() => Find(Environment.GetEnvironmentVariable("BELLWIRE_BROWSER"), Environment.GetEnvironmentVariable("PATH"));

    /// <summary>Writes the PDF.</summary>
    /// <exception cref="IOException">The browser failed or took over a minute; the message holds its last words.</exception>
    public static async Task Print(string browser, string html, string pdf, CancellationToken cancel = default)
    {
        var folder = Directory.CreateTempSubdirectory("bellwire-paper-").FullName;
        try
        {
            var page = Path.Combine(folder, "paper.html");
            await File.WriteAllTextAsync(page, html, cancel);
            var made = Path.Combine(folder, "paper.pdf");
            var start = new ProcessStartInfo(browser) { RedirectStandardError = true, RedirectStandardOutput = true };
            string[] arguments = ["--headless", "--disable-gpu", "--no-first-run", "--disable-quic", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-extensions",
                "--user-data-dir=" + Path.Combine(folder, "profile"), "--no-pdf-header-footer", "--print-to-pdf=" + made, new Uri(page).AbsoluteUri];
            foreach (var argument in arguments) start.ArgumentList.Add(argument);
            // A browser run by root refuses its own sandbox; the page it prints is our own text with no script in it.
            if (Environment.UserName == "root") start.ArgumentList.Insert(0, "--no-sandbox");
            using var process = Process.Start(start) ?? throw new IOException($"{browser} could not be started.");
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancel);
            limit.CancelAfter(TimeSpan.FromMinutes(1));
            var words = process.StandardError.ReadToEndAsync(limit.Token);
            _ = process.StandardOutput.ReadToEndAsync(limit.Token);
            try { await process.WaitForExitAsync(limit.Token); }
            catch (OperationCanceledException)
            {
                process.Kill(entireProcessTree: true);
                if (cancel.IsCancellationRequested) throw;
                throw new IOException($"{browser} took over a minute and was stopped; no PDF was written.");
            }
            if (!File.Exists(made)) throw new IOException($"{browser} wrote no PDF: {(await words).Split('\n', StringSplitOptions.RemoveEmptyEntries).LastOrDefault() ?? "it said nothing"}");
            File.Move(made, pdf, overwrite: true);
        }
        finally
        {
            try { Directory.Delete(folder, recursive: true); }
            catch (IOException) { } // a process of the browser may still be closing its profile; the system clears its own temporary folder
        }
    }
}
