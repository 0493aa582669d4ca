using Bellwire.Counsel;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>A posed case reads, or says where it does not.</summary>
public class CaseFileTests
{
    [Fact]
    public void The_example_of_the_document_reads_and_is_weighed()
    {
        var text = File.ReadAllText(Path.Combine(ShippedFiles.Folder, "..", "docs", "case-file.md")).Split("```json")[1].Split("```")[0];
        var read = CaseFile.Read(text);
        Assert.Null(read.Complaint);
        var advice = Counsellor.Advise(read.State!, read.Job!, ShippedFiles.Read("corridor-nine"), _ => null);
        // A harsh hum and ripple far above its limit: the reservoir (common practice, no source).
        Assert.Contains("eservoir", advice.Suspects[0].Modes[0].Mode, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{\"job\": \"j\",\n  \"acts\": }", "line 2, byte 11")]
    [InlineData("{\"acts\": []}", "job:")]
    [InlineData("{\"job\": \"j\", \"acts\": []}", "job: the acts open no job “j”")]
    [InlineData("{\"job\": \"j\", \"acts\": [{\"kind\": \"smelled\", \"act\": {}}]}", "acts[0]: kind: “smelled”")]
    [InlineData("{\"job\": \"j\", \"acts\": [{\"kind\": \"unpowered\", \"act\": {\"job\": \"j\", \"system\": \"set\"}}]}", "acts[0]: There is no job j.")]
    public void A_wrong_file_says_where_and_what(string text, string expected)
    {
        var read = CaseFile.Read(text);
        Assert.Null(read.State);
        Assert.StartsWith(expected, read.Complaint, StringComparison.Ordinal);
    }
}
