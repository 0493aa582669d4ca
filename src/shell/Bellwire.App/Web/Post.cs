using System.Collections.Immutable;
using System.Globalization;
using Bellwire.App.Desks;
using Bellwire.Workshop;

namespace Bellwire.App.Web;

/// <summary>One form, sent: reads its fields, gathers complaints, records acts. Each record is durable when the call returns.</summary>
internal sealed class Post(HttpContext context, Desk desk, Typed typed, IFormFileCollection files)
{
    private readonly string fallback = Guid.NewGuid().ToString("N");
    private int recorded;
    private int number;
    private long? lastNumber;

    public Desk Desk => desk;
    public Typed Typed => typed;
    public IServiceProvider Services => context.RequestServices;
    public IFormFileCollection Files => files;
    public CancellationToken Stop => context.RequestAborted;
    /// <summary>Tells the page that waits for this post how far it has come.</summary>
    public Reckonings.Telling Reckoning() => context.RequestServices.GetRequiredService<Reckonings>().Begin(typed.Has("id") ? typed["id"] : fallback);
    public string Job => context.Request.RouteValues["job"]?.ToString() ?? "";
    public string Route(string name) => context.Request.RouteValues[name]?.ToString() ?? "";
    public string Here => context.Request.Path + context.Request.QueryString;
    public string this[string name] => typed[name];

    /// <summary>A kept reason for going against a refusal, or null.</summary>
    public string? Override => typed.Maybe("override");

    /// <summary>A name for a new thing: short enough for a label, unlikely to meet another.</summary>
    public static string NewName(string prefix) => prefix + string.Create(5, 0, (letters, _) =>
    {
        const string Plain = "abcdefghjkmnpqrstuvwxyz23456789";
        for (var i = 0; i < letters.Length; i++) letters[i] = Plain[Random.Shared.Next(Plain.Length)];
    });

    public void Complain(string field, string words) => typed.Wrong.TryAdd(field, words);

    public string Need(string field, string words)
    {
        if (!typed.Has(field)) Complain(field, words);
        return typed[field];
    }

    public double? Number(string field, double low, double high, string what)
    {
        if (!typed.Has(field)) return null;
        if (double.TryParse(typed[field].Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && value >= low && value <= high) return value;
        Complain(field, $"{what} is a number from {low:0.###} to {high:0.###}; “{typed[field]}” is not.");
        return null;
    }

    public int? Whole(string field, int low, int high, string what)
    {
        var value = Number(field, low, high, what);
        if (value is null || value == Math.Floor(value.Value)) return (int?)value;
        Complain(field, $"{what} is counted in whole ones.");
        return null;
    }

    /// <summary>Nothing further happens while a complaint stands.</summary>
    public void StopIfWrong()
    {
        if (typed.Failed) throw new StopPost();
    }

    /// <summary>Records one act; a refusal becomes the form's own and stops the post.</summary>
    public long Record(Act act, params ReadOnlySpan<(Personal Ref, string Text)> texts) => RecordAll([act], texts);

    /// <summary>Records acts that are one deed: all of them, or none.</summary>
    public long RecordAll(IReadOnlyList<Act> deed, params ReadOnlySpan<(Personal Ref, string Text)> texts)
    {
        var done = Done();
        StopIfWrong();
        if (deed.Count == 0) return lastNumber ?? 0;
        var form = typed.Has("id") ? typed["id"] : fallback;
        var result = desk.Record([.. deed.Select(act => ($"{form}-{number++}", act))], After(), done, [.. texts.ToArray().Select(t => KeyValuePair.Create(t.Ref.Ref, t.Text))],
            [.. typed.Under("override-").Select(o => new GateOverride(o.Key, o.Value))]);
        if (result.Refused is { } refused)
        {
            typed.Refusal = recorded == 0 ? refused.Why : $"{refused.Why} ({recorded} earlier part{(recorded == 1 ? "" : "s")} of this form did go onto the tape.)";
            typed.RefusalDetails = [.. refused.Details];
            typed.MayOverride = refused.Overridable && result.Gates.IsEmpty;
            typed.Gates = result.Gates;
            throw new StopPost();
        }
        recorded += deed.Count;
        lastNumber = result.Number;
        return result.Number;
    }

    /// <summary>The id the next recorded act will have, for another act of the same deed that names it.</summary>
    public string NextId => $"{(typed.Has("id") ? typed["id"] : fallback)}-{number}";

    /// <summary>Free words as an erasable text, or null when nothing was typed.</summary>
    public (Personal Ref, string Text)? Words(string field) =>
        typed.Maybe(field) is { } text ? (new Personal($"{(typed.Has("id") ? typed["id"] : Guid.NewGuid().ToString("N"))}-{field}"), text) : null;

    /// <summary>"It happened before that": the entry this one belongs after; several acts of one late form keep their order.</summary>
    private long? After() => lastNumber is not null && typed.Has("after") ? lastNumber : long.TryParse(typed["after"], NumberStyles.None, CultureInfo.InvariantCulture, out var after) ? after : null;

    /// <summary>Clocks of two benches may differ by that much.</summary>
    private static readonly TimeSpan Ahead = TimeSpan.FromMinutes(5);

    /// <summary>"Done at": a moment that was; null when nothing was typed.</summary>
    private DateTimeOffset? Done()
    {
        if (!typed.Has("done")) return null;
        if (!DateTime.TryParseExact(typed["done"], ["yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss"], CultureInfo.InvariantCulture, DateTimeStyles.None, out var said))
        {
            Complain("done", $"“{typed["done"]}” is not a time such as 2026-11-25T09:30.");
            return null;
        }
        var done = new DateTimeOffset(said, TimeZoneInfo.Local.GetUtcOffset(said));
        if (done > desk.Now + Ahead) Complain("done", $"{said:yyyy-MM-dd HH:mm} is yet to come. Type when it was done, or leave it empty if it has just been.");
        return done;
    }

    public static ImmutableDictionary<string, string> Map(IEnumerable<(string, string)> pairs) => pairs.ToImmutableDictionary(p => p.Item1, p => p.Item2);
}
