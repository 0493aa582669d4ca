namespace Bellwire.Papers;

/// <summary>The sheet it is printed on.</summary>
public enum PaperSize { A4, Letter }

/// <summary>A picture's bytes as they go into a paper.</summary>
public sealed record PaperPicture(string MediaType, byte[] Bytes)
{
    public string DataUri => $"data:{MediaType};base64,{Convert.ToBase64String(Bytes)}";
}
