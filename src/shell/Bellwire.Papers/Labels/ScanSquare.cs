using System.Globalization;
using System.Text;
using QRCoder;

namespace Bellwire.Papers;

/// <summary>A code to scan, as one SVG path: a piece's name on its label, readable by the bench's scanner or a telephone.</summary>
/// <param name="Side">Modules along one side, the quiet zone of four included.</param>
/// <param name="Path">Path data in modules.</param>
public sealed record ScanSquare(int Side, string Path)
{
    /// <summary>QR code, error correction M (15 %), as ISO/IEC 18004 has it.</summary>
    /// <exception cref="ArgumentException">The text is empty or longer than a label's code may be (200 letters).</exception>
    public static ScanSquare Of(string text)
    {
        if (string.IsNullOrEmpty(text) || text.Length > 200) throw new ArgumentException($"A label's code holds 1 to 200 letters, not {text?.Length ?? 0}.", nameof(text));
        using var code = QRCodeGenerator.GenerateQrCode(text, QRCodeGenerator.ECCLevel.M);
        var matrix = code.ModuleMatrix;
        var path = new StringBuilder();
        for (var y = 0; y < matrix.Count; y++)
            for (var x = 0; x < matrix[y].Count; x++)
            {
                if (!matrix[y][x]) continue;
                var from = x;
                while (x + 1 < matrix[y].Count && matrix[y][x + 1]) x++;
                path.Append(CultureInfo.InvariantCulture, $"M{from} {y}h{x - from + 1}v1h-{x - from + 1}z");
            }
        return new(matrix.Count, path.ToString());
    }
}
