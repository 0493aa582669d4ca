using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>What is asked of a listener.</summary>
/// <param name="LineHertz">Nominal line frequency, 50 or 60 Hz.</param>
/// <param name="SpectrumSize">Samples of one transform, a power of two; 16 384 is 2.9 Hz a bin at 48 kHz.</param>
/// <param name="Hum">Split hum.</param>
/// <param name="Spectrum">Spectrum and noise.</param>
public sealed record ListenAsked(double LineHertz = 60, int SpectrumSize = 16_384, bool Hum = true, bool Spectrum = true);

/// <summary>What was heard on one channel.</summary>
/// <param name="Hum">Null when not asked, or when less than a second was heard.</param>
/// <param name="Spectrum">Null when not asked, or when nothing was heard.</param>
public sealed record HeardChannel(Level Level, Hum? Hum, PowerSpectrum? Spectrum, Noise? Noise, Troubles Troubles);

/// <summary>Runs level, hum, spectrum, noise and troubles over the blocks of a recording of any length; memory does not grow with it.
/// Channels are measured side by side.</summary>
public sealed class Listener
{
    private readonly LevelMeter[] _levels;
    private readonly HumMeter[] _hums;
    private readonly SpectrumMeter[] _spectra;
    private readonly TroubleMeter[] _troubles;

    /// <param name="rate">Samples a second, at least 1 000 Hz.</param>
    /// <param name="channels">1..64.</param>
    public Listener(int rate, int channels, ListenAsked asked)
    {
        ArgumentNullException.ThrowIfNull(asked);
        if (channels is < 1 or > 64) throw new ArgumentOutOfRangeException(nameof(channels), channels, "A sound has 1 to 64 channels.");
        _levels = Each(channels, () => new LevelMeter(rate));
        _hums = Each(asked.Hum ? channels : 0, () => new HumMeter(rate, asked.LineHertz));
        _spectra = Each(asked.Spectrum ? channels : 0, () => new SpectrumMeter(rate, asked.SpectrumSize, Window.Hann));
        _troubles = Each(channels, () => new TroubleMeter(rate));
    }

    private static T[] Each<T>(int count, Func<T> make) => [.. Enumerable.Range(0, count).Select(_ => make())];

    /// <summary>The first <paramref name="frames"/> samples of each channel's array.</summary>
    public void Feed(double[][] block, int frames)
    {
        ArgumentNullException.ThrowIfNull(block);
        if (block.Length != _levels.Length) throw new ArgumentException($"The listener was made for {_levels.Length} channels, not {block.Length}.", nameof(block));
        Parallel.For(0, block.Length, c =>
        {
            var samples = block[c].AsSpan(0, frames);
            _levels[c].Feed(samples);
            _troubles[c].Feed(samples);
            if (_hums.Length > 0) _hums[c].Feed(samples);
            if (_spectra.Length > 0) _spectra[c].Feed(samples);
        });
    }

    public ImmutableArray<HeardChannel> Finish() =>
    [
        .. Enumerable.Range(0, _levels.Length).Select(c =>
        {
            var spectrum = _spectra.Length > 0 ? _spectra[c].Finish() : null;
            return new HeardChannel(_levels[c].Finish(), _hums.Length > 0 ? _hums[c].Finish() : null, spectrum,
                spectrum is { } s && s.Rate > 100 ? Noise.Of(s) : null, _troubles[c].Finish());
        }),
    ];
}
