namespace Bellwire.Circuits;

/// <summary>Values are checked where a part is described; inside the engine they are trusted.</summary>
internal static class Ranged
{
    public static double Positive(double value, string what) => value > 0 && double.IsFinite(value) ? value
        : throw new ArgumentOutOfRangeException(what, value, $"{what} must be a finite number above 0.");

    public static double NotNegative(double value, string what) => value >= 0 && double.IsFinite(value) ? value
        : throw new ArgumentOutOfRangeException(what, value, $"{what} must be a finite number, 0 or more.");

    public static double Finite(double value, string what) => double.IsFinite(value) ? value
        : throw new ArgumentOutOfRangeException(what, value, $"{what} must be a finite number.");

    public static double Within(double value, double low, double high, string what) => value >= low && value <= high ? value
        : throw new ArgumentOutOfRangeException(what, value, $"{what} must lie between {low} and {high}.");
}
