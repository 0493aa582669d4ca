using Bellwire.App.Desks;
using Bellwire.Sheets;

namespace Bellwire.App.Cli;

/// <summary>A type sheet by its file or, when there is no such file, by the name of a shipped one.</summary>
internal static class SheetNamed
{
    /// <summary>False after its complaints stand on standard error; <paramref name="code"/> is then what to end with.</summary>
    public static bool Try(string name, out TypeSheet? sheet, out int code)
    {
        (sheet, code) = (null, 2);
        if (File.Exists(name))
        {
            var read = SheetReader.Read(File.ReadAllText(name), Path.GetFileName(name));
            foreach (var line in read.Lines(name)) Console.Error.WriteLine(line);
            sheet = read.Sheet;
            return sheet is not null;
        }
        var shipped = SheetFolder.Shipped().All.ToList();
        sheet = shipped.FirstOrDefault(s => s.Id == name);
        if (sheet is null) code = Failing.Say($"there is no file {name} and no shipped sheet of that name; there are {string.Join(", ", shipped.Select(s => s.Id))}", 1);
        return sheet is not null;
    }
}
