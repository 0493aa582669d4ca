using Bellwire.Store;

namespace Bellwire.App.Cli;

/// <summary>Exit codes: 0 fine, 1 refused or not found, 2 bad input; one clear line on standard error.</summary>
internal static class Failing
{
    public static int Say(string words, int code)
    {
        Console.Error.WriteLine("bellwire: " + words.ReplaceLineEndings(" "));
        return code;
    }

    public static async Task<int> Plainly(Func<Task<int>> act)
    {
        try { return await act(); }
        catch (StoreException e) { return Say(e.Message, e.BadInput ? 2 : 1); }
        catch (FileNotFoundException e) { return Say($"there is no {e.FileName}", 1); }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or InvalidDataException) { return Say(e.Message, 1); }
    }

    public static Task<int> Plainly(Func<int> act) => Plainly(() => Task.FromResult(act()));
}
