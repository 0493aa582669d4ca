using Bellwire.App.Ears;
using Bellwire.Signals;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Shell.Tests.App;

/// <summary>A soak watch lies beside the shop's file and is taken up again by the next run of the program.</summary>
public sealed class SoakKeepingTests : IDisposable
{
    private const int Rate = 8000;
    private static readonly DateTimeOffset Noon = new(2026, 3, 4, 12, 0, 0, TimeSpan.Zero);
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-soak-").FullName;
    private string Data => Path.Combine(folder, "shop.db");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private SoakBench Bench(params Entry[] tape) => SoakBench.Beside(Data, job => job == "j" ? tape : null);

    /// <summary>Five seconds of a tone, or of nothing.</summary>
    private static float[] Block(bool sounds) => [.. Enumerable.Range(0, 5 * Rate).Select(n => sounds ? 0.1f * (float)Math.Sin(2 * Math.PI * 440 * n / Rate) : 0f)];

    private static void Listen(Soak soak, int blocks, bool sounds)
    {
        for (var i = 0; i < blocks; i++) Assert.True(soak.Feed(soak.Next, Rate, Block(sounds)));
        soak.Keep();
    }

    [Fact]
    public void Progress_events_clips_and_trials_outlive_the_program()
    {
        var soak = Bench().New("j", "set", 60, Noon);
        Assert.True(SoakBench.Beside(Data, _ => []).Begin(soak));
        Listen(soak, 13, sounds: true);
        Listen(soak, 2, sounds: false);
        soak.Try(Noon.AddMinutes(14), false);
        var again = Bench().Of("j")!;
        Assert.Equal((soak.Next, 75.0, Noon, "set"), (again.Next, again.Listened, again.Begun, again.System));
        Assert.Equal(Noon.AddMinutes(29), again.Due);
        var silent = Assert.Single(again.All);
        Assert.Equal((WatchKind.FellSilent, 65.0, null, true), (silent.Event.Kind, silent.Event.At, silent.Event.Seconds, silent.HasClip));
        using (var clip = again.OpenClip(0)!) Assert.Equal(Rate, WavOpening.Of(clip).Reader!.Format.Rate);
        // The silence that was under way ends where it ends; a block sent once more, its answer lost in the kill, counts once.
        Assert.True(again.Feed(again.Next - 1, Rate, Block(true)));
        Listen(again, 2, sounds: true);
        Assert.Equal((10.0, 85.0), (again.Events[0].Seconds, again.Listened));
        Assert.Equal(again.Said(null), Bench().Of("j")!.Said(null));
        Assert.Equal("fell silent once; calls and chimes tried once, 1 not as they should", again.Said(null));
    }

    [Fact]
    public void What_ended_on_the_tape_or_was_never_begun_is_cleared_away()
    {
        var bench = Bench();
        var soak = bench.New("j", "set", 60, Noon);
        Assert.True(bench.Begin(soak));
        Assert.False(bench.Begin(bench.New("j", "set", 60, Noon)));
        var given = bench.New("j", null, 60, Noon); // fed and given up: its clips lie there, and no watch
        for (var n = 0; n < 15; n++) given.Feed(n, Rate, Block(n < 13));
        Assert.NotNull(given.OpenClip(0));
        given.OpenClip(0)!.Dispose();
        Assert.Equal(2, Directory.GetDirectories(Data + ".soaks").Length);
        Assert.NotNull(Bench().Of("j"));
        Assert.Single(Directory.GetDirectories(Data + ".soaks"));
        var end = new Entry(9, "e", Noon.AddHours(1), null, null, ["j"], [], new SoakEnded("j", "set", 1, 1, 0, "nothing happened"), "", "");
        Assert.Null(Bench(end).Of("j"));
        Assert.Empty(Directory.GetDirectories(Data + ".soaks"));
    }

