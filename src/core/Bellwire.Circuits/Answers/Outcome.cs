using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>An answer, or the reason why there is none; exactly one of the two is there.</summary>
public sealed class Outcome<T> where T : class
{
    private Outcome(T? value, NotConverged? failure) => (Value, Failure) = (value, failure);

    public T? Value { get; }
    public NotConverged? Failure { get; }

    /// <summary>The answer, where the caller knows that there must be one.</summary>
    /// <exception cref="InvalidOperationException">There is none; the message is <see cref="Failure"/> in words.</exception>
    public T Required => Value ?? throw new InvalidOperationException(Failure!.Words);

    public static implicit operator Outcome<T>(T value) => new(value, null);
    public static implicit operator Outcome<T>(NotConverged failure) => new(null, failure);
}

/// <summary>No solution was found.</summary>
/// <param name="Node">The node (or inner quantity, <c>T1#core</c>) that would not settle.</param>
/// <param name="ResidualAmperes">By how much Kirchhoff's law is missed at the last attempt, A.</param>
/// <param name="Aids">What was tried, in order.</param>
/// <param name="AtSeconds">When, for analyses in time.</param>
public sealed record NotConverged(string Node, double ResidualAmperes, ImmutableArray<string> Aids, double? AtSeconds = null)
{
    public string Words => $"No solution was found: node {Node} would not settle{(AtSeconds is { } t ? FormattableString.Invariant($" at {t * 1e3:0.###} ms") : "")} (tried: {string.Join(", ", Aids)}).";
}

/// <summary>How an answer was got.</summary>
/// <param name="Method">The last method used: <c>Newton</c>, <c>gmin stepping</c>, <c>source stepping</c>, <c>shooting</c> …</param>
/// <param name="Iterations">Newton iterations in all.</param>
/// <param name="Residual">What is left: A of Kirchhoff's law for an operating point, relative mismatch of the period for a steady state.</param>
/// <param name="Tried">The methods tried, in order.</param>
public sealed record HowGot(string Method, int Iterations, double Residual, ImmutableArray<string> Tried);
