using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What the points of a circuit would read if this were how it stands.</summary>
/// <param name="State">The engine's name of it.</param>
/// <param name="Band">Its probability in words.</param>
public sealed record ForetoldState(string State, string Words, double Probability, string Band, ImmutableArray<ExpectedReading> Readings);

/// <summary>A circuit before the probe touches it.</summary>
/// <param name="Now">What is expected by all that is on the tape.</param>
/// <param name="States">The leading states, likeliest first.</param>
/// <param name="Holds">False when the set stands under a feed for which this circuit says nothing.</param>
/// <param name="Otherwise">P(a state the circuit says nothing of).</param>
public sealed record Foretold(string Circuit, string Words, ImmutableArray<ExpectedReading> Now, ImmutableArray<ForetoldState> States, bool Holds, double Otherwise)
{
    /// <summary>The line it was reckoned for; null: the sheet's.</summary>
    public AtLine? Line { get; init; }
}

/// <summary>Expected values, shown before a reading is typed.</summary>
public static class Foretelling
{
    /// <summary>Each circuit of the sheet that was forecast; none while the tape contradicts itself.</summary>
    /// <param name="most">Leading states at most.</param>
    public static ImmutableArray<Foretold> Of(ShopState state, string job, TypeSheet sheet, Forecasts forecasts, Weighed weighed, int most = 5)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(forecasts);
        ArgumentNullException.ThrowIfNull(weighed);
        if (weighed.Weighing.Posterior is null) return [];
        var positive = Ground.IsPositive(state, job);
        var feed = weighed.Built.Setting.Circumstances.GetValueOrDefault("feed", "off");
        var lines = LineVolts.Of(state, job, sheet);
        return [.. from circuit in sheet.Circuits
                   let line = lines.Now(circuit)
                   let forecast = forecasts.Of(sheet, circuit, line)
                   where forecast is not null
                   select Of(sheet, circuit, forecast, weighed, positive, feed, most) with { Line = line }];
    }

    private static Foretold Of(TypeSheet sheet, CircuitSpec circuit, CircuitForecast forecast, Weighed weighed, bool positive, string feed, int most)
    {
        var setting = weighed.Built.Setting;
        setting = setting with { Circumstances = setting.Circumstances.SetItem("feed", circuit.Feeds.Contains(feed) ? feed : circuit.Feeds[0]) };
        var states = forecast.Target.States;
        var move = new Move("circuit", weighed.Built.System, [], false, setting, forecast.Target,
            states.ToImmutableDictionary(s => s, s => ImmutableDictionary<string, double>.Empty.Add(s, 1)));
        var p = weighed.Weighing.Recheck([move], weighed.Weighing.Try([move]))[0].Outcomes;
        return new(circuit.Id, circuit.Words, [.. forecast.Mixed(p).Select(Shown)],
            [.. p.Where(x => x.Key != Target.OfTroubles.Outside && x.Value >= 0.005).OrderByDescending(x => x.Value).ThenBy(x => x.Key, StringComparer.Ordinal).Take(most)
                .Select(x => new ForetoldState(x.Key, TroubleWords.Of(sheet, circuit, x.Key), x.Value, Quantities.Words.Band(Math.Clamp(x.Value, 0, 1)), [.. forecast.At(x.Key).Select(Shown)]))],
            feed is "off" || circuit.Feeds.Contains(feed), p.GetValueOrDefault(Target.OfTroubles.Outside));

        // Where the chassis is the plus, the meter shows the rails negative.
        ExpectedReading Shown(ExpectedReading e) => positive && sheet.Points.First(x => x.Id == e.Point).Quantity == "volt-dc"
            ? e with { Mean = -e.Mean, Low = -e.High, High = -e.Low, Means = [.. e.Means.Select(m => -m)] } : e;
    }
}
