using Bellwire.App.Ears;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Signals;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Recordings kept with a job.</summary>
public sealed partial class Desk
{
    /// <summary>Keeps a recording; of one too long to keep whole, its start: two minutes of one channel, one of two.</summary>
    public async Task<string> KeepSound(string file, Hearing heard, CancellationToken stop)
    {
        if (new FileInfo(file).Length <= Attachments.Largest)
        {
            await using var whole = File.OpenRead(file);
            return await shop.Files.Keep(whole, stop);
        }
        using var start = new MemoryStream();
        WavWriter.Write(start, heard.Start, WavKind.Pcm16);
        start.Position = 0;
        return await shop.Files.Keep(start, stop);
    }

    /// <summary>Checks of the sheet that a recording made by the owner's telephone can answer.</summary>
    public IReadOnlyList<CheckSpec> TelephoneChecks(string job) => [.. SheetOf(job).Checks.Where(c => c.Ear is { } ear && (c.How == "ask" || c.Owner) && !EarMeasures.OfLevel.Contains(ear))];

    /// <summary>Recordings on a job's tape, oldest first.</summary>
    public IEnumerable<SoundKept> SoundsOf(string job) => State.TapeOf(job).Select(e => e.Act).OfType<SoundKept>();

    /// <summary>A recording of this job, or null when its tape names none of that hash or it is no longer held.</summary>
    public Stream? Sound(string job, string hash) => Knows(job) && SoundsOf(job).Any(s => s.ContentHash == hash) ? shop.Files.Open(hash) : null;

    /// <summary>The job whose owner an entry forgot, or null when it is another kind of entry.</summary>
    public string? ForgottenBy(long number) => shop.Entries.LastOrDefault(e => e.Number == number) is { Act: Forgotten, Jobs: [var job, ..] } ? job : null;

    /// <summary>Keeps a short recording whole.</summary>
    public Task<string> KeepSound(Stream wav, CancellationToken stop) => shop.Files.Keep(wav, stop);

    /// <summary>Why no lead may run from this set to a computer, or null.</summary>
    public string? LeadBar(string job) => new GateKeeper(State, job, SheetOf(job), Now).Lead(SystemOf(job)?.Id ?? "")?.Words;
}
