using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Rules;

/// <summary>One word of a rule and where it stands.</summary>
internal readonly record struct Word(string Text, int Offset);

/// <summary>A rule cut into words, read one after the other.</summary>
internal sealed class Words(Scalar source)
{
    public const int Longest = 2_000;
    private readonly IReadOnlyList<Word> words = Cut(source.Value);
    private int next;

    public string Text => source.Value;
    public Word? Peek => next < words.Count ? words[next] : null;
    public bool AtEnd => next >= words.Count;

    public Word? Take() => next < words.Count ? words[next++] : null;

    public bool Accept(string word)
    {
        if (next >= words.Count || words[next].Text != word) return false;
        next++;
        return true;
    }

    public bool NextIs(string word, int ahead = 0) => next + ahead < words.Count && words[next + ahead].Text == word;
    public Word? Ahead(int n) => next + n < words.Count ? words[next + n] : null;

    public Mark Where(Word? word) => source.Inside(word?.Offset ?? source.Value.Length);

    private static List<Word> Cut(string text)
    {
        var words = new List<Word>();
        for (var i = 0; i < text.Length;)
        {
            if (char.IsWhiteSpace(text[i])) i++;
            else if (text[i] is '(' or ')' or ',' or ':' or '%') words.Add(new(text[i].ToString(), i++));
            else
            {
                var from = i;
                while (i < text.Length && !char.IsWhiteSpace(text[i]) && text[i] is not ('(' or ')' or ',' or ':' or '%')) i++;
                words.Add(new(text[from..i], from));
            }
        }

        return words;
    }
}
