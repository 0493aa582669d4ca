using System.Text.Json;
using System.Text.Json.Serialization;
using Bellwire.Counsel.Ears;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>What was played while it was recorded, where something was.</summary>
/// <param name="PinkRmsDbfs">RMS level of pink noise, dBFS, and <paramref name="PinkSeed"/> the seed it was made of.</param>
public sealed record Played(SweepAsked Sweep, double PinkRmsDbfs, int PinkSeed = 1)
{
    /// <summary>Tones one after another, Hz, each so many seconds long at this peak; null where none were.</summary>
    public (IReadOnlyList<double> Hertz, double SecondsEach, double PeakDbfs)? Steps { get; init; }
}

/// <summary>What is said of one recording: the general part of every channel, and what was asked for in particular.</summary>
public sealed record EarReport(Hearing Heard, Hearing? SetOff, string? As)
{
    private const double LongestPink = 30;

    public IReadOnlyList<HumVerdict?> Verdicts { get; private init; } = [];
    public Distortion? Distortion { get; private init; }
    public Response? Response { get; private init; }
    public Chime? Chime { get; private init; }
    public Separation? Separation { get; private init; }
    public Balance? Balance { get; private init; }
    public IReadOnlyList<Howl> Howls { get; private init; } = [];
    public MotorBoating? MotorBoating { get; private init; }
    public QuasiPeak? QuasiPeak { get; private init; }
    /// <summary>Counted from 1: the channel that tone, response, chime and noise listen to.</summary>
    public int Channel { get; private init; } = 1;
    /// <summary>What full scale is in volts, where it is known.</summary>
    public Calibration? Calibration { get; init; }
    /// <summary>Why what was asked for could not be measured.</summary>
    public string? Complaint { get; private init; }

    /// <summary>The kind of listening a measure needs.</summary>
    public static string? KindOf(string measure) => measure switch
    {
        "hum" or "hum-level" => "hum", "tone" or "distortion" or "crosstalk" => "tone", "note" or "interval" => "chime", "response" => "response", "noise" => "noise", "balance" => "balance", _ => null,
    };

    /// <summary>What a finding is made of.</summary>
    public Listened Listened => new(Heard.Channels[Channel - 1], SetOff?.Channels[Channel - 1], Verdicts[Channel - 1])
        { Tone = Distortion, Apart = Separation, Balance = Balance, Response = Response, Chime = Chime, Complaint = Complaint };

