namespace Bellwire.App.Desks;

/// <summary>One reckoning under way beside the pages, or ended.</summary>
public sealed class Beside<T> where T : class
{
    private readonly CancellationTokenSource stop = new();
    private readonly Task<T> work;
    private volatile int done, of;

    /// <param name="key">What it was reckoned from: asked again with another key, it is stale.</param>
    /// <param name="reckon">Tells (done, of at most) as it goes.</param>
    internal Beside(string key, Func<Action<int, int>, CancellationToken, T> reckon)
    {
        Key = key;
        work = Task.Run(() => reckon((d, o) => (done, of) = (Math.Max(done, d), o), stop.Token), stop.Token);
    }

    internal string Key { get; }
    internal Task Task => work;
    public int Done => done;

    /// <summary>Steps at most; 0 until the first is done.</summary>
    public int Of => of;
    public T? Result => work.IsCompletedSuccessfully ? work.Result : null;
    public bool Stopped => work.IsCanceled || work.IsFaulted || (stop.IsCancellationRequested && !work.IsCompletedSuccessfully);

    /// <summary>Why it broke off by itself; null when it did not, or was stopped: a work that is stopped may end in whatever it was doing.</summary>
    public string? Why => work.IsFaulted && !stop.IsCancellationRequested ? work.Exception!.GetBaseException().Message : null;
    public void Stop() => stop.Cancel();

    /// <summary>Waits a little for what may be done at once; how it ends is asked of it afterwards.</summary>
    internal void Wait(TimeSpan most) => Task.WaitAny([work], most);
}
