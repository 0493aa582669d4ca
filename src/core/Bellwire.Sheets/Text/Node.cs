namespace Bellwire.Sheets.Text;

/// <summary>A place in the sheet's text, 1-based.</summary>
internal readonly record struct Mark(int Line, int Column);

/// <summary>The sheet's text as a tree that still knows where everything stood.</summary>
internal abstract class Node(Mark at)
{
    public Mark At { get; } = at;
    public abstract string What { get; }
}

/// <param name="at">Where the value begins.</param>
/// <param name="value">The text.</param>
/// <param name="quoted">Quoted text begins one column later than its node.</param>
/// <param name="oneLine">False for block text: columns inside it are then unknown.</param>
internal sealed class Scalar(Mark at, string value, bool quoted, bool oneLine) : Node(at)
{
    public string Value { get; } = value;
    public bool Quoted { get; } = quoted;
    public bool IsEmpty => !Quoted && (Value.Length == 0 || Value is "~" or "null");
    public override string What => IsEmpty ? "nothing" : $"'{Clip(Value)}'";

    public Mark Inside(int offset) => oneLine ? new(At.Line, At.Column + offset + (Quoted ? 1 : 0)) : At;
    public Scalar With(string value) => new(At, value, Quoted, oneLine);
    public static string Clip(string text) => text.Length <= 60 ? text : text[..57] + "...";
}

internal sealed class ListNode(Mark at, IReadOnlyList<Node> items) : Node(at)
{
    public IReadOnlyList<Node> Items { get; } = items;
    public override string What => "a list";
}

internal sealed class MapNode(Mark at, IReadOnlyList<(Scalar Key, Node Value)> entries) : Node(at)
{
    public IReadOnlyList<(Scalar Key, Node Value)> Entries { get; } = entries;
    public override string What => "a map";
    public Node? this[string key] => Entries.FirstOrDefault(e => e.Key.Value == key).Value;
}
