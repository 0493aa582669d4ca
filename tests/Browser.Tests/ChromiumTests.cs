namespace Browser.Tests;

public class ChromiumTests
{
    [Fact]
    public void A_Chromium_is_on_the_path() =>
        Assert.Contains((Environment.GetEnvironmentVariable("PATH") ?? "").Split(':'), d => File.Exists(Path.Combine(d, "chromium")));
}
