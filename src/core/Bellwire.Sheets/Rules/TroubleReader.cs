using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Circuits;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Rules;

/// <summary>Reads what a circuit can have: <c>C1 dry to 14 %, 2 ohm when supply.reservoir dry</c>; <c>U1 at 80 % or U1 no-output when …</c>.
/// "and" joins faults put in together and binds tighter than "or", which parts what may be instead.</summary>
internal sealed class TroubleReader(Names names, Complaints complaints)
{
    private readonly ConditionReader conditions = new(names, complaints);
    private static readonly string[] Verbs =
        ["open", "shorted", "leaky", "dry", "at", "off", "weak", "contact", "through", "no-output", "common-open", "winding"];

    /// <summary>The trouble, or null after a complaint or when it can never be.</summary>
    public CircuitTrouble? Read(Scalar sentence, Netlist circuit, string path)
    {
        var words = new Words(sentence);
        var variants = ImmutableArray.CreateBuilder<ImmutableArray<Fault>>();
        do
        {
            var together = ImmutableArray.CreateBuilder<Fault>();
            do
            {
                if (ReadFault(words, circuit, path) is not { } fault) return null;
                together.Add(fault);
            }
            while (words.Accept("and"));
            variants.Add(together.ToImmutable());
        }
        while (words.Accept("or"));
        if (!words.NextIs("when")) return Complain(words, words.Peek, path, $"Expected 'when' after the fault, found {ConditionReader.Found(words.Peek)}.");
        var said = sentence.Value[..words.Peek!.Value.Offset].Trim();
        words.Take();
        var started = words.Peek;
        if (conditions.Read(words, path) is not { } when) return null;
        if (words.NextIs("(")) return Complain(words, words.Peek, path, "A trouble has no odds of its own: those of the sites it names count, and what it may be instead is as likely.");
        if (!words.AtEnd) return Complain(words, words.Peek, path, $"Expected the end of the sentence, 'and' or 'or', found {ConditionReader.Found(words.Peek)}.");
        if (variants.Count > 1 && Uneven(when) is { } uneven) return Complain(words, started, path, uneven);
        foreach (var faults in variants)
            try { circuit.Faulted(faults); }
            catch (ArgumentException e)
            {
                complaints.Add(sentence.At, path, e.Message.Split(" (Parameter")[0]);
                return null;
            }
        return ConditionReader.IsNever(when) ? null : new(said, when, variants.ToImmutable());
    }

    /// <summary>What a trouble may be instead is as likely as any other; where the sheet gives the sites' modes unlike odds, each has to be told by itself.</summary>
    private string? Uneven(Condition when)
    {
        var modes = when.Leaves().OfType<Condition.SiteIn>()
            .SelectMany(s => names.Site(s.Position, s.Site) is { } site ? site.Faults.Where(f => s.Modes.Contains(f.Id)).Select(f => (Words: $"{s.Position}.{s.Site} {f.Id}", Odds: f.Odds is { } p ? $"odds {N(p)}" : $"weight {N(f.Weight ?? 0)}")) : [])
            .Distinct().ToList();
        return modes.Select(m => m.Odds).Distinct().Count() < 2 ? null
            : $"What it may be is as likely one as the other, but the sheet gives {string.Join(", ", modes.Take(4).Select(m => $"{m.Words} {m.Odds}"))}{(modes.Count > 4 ? " …" : "")}. Write a trouble for each.";

        static string N(double v) => v.ToString("0.###", CultureInfo.InvariantCulture);
    }

    /// <summary>A condition standing alone, to its end.</summary>
    public Condition? Alone(Scalar sentence, string path)
    {
        var words = new Words(sentence);
        if (conditions.Read(words, path) is not { } c) return null;
        if (words.AtEnd) return c;
        complaints.Add(words.Where(words.Peek), path, $"Expected the end of the condition, found {ConditionReader.Found(words.Peek)}.");
        return null;
    }

