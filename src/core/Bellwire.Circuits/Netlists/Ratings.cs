namespace Bellwire.Circuits;

/// <summary>What a part may bear. Null: not known, and then never complained of.</summary>
/// <param name="Volts">Largest voltage across the part, V (reverse voltage of a rectifier, working volts of a capacitor, gate–source or collector–emitter volts).</param>
/// <param name="Amperes">Largest RMS current, A.</param>
/// <param name="Watts">Largest mean power, W.</param>
/// <param name="MeltingAmpereSquaredSeconds">Fuse: nominal melting integral, A²s.</param>
/// <param name="ReverseVolts">Largest voltage the wrong way round on a polarised part, V.</param>
/// <param name="JoulesToDamage">Energy beyond the watts rating that the part survives, J; decides the order in which parts give way.</param>
public sealed record Ratings(
    double? Volts = null, double? Amperes = null, double? Watts = null,
    double? MeltingAmpereSquaredSeconds = null, double? ReverseVolts = null, double? JoulesToDamage = null);