    /// <param name="kind">hum, tone, response, pink, steps, chime, noise, balance, or null for the general part alone.</param>
    /// <param name="channel">1 to the recording's channels: what tone, response, chime and noise listen to.</param>
    public static EarReport Of(Hearing heard, Hearing? setOff, string? kind, Played played, int channel = 1)
    {
        if (channel < 1 || channel > heard.Channels.Count) throw new ArgumentOutOfRangeException(nameof(channel), channel, $"The recording has {heard.Channels.Count} channels.");
        var verdicts = heard.Channels.Select((c, i) => c.Hum is { } hum ? HumVerdict.Of(hum, setOff?.Channels[i].Hum) : null).ToList();
        var report = new EarReport(heard, setOff, kind) { Verdicts = verdicts, Channel = channel };
        var own = channel - 1;
        switch (kind)
        {
            case "hum" when verdicts.All(v => v is null): return report with { Complaint = "less than a second was heard; record ten for hum" };
            case "tone":
                var (distortion, noTone) = DistortionMeter.Measure(heard.Start[own], heard.Format.Rate);
                var apart = distortion is not null && heard.Start.Channels.Length == 2 ? Separation.Measure(heard.Start[own], heard.Start[1 - own], heard.Format.Rate, distortion.Fundamental.Hertz).Result : null;
                return report with { Distortion = distortion, Separation = apart, Complaint = distortion is null ? noTone : null };
            case "pink":
                var noise = TestSignals.Pink(heard.Format.Rate, Math.Min(heard.Start.Seconds, LongestPink), played.PinkRmsDbfs, played.PinkSeed);
                var (thirds, noPink) = ResponseMeter.ByPink(heard.Start[own], noise[0], heard.Format.Rate);
                return report with { Response = thirds, Complaint = thirds is null ? noPink : null };
            case "steps" when played.Steps is { } given && given.Hertz.FirstOrDefault(f => f >= heard.Format.Rate / 2.0) is > 0 and var high:
                return report with { Complaint = FormattableString.Invariant($"a tone of {high} Hz cannot stand in a recording of {heard.Format.Rate} Hz") };
            case "steps":
                var (tones, noSteps) = played.Steps is { } s ? ResponseMeter.BySteps(heard.Start[own], heard.Format.Rate, s.Hertz, s.SecondsEach, s.PeakDbfs) : (null, "no tones were played");
                return report with { Response = tones, Complaint = tones is null ? noSteps : null };
            case "response":
                var sweep = played.Sweep;
                if (!(sweep.HighHertz < heard.Format.Rate / 2.0 && sweep.LowHertz > 0 && sweep.LowHertz < sweep.HighHertz && sweep.Seconds > 0 && sweep.PeakDbfs <= 0))
                    return report with { Complaint = FormattableString.Invariant($"a sweep from {sweep.LowHertz} to {sweep.HighHertz} Hz in {sweep.Seconds} s cannot stand in a recording of {heard.Format.Rate} Hz") };
                var (response, noSweep) = ResponseMeter.BySweep(heard.Start[own], heard.Format.Rate, sweep);
                return report with { Response = response, Complaint = response is null ? noSweep : null };
            case "chime":
                var (chime, noChime) = ChimeMeter.Measure(heard.Start[own], heard.Format.Rate);
                return report with { Chime = chime, Complaint = chime is null ? noChime : null };
            case "balance":
                if (heard.Start.Channels.Length != 2) return report with { Complaint = "balance takes two channels, both with the same sound" };
                var (balance, unlike) = Balance.Measure(heard.Start[own], heard.Start[1 - own], heard.Format.Rate);
                return report with { Balance = balance, Complaint = balance is null ? unlike : null };
            case "noise":
                return report with { Howls = OscillationMeter.Howls(heard.Start[own], heard.Format.Rate).Howls, MotorBoating = OscillationMeter.Pulses(heard.Start[own], heard.Format.Rate), QuasiPeak = QuasiPeak.Measure(heard.Start[own], heard.Format.Rate) };
            default: return report;
        }
    }

    public IEnumerable<string> Words() => EarWords.Of(this);

    /// <summary>The report as JSON; what has no number (silence in decibels) is null.</summary>
    /// <param name="held">What it was held against, each as an object of its own.</param>
    public string Json(string file, IReadOnlyList<object>? held = null) => JsonSerializer.Serialize(new
    {
        file,
        format = Heard.Format,
        seconds = Heard.Seconds,
        remarks = Heard.Remarks,
        fullScaleVolts = Calibration?.VoltsAtFullScale,
        channels = Heard.Channels.Select((c, i) => new { c.Level, volts = Calibration?.Volts(c.Level.AcRms), dbu = Calibration?.Dbu(c.Level.AcRms), dbv = Calibration?.Dbv(c.Level.AcRms), c.Noise, c.Hum, humVerdict = Verdicts[i], c.Troubles, thirdOctaves = ThirdOctaves(c.Spectrum) }),
        distortion = Distortion,
        separation = Separation,
        balance = Balance is { } b ? new { b.Db, b.WorstHertz, b.WorstDb, bands = b.Bands.Select(x => new { hertz = x.Hertz, db = x.Db }), b.How } : null,
        response = Response,
        chime = Chime,
        howls = Howls,
        motorBoating = MotorBoating,
        quasiPeak = QuasiPeak,
        held = held ?? [],
    }, Output);

    private static IEnumerable<object> ThirdOctaves(PowerSpectrum? s)
    {
        if (s is null) yield break;
        for (var n = -17; n <= 13; n++)
        {
            var (centre, edge) = (1000 * Math.Pow(10, n / 10.0), Math.Pow(10, 0.05));
            if (centre * edge < s.Rate / 2.0) yield return new { hertz = centre, dbfs = Decibels.OfPower(s.Band(centre / edge, centre * edge)) };
        }
    }

    private static readonly JsonSerializerOptions Output = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase), new FiniteOnly() },
    };

    private sealed class FiniteOnly : JsonConverter<double>
    {
        public override double Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options) => reader.TokenType == JsonTokenType.Null ? double.NaN : reader.GetDouble();
        public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options)
        {
            if (double.IsFinite(value)) writer.WriteNumberValue(value);
            else writer.WriteNullValue();
        }
    }
}
