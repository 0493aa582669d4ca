using System.Collections.Immutable;

namespace Bellwire.Counsel.Mends;

/// <summary>One calculation of the handbook. One kind = one file: a class in this assembly with a constructor without parameters;
/// nothing is registered elsewhere.</summary>
public abstract class Calculation
{
    /// <summary>Its word in an address.</summary>
    public abstract string Id { get; }
    public abstract string Title { get; }
    /// <summary>One sentence: what it answers.</summary>
    public abstract string About { get; }
    public abstract ImmutableArray<Ask> Asks { get; }

    /// <summary>Pure: the same values always get the same finding.</summary>
    /// <exception cref="ArgumentException">Something required was not given; reading from texts complains before.</exception>
    public abstract Finding Answer(Given given);

    public (Given Given, ImmutableDictionary<string, string> Wrong) Read(Func<string, string?> typed) => Given.Read(Asks, typed);

    private protected Tally Weigh(Given given) => new(given ?? throw new ArgumentNullException(nameof(given)), Asks);

    /// <summary>Every calculation there is, the rules for parts among them, by title.</summary>
    public static ImmutableArray<Calculation> All { get; } =
    [
        .. typeof(Calculation).Assembly.GetTypes()
            .Where(t => !t.IsAbstract && typeof(Calculation).IsAssignableFrom(t))
            .Select(t => (Calculation)Activator.CreateInstance(t)!)
            .OrderBy(c => c.Title, StringComparer.Ordinal),
    ];

    public static Calculation? Of(string id) => All.FirstOrDefault(c => c.Id == id);
}

/// <summary>A calculation that judges a part one would fit in place of another.</summary>
public abstract class MendRule : Calculation
{
    public IEnumerable<Ask> NewPart => Asks.Where(a => a.OfNewPart);

    public static IEnumerable<MendRule> Rules => All.OfType<MendRule>();
}