    [Fact]
    public void What_the_machine_missed_is_told_apart_and_outlives_the_program()
    {
        var soak = Bench().New("j", "set", 60, Noon);
        Assert.True(Bench().Begin(soak));
        Listen(soak, 13, sounds: true);
        var late = Block(true);
        late.AsSpan(Rate, 2 * Rate).Clear();
        Assert.True(soak.Feed(soak.Next, Rate, late, [new(Rate, 2 * Rate, 2)]));
        soak.Keep();
        foreach (var one in new[] { soak, Bench().Of("j")! })
        {
            Assert.Empty(one.Events);
            Assert.Equal(68, one.Listened); // seventy seconds came, two of them silence of the machine's own making
            Assert.Equal(new WatchGap(66, 2), Assert.Single(one.Gaps));
            Assert.StartsWith("nothing happened; the PC missed 2 s of it, which says nothing of the set", one.Said(null), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_watch_kept_before_gaps_were_told_apart_is_taken_up()
    {
        var soak = Bench().New("j", "set", 60, Noon);
        Assert.True(Bench().Begin(soak));
        Listen(soak, 13, sounds: true);
        var kept = Path.Combine(Directory.GetDirectories(Data + ".soaks").Single(), "watch.json");
        var json = System.Text.Json.Nodes.JsonNode.Parse(File.ReadAllText(kept))!;
        Assert.True(json["watch"]!.AsObject().Remove("gaps") && json["watch"]!.AsObject().Remove("unheard"));
        File.WriteAllText(kept, json.ToJsonString());
        Assert.Equal((65.0, 0), (Bench().Of("j")!.Listened, Bench().Of("j")!.Gaps.Length));
    }

    [Fact]
    public void Who_is_forgotten_is_not_listened_to_any_longer()
    {
        Entry[] tape = [];
        var bench = SoakBench.Beside(Data, _ => tape);
        var soak = bench.New("j", "set", 60, Noon);
        bench.Begin(soak);
        Listen(soak, 13, sounds: true);
        Listen(soak, 2, sounds: false);
        Assert.True(soak.All[0].HasClip);
        Entry Forgot(string party, int hours) => new(9, "e", Noon.AddHours(hours), null, null, ["j"], [], new Forgotten(party), "", "");
        tape = [Forgot("owner:another", 1), Forgot("owner:j", -1)];
        bench.ClearOver();
        Assert.Same(soak, bench.Of("j"));
        tape = [Forgot("owner:j", 1)];
        bench.ClearOver();
        Assert.Empty(Directory.GetDirectories(Data + ".soaks"));
        // A block that was on its way, and a page still open, bring nothing back.
        Assert.False(soak.Feed(soak.Next, Rate, Block(true)));
        soak.Keep();
        Assert.Null(bench.Of("j"));
        Assert.Empty(Directory.GetDirectories(Data + ".soaks"));
    }

    [Fact]
    public void A_backup_carries_the_soaks_along_and_a_restored_shop_takes_them_up()
    {
        using (var shop = Shop.Open(Data, TimeProvider.System))
        {
            var soak = Bench().New("j", "set", 60, Noon);
            Assert.True(Bench().Begin(soak));
            Listen(soak, 13, sounds: true);
            Listen(soak, 2, sounds: false);
            var own = Directory.GetDirectories(Data + ".soaks").Single();
            File.WriteAllText(Path.Combine(own, "watch.json.new"), "{"); // one being written
            Archive.Backup(shop, Path.Combine(folder, "shop.zip"), TestContext.Current.CancellationToken);
        }
        var again = Path.Combine(folder, "again.db");
        Archive.Restore(Path.Combine(folder, "shop.zip"), again, TimeProvider.System);
        var taken = SoakBench.Beside(again, _ => []).Of("j")!;
        Assert.Equal((15, 75.0, Noon), (taken.Next, taken.Listened, taken.Begun));
        using (var clip = taken.OpenClip(0)!)
            Assert.Equal(20.0 * Rate, WavOpening.Of(clip).Reader!.ReadAll().Frames);
        Assert.Equal(2, Directory.GetFiles(Directory.GetDirectories(again + ".soaks").Single()).Length);
        // What lies there already is not written over.
        File.Delete(again);
        Assert.Contains(".soaks", Assert.Throws<StoreException>(() => Archive.Restore(Path.Combine(folder, "shop.zip"), again, TimeProvider.System)).Message);
    }

    [Theory]
    [InlineData("soaks/../../x/watch.json")]
    [InlineData("soaks/0123456789abcdef0123456789abcdef/other.txt")]
    public void A_backup_with_a_file_no_soak_has_is_refused_whole(string name)
    {
        var zip = Path.Combine(folder, "odd.zip");
        using (var shop = Shop.Open(Data, TimeProvider.System)) Archive.Backup(shop, zip, TestContext.Current.CancellationToken);
        using (var open = System.IO.Compression.ZipFile.Open(zip, System.IO.Compression.ZipArchiveMode.Update)) open.CreateEntry(name);
        Assert.Contains("odd file name", Assert.Throws<StoreException>(() => Archive.Restore(zip, Path.Combine(folder, "again.db"), TimeProvider.System)).Message);
        Assert.False(File.Exists(Path.Combine(folder, "again.db")));
    }

    [Theory]
    [InlineData("{")]
    [InlineData("null")]
    [InlineData("""{"format":7}""")]
    [InlineData("""{"format":1,"job":"j","tried":[],"next":-3}""")]
    [InlineData("""{"format":1,"job":"j","tried":[],"next":1,"rate":8000,"watch":{"seconds":5,"events":[],"minutes":[],"minute":[],"firstHum":[],"usual":[]}}""")]
    public void A_damaged_watch_is_left_as_it_is_and_stops_nothing(string json)
    {
        var bench = Bench();
        bench.Begin(bench.New("j", "set", 60, Noon));
        var kept = Path.Combine(Directory.GetDirectories(Data + ".soaks").Single(), "watch.json");
        File.WriteAllText(kept, json);
        Assert.Null(Bench().Of("j"));
        Assert.Equal(json, File.ReadAllText(kept));
    }
}
