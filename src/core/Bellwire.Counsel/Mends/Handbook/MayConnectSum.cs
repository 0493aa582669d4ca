using System.Collections.Immutable;

namespace Bellwire.Counsel.Mends;

/// <summary>May this be connected? Answers "no" or "not known"; never "yes": these terminals were not measured by whoever asks.
/// Trade figures on chimes, door units and strikes: general, see reference/mends; the rule itself: a design rule of safety.</summary>
public sealed class MayConnectSum : Calculation
{
    private static readonly ChoiceAsk What = new("what", "What is to be connected", ("video", "a video door unit"), ("wireless", "a wireless or smart doorbell"), ("chime", "an ordinary chime with its transformer"), ("transformer", "another transformer"), ("strike", "a door strike or lock"), ("station", "a station of another make or family"), ("sister", "a station of the same family"), ("speaker", "a bare speaker"), ("source", "a music source"), ("telephone", "a telephone line"), ("antenna", "an antenna"));
    private static readonly ChoiceAsk Where = new("where", "To which terminals", ("door", "door station"), ("room", "room station"), ("button", "bell button"), ("supply", "the set’s transformer"), ("aux", "aux or phono input"), ("antenna", "antenna"), ("unknown", "not known which"));
    private static readonly ChoiceAsk Powered = new("powered", "Does it bring volts of its own?", ("unknown", "not known"), ("yes", "yes"), ("no", "no"));
    private static readonly ChoiceAsk Measured = new("read", "Were the terminals measured in this set?", ("no", "no"), ("yes", "yes, by me, now"));

    /// <summary>Where a circuit is known: it is tried on paper there. The sum alone does not need it.</summary>
    public static TextAsk Terminal { get; } = new("terminal", "The terminal, as a sheet names it") { Hint = "Sheet and terminal, such as corridor-nine/door-1: then it is tried on paper." };
    public static TextAsk Volts { get; } = new("volts", "Its own volts") { Hint = "Such as 24 V AC 2 ohm or 12 V DC; empty: what is usual for it." };

    public override string Id => "may-connect";
    public override string Title => "May this be connected?";
    public override string About => "Answers “no” or “not known”. It never answers yes.";
    public override ImmutableArray<Ask> Asks { get; } = [What, Where, Powered, Measured, Terminal, Volts];

    /// <summary>What it is: the value of the first field.</summary>
    internal static string Thing(Given given) => given[What];

    /// <summary>Null while nobody knows whether it brings volts of its own.</summary>
    internal static bool? BringsVolts(Given given) => given[Powered] switch { "yes" => true, "no" => false, _ => null };
    internal static bool IsMeasured(Given given) => given[Measured] == "yes";

    internal const string No = "No.";
    private const string OwnWay = "own wires, own transformer, own chime";

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (what, where, powered) = (given[What], given[Where], given[Powered]);
        tally.Mind("A foreign supply on a door or room terminal takes the door input, the chime input, the amplifier and the fuse, often all four.");
        if (what == "strike") tally.Mind("Letting people out is local law. An AC strike never sees DC: its coil burns.");
        if (Against(what, where, powered) is { } why) return tally.Why(why).Why($"The way that harms nothing: {OwnWay}.").NoAdvice(No);
        tally.Why(given[Measured] == "yes" ? "What you read tells what flows there now, with this set in this state. Compare it with the paper of the thing itself, both volts and common, before anything is joined." : "Nobody has measured these terminals in this set: names on terminals are no proof.");
        if (what == "sister") tally.Why("Same family is not same wiring: revisions and call schemes differ. Compare the sheets, then try one room.");
        if (what == "speaker") tally.Why("Impedance first: see “Speaker load”.");
        return tally.NoAdvice($"Not known – {OwnWay}.");
    }

    private static string? Against(string what, string where, string powered) => (what, where) switch
    {
        ("telephone", _) => "A telephone line rings with some ninety volts and is earthed elsewhere.",
        ("transformer", "supply") => powered == "no" ? null : "Two transformers on one input fight, and the second stays live when the first breaker is off.",
        ("transformer" or "video" or "wireless" or "chime", "door" or "room" or "button" or "unknown") => "It works with 8 to 24 V AC of its own; these terminals carry millivolts of speech or a logic line.",
        ("strike", _) => "A strike draws half an ampere and throws its coil’s kick back: neither the set’s supply nor its wires are made for it.",
        ("video" or "wireless" or "chime", "supply") => "The set’s transformer has nothing to spare, and sharing it puts hum into the speech.",
        ("source", not "aux") => "A source belongs on an input made for it.",
        ("antenna", not "antenna") => "An antenna belongs on the antenna terminals.",
        (_, "antenna") when what != "antenna" => "Antenna terminals bear millivolts.",
        (_, "aux") when what != "source" => "An input for music bears a volt or two and no current.",
        (_, "supply") => "Only the set’s own transformer belongs there.",
        _ when powered == "yes" => "It brings volts of its own, and these terminals bring theirs.",
        _ => null,
    };
}
