namespace Bellwire.Circuits;

/// <summary>Corners rounded, so that Newton's method has a slope to follow.</summary>
internal static class Smooth
{
    /// <summary>max(0, x), rounded over a width: (x + √(x² + w²))/2.</summary>
    public static double Above(double x, double width, out double slope)
    {
        var root = Math.Sqrt(x * x + width * width);
        slope = 0.5 * (1 + x / root);
        return 0.5 * (x + root);
    }

    /// <summary>min(a, b), rounded over a width; slope by a, and 1 − slope by b.</summary>
    public static double Lower(double a, double b, double width, out double slopeA)
    {
        var value = b - Above(b - a, width, out var s);
        slopeA = s;
        return value;
    }
}
