using Bellwire.App.Desks;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Cli;

/// <summary>What a command was asked about: a job of a shop, or a case file. Circuits are reckoned before anything is weighed.</summary>
internal sealed class JobOrFile
{
    private JobOrFile(ShopState state, string job, TypeSheet sheet, Func<Personal, string?> text, Forecasts forecasts, bool explained, TimeSpan ahead, bool acrossBorder, CancellationToken stop)
    {
        var options = new AdviceOptions { Forecasts = forecasts };
        var weighed = Counsellor.Weigh(state, job, sheet, options, null, stop);
        Advice = Counsellor.Advise(state, job, sheet, text, options, weighed, stop) with { Afar = Afar.Of(state, job, sheet, weighed, acrossBorder) };
        if (ahead > TimeSpan.Zero)
        {
            using var enough = new CancellationTokenSource(ahead);
            var seen = Further.See(state, job, sheet, weighed, Advice, options, stop, enough.Token, Console.IsErrorRedirected ? null : (done, of) => Console.Error.Write($"\rLooking ahead: {done} of {of} steps"));
            PredictCommand.Telling.End();
            Advice = Advice with { Ahead = seen.Ahead, Stops = seen.Stops };
        }
        if (explained) Explanation = Explanation.Of(state, job, sheet, text, weighed, Advice, forecasts);
    }

    public Advice Advice { get; }

    /// <summary>Not null when it was asked for: the texts it quotes are read while the shop is open.</summary>
    public Explanation? Explanation { get; }

    /// <summary>False after one line on standard error; <paramref name="code"/> is then what to end with.</summary>
    /// <param name="ahead">How long to look further ahead at most; nothing: not at all.</param>
    public static bool Try(string name, string data, bool explained, TimeSpan ahead, CancellationToken stop, out JobOrFile? found, out int code)
    {
        (found, code) = (null, 0);
        var forecasts = new Forecasts();
        if (File.Exists(name))
        {
            var sheets = SheetFolder.Shipped();
            var read = CaseFile.Read(File.ReadAllText(name));
            if (read.Complaint is { } complaint) { code = Failing.Say($"{name}: {complaint}", 2); return false; }
            var named = read.State!.Jobs[read.Job!].SheetId;
            if (named is not null and not ("generic" or "unknown-set") && sheets.All.All(x => x.Id != named))
            {
                code = Failing.Say($"{name}: sheetId: there is no sheet {named}. There are {string.Join(", ", sheets.All.Select(x => x.Id))}.", 2);
                return false;
            }
            var sheet = sheets.For(read.State.Jobs[read.Job!]);
            Build(read.State, read.Job!, sheet, forecasts, stop);
            found = new(read.State, read.Job!, sheet, _ => "", forecasts, explained, ahead, false, stop);
            return true;
        }
        if (!File.Exists(data)) { code = Failing.Say($"there is no file {name}, and no shop at {data}", 1); return false; }
        using var desk = Desk.Open(data, TimeProvider.System);
        if (!desk.Knows(name)) { code = Failing.Say($"there is no file and no job {name}; jobs: {string.Join(", ", desk.State.Jobs.Keys.Order(StringComparer.Ordinal))}", 1); return false; }
        Build(desk.State, name, desk.SheetOf(name), forecasts, stop);
        found = new(desk.State, name, desk.SheetOf(name), desk.Text, forecasts, explained, ahead, desk.AcrossBorder(name), stop);
        return true;
    }

    private static void Build(ShopState state, string job, TypeSheet sheet, Forecasts forecasts, CancellationToken stop)
    {
        if (!Forecasts.Wanted(state, job, sheet)) return;
        forecasts.Build(sheet, PredictCommand.Telling.Of(), stop, LineVolts.Of(state, job, sheet).Needed);
        PredictCommand.Telling.End();
    }
}
