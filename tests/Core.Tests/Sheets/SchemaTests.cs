using System.Text.Json;
using Bellwire.Sheets;

namespace Core.Tests.Sheets;

/// <summary>The JSON Schema for editors and the reader must agree on the keys at the top.</summary>
public class SchemaTests
{
    private static readonly JsonElement Schema = JsonDocument.Parse(File.ReadAllText(Path.Combine(ShippedFiles.Folder, "schema.json"))).RootElement;

    [Fact]
    public void The_schema_and_the_reader_know_the_same_keys()
    {
        var complaint = SheetReader.Read(SmallSheet.Text + "\nnonsense: 1\n", "x.yaml").Complaints.Single();
        var readers = complaint.Message[(complaint.Message.IndexOf("one of: ", StringComparison.Ordinal) + 8)..].TrimEnd('.').Split(", ").Order(StringComparer.Ordinal);
        Assert.Equal(readers, Schema.GetProperty("properties").EnumerateObject().Select(p => p.Name).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void What_the_schema_requires_the_reader_misses()
    {
        foreach (var key in Schema.GetProperty("required").EnumerateArray().Select(k => k.GetString()!))
        {
            var without = System.Text.RegularExpressions.Regex.Replace(SmallSheet.Text, $"(?m)^{key}:", "notes:");
            Assert.Contains(SheetReader.Read(without, "x.yaml").Complaints, c => c.Message == $"Missing key '{key}'.");
        }
    }
}