    private Fault? ReadFault(Words words, Netlist circuit, string path)
    {
        var part = words.Take();
        if (part is not { } p || !circuit.Has(p.Text))
        {
            complaints.Add(words.Where(part), path, $"Unknown part {ConditionReader.Found(part)} of the circuit.", Nearest.To(part?.Text ?? "", circuit.Devices.Select(d => d.Name)));
            return null;
        }
        var verb = words.Take();
        var of = circuit[p.Text];
        switch (verb?.Text)
        {
            case "open": return of is Regulator ? new RegulatorOpen(p.Text) : new Open(p.Text, Pin(words, of));
            case "shorted": return Short(words, of, path);
            case "leaky": return Ohms(words, path) is { } leak ? new Leaky(p.Text, leak) : null;
            case "contact": return Ohms(words, path) is { } contact ? new ContactResistance(p.Text, contact, Pin(words, of)) : null;
            case "dry":
                var left = words.Accept("to") ? Percent(words, path) : 0.1;
                if (left is null) return null;
                var esr = words.Accept(",") ? Ohms(words, path) : 3;
                return esr is null ? null : new DriedOut(p.Text, left.Value, esr.Value);
            case "at":
                return Percent(words, path) is not { } share ? null : of is VoltageSource or CurrentSource ? new Fed(p.Text, share) : new Drifted(p.Text, share);
            case "off": return new Fed(p.Text, 0);
            case "weak": return words.Accept("to") ? Percent(words, path) is { } gain ? new LowGain(p.Text, gain) : null : new LowGain(p.Text);
            case "through": return new RegulatorThrough(p.Text);
            case "no-output": return new RegulatorNoOutput(p.Text);
            case "common-open": return new RegulatorCommonOpen(p.Text);
            case "winding":
                if (Number(words, path) is not { } number) return null;
                if (words.Accept("open")) return new WindingOpen(p.Text, (int)number - 1);
                if (words.Accept("shorted")) return Percent(words, path) is { } turns ? new ShortedTurns(p.Text, (int)number - 1, turns) : null;
                Complain(words, words.Peek, path, $"Expected 'open' or 'shorted' after the winding, found {ConditionReader.Found(words.Peek)}.");
                return null;
            default:
                complaints.Add(words.Where(verb), path, $"Unknown fault {ConditionReader.Found(verb)} of {p.Text}. Expected one of: {string.Join(", ", Verbs)}.", Nearest.To(verb?.Text ?? "", Verbs));
                return null;
        }
    }

    /// <summary>"shorted", or "shorted pin 3 to 5, 2 ohm" for parts with more pins than two.</summary>
    private Shorted? Short(Words words, Device of, string path)
    {
        if (!words.NextIs("pin")) return new(of.Name);
        var at = words.Peek;
        var from = Pin(words, of);
        if (!words.Accept("to") || Number(words, path) is not { } to || to != Math.Floor(to) || to < 1 || to > of.Nodes.Length || (int)to - 1 == from)
        {
            Complain(words, at, path, $"Expected two pins from 1 to {of.Nodes.Length}, such as 'shorted pin 1 to 2'.");
            return null;
        }
        if (!words.Accept(",")) return new(of.Name, from, (int)to - 1);
        return Ohms(words, path) is { } ohms ? new(of.Name, from, (int)to - 1, ohms) : null;
    }

    // "pin 2" counts from 1, as pins do; parts with two pins need none.
    private static int Pin(Words words, Device of)
    {
        if (!words.NextIs("pin") || words.Ahead(1) is not { } n || !int.TryParse(n.Text, NumberStyles.None, CultureInfo.InvariantCulture, out var pin) || pin < 1 || pin > of.Nodes.Length) return 0;
        words.Take();
        words.Take();
        return pin - 1;
    }

    private double? Percent(Words words, string path)
    {
        if (Number(words, path) is not { } value) return null;
        if (words.Accept("%")) return value / 100;
        Complain(words, words.Peek, path, $"Expected '%', found {ConditionReader.Found(words.Peek)}.");
        return null;
    }

    private double? Ohms(Words words, string path)
    {
        var word = words.Take();
        if (word is { } w && Engineering.Parse(w.Text, "Ω", "", out _) is { } ohms)
        {
            words.Accept("ohm");
            return ohms;
        }
        complaints.Add(words.Where(word), path, $"Expected ohms such as '100' or '4k7', found {ConditionReader.Found(word)}.");
        return null;
    }

    private double? Number(Words words, string path)
    {
        var word = words.Take();
        if (word is { } w && double.TryParse(w.Text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)) return value;
        complaints.Add(words.Where(word), path, $"Expected a number, found {ConditionReader.Found(word)}.");
        return null;
    }

    private CircuitTrouble? Complain(Words words, Word? at, string path, string message)
    {
        complaints.Add(words.Where(at), path, message);
        return null;
    }
}
