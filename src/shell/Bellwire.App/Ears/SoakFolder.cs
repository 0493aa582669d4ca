using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>A call and a chime tried by hand while the set soaks.</summary>
public sealed record Trial(DateTimeOffset At, bool Good);

/// <summary>All that a soak is taken up again from. Its clips lie beside it as <c>clip-0.wav</c> and on.</summary>
/// <param name="Rate">Samples a second of the blocks; 0 before the first.</param>
/// <param name="Next">Number of the next block wanted.</param>
/// <param name="Watch">Where the watch stands; null before the first block.</param>
internal sealed record SoakMemory(int Format, string Job, string? System, double LineHertz, DateTimeOffset Begun, int Rate, int Next, int Clips, ImmutableArray<Trial> Tried, WatcherMemory? Watch);

/// <summary>One soak's own folder beside the shop's file: written whole and synced before it stands in place of the last, so that a kill
/// at any time leaves either.</summary>
internal sealed class SoakFolder(string path)
{
    private const int Format = 1;
    private const string Memory = "watch.json";
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals, // silence is −∞ dB
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase) },
    };

    public string Path => path;

    public void Keep(SoakMemory memory)
    {
        Write(Memory, JsonSerializer.SerializeToUtf8Bytes(memory with { Format = Format }, Options));
    }

    public void KeepClip(int number, byte[] wav) => Write(Clip(number), wav);

    public Stream? OpenClip(int number) => File.Exists(At(Clip(number))) ? File.OpenRead(At(Clip(number))) : null;

    public void Erase()
    {
        if (Directory.Exists(path)) Directory.Delete(path, recursive: true);
    }

    /// <summary>What was kept; null when nothing whole was, with the reason.</summary>
    public (SoakMemory? Memory, string Why) Recall()
    {
        if (!File.Exists(At(Memory))) return (null, "it was never begun");
        try
        {
            var memory = JsonSerializer.Deserialize<SoakMemory>(File.ReadAllBytes(At(Memory)), Options);
            if (memory is null || memory.Format != Format) return (null, $"{Memory} is of format {memory?.Format}; this program reads {Format}");
            if (memory.Tried.IsDefault || memory.Next < 0 || (memory.Watch is not null && memory.Rate is < 8_000 or > 192_000)) return (null, $"{Memory} says what cannot be");
            return memory.Watch?.Complaint is { } wrong ? (null, $"{Memory}: {wrong}") : (memory, "");
        }
        catch (JsonException e) { return (null, $"{Memory}, line {e.LineNumber + 1}: {e.Message}"); }
    }

    private static string Clip(int number) => FormattableString.Invariant($"clip-{number}.wav");
    private string At(string name) => global::System.IO.Path.Combine(path, name);

    private void Write(string name, byte[] bytes)
    {
        Directory.CreateDirectory(path);
        using (var file = new FileStream(At(name + ".new"), FileMode.Create, FileAccess.Write, FileShare.None))
        {
            file.Write(bytes);
            file.Flush(flushToDisk: true);
        }
        File.Move(At(name + ".new"), At(name), overwrite: true);
    }
}
