using Bellwire.Counsel;
using Microsoft.Extensions.Primitives;

namespace Bellwire.App.Web;

/// <summary>What was typed into a form, and what is wrong with it. A refused post renders its page again over this,
/// so nothing typed is lost and every complaint stands beside its field.</summary>
public sealed class Typed(IReadOnlyDictionary<string, StringValues> values)
{
    public static Typed Nothing => new(new Dictionary<string, StringValues>());

    /// <summary>Complaints by field name.</summary>
    public Dictionary<string, string> Wrong { get; } = [];

    /// <summary>A refusal that belongs to no single field.</summary>
    public string? Refusal { get; set; }
    public IReadOnlyList<string> RefusalDetails { get; set; } = [];

    /// <summary>True when a kept reason would carry the refused act.</summary>
    public bool MayOverride { get; set; }

    /// <summary>The safety gates in the way: a reason goes beside each that one can carry.</summary>
    public IReadOnlyList<GateBar> Gates { get; set; } = [];

    /// <summary>The form that was sent is on the page again.</summary>
    public bool Shown { get; set; }

    /// <summary>Name of the form that was sent (its hidden <c>form</c> field); complaints show only there.</summary>
    public string Form => this["form"];
    public bool Any => values.Count > 0;
    public bool Failed => Refusal is not null || Wrong.Count > 0;
    public string this[string name] => values.TryGetValue(name, out var v) ? v.ToString().Trim() : "";
    public bool Has(string name) => this[name].Length > 0;
    public string? Maybe(string name) => Has(name) ? this[name] : null;
    public IEnumerable<string> All(string name) => values.TryGetValue(name, out var v) ? v.OfType<string>() : [];

    /// <summary>Fields called <c>prefix…</c> that were filled in, by the rest of their name.</summary>
    public IEnumerable<(string Key, string Value)> Under(string prefix) =>
        values.Where(v => v.Key.StartsWith(prefix, StringComparison.Ordinal) && v.Value.ToString().Trim().Length > 0)
            .Select(v => (v.Key[prefix.Length..], v.Value.ToString().Trim()));
}
