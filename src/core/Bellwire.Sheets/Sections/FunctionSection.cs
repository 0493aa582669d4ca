using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>What a user can do with the set: the function grid, and the functions → pieces table.</summary>
internal static class FunctionSection
{
    /// <param name="Generated">No signal was named: its rules are made from the needs.</param>
    internal sealed record Draft(string Id, string Words, string Signal, bool Generated, IReadOnlyList<Scalar> Needs, string? Check, Scalar? SignalName, Fields Of);

    public static IReadOnlyList<Draft> Read(Fields root)
    {
        var drafts = new List<Draft>();
        foreach (var (id, f) in root.Entries("functions"))
        {
            var words = f.Text("words", required: true) ?? id;
            var signal = f.Name("signal");
            var needs = f.Names("needs");
            if (signal is null && needs.Count == 0) f.Missing("needs");
            drafts.Add(new(id, words, signal?.Value ?? $"fn-{id}", signal is null, needs, f.Text("check"), signal, f));
        }

        return drafts;
    }
}
