using Dapper;
using Microsoft.Data.Sqlite;

namespace Bellwire.Store;

/// <param name="Address">Where it is shown.</param>
/// <param name="Head">What is said of the hit; <paramref name="Text"/> what is searched, <paramref name="Where"/> where it stands.</param>
public sealed record SearchText(string Address, string Head, string Text, string Where);

/// <summary>Full-text search (SQLite FTS5) over what the shop has words for. Kept in memory only and built anew from the journal:
/// no file ever holds it, so what was erased leaves no byte in it. Thread-safe.</summary>
public sealed class SearchIndex : IDisposable
{
    private readonly Lock gate = new();
    private readonly SqliteConnection db = new("Data Source=:memory:");

    public SearchIndex()
    {
        db.Open();
        db.Execute("PRAGMA temp_store=MEMORY; PRAGMA secure_delete=ON; CREATE VIRTUAL TABLE found USING fts5(address UNINDEXED, head UNINDEXED, place UNINDEXED, text, tokenize = \"unicode61 remove_diacritics 2\", prefix = '2 3')");
    }

    /// <summary>Forgets everything and takes these.</summary>
    public void Fill(IEnumerable<SearchText> texts)
    {
        ArgumentNullException.ThrowIfNull(texts);
        lock (gate)
        {
            using var all = db.BeginTransaction();
            db.Execute("DELETE FROM found", transaction: all);
            foreach (var t in texts) db.Execute("INSERT INTO found(address, head, place, text) VALUES (@Address, @Head, @Where, @Text)", t, all);
            all.Commit();
            db.Execute("INSERT INTO found(found) VALUES ('optimize')");
        }
    }

    /// <summary>The best hits first; every word must be in it, each may be the beginning of one.</summary>
    /// <param name="wanted">What was typed: letters and digits count, all else parts words.</param>
    public IReadOnlyList<SearchText> Find(string wanted, int most = 40)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        var words = new string([.. wanted.Select(c => char.IsLetterOrDigit(c) ? c : ' ')]).Split(' ', StringSplitOptions.RemoveEmptyEntries);
        if (words.Length == 0) return [];
        var query = string.Join(" ", words.Take(20).Select(w => $"\"{w}\"*"));
        lock (gate)
            return [.. db.Query<Row>("SELECT address AS Address, head AS Head, text AS Text, place AS \"Where\" FROM found WHERE found MATCH @query ORDER BY rank LIMIT @most", new { query, most }).Select(r => new SearchText(r.Address, r.Head, r.Text, r.Where))];
    }

    /// <summary>Columns of a virtual table have no type of their own: plain settable texts take them.</summary>
    private sealed class Row
    {
        public string Address { get; set; } = "";
        public string Head { get; set; } = "";
        public string Text { get; set; } = "";
        public string Where { get; set; } = "";
    }

    public void Dispose()
    {
        lock (gate) db.Dispose();
    }
}
