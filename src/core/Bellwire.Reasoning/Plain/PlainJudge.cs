namespace Bellwire.Reasoning.Plain;

/// <summary>What plain enumeration found. Probabilities are posterior; <see cref="Evidence"/> is p(all that was seen).</summary>
/// <param name="Whole">False when the allowance of worlds ran out: the figures are then of no worth.</param>
/// <param name="Now">Site → mode → probability now; <paramref name="Original"/> before any mend, death or redraw.</param>
/// <param name="FaultSets">"site=mode site=mode …" in ordinal order → probability; the empty text is "nothing wrong".</param>
/// <param name="EvidenceAfter">p(everything seen up to and with each event that counts).</param>
public sealed record PlainAnswer(
    double Evidence, long Worlds, bool Whole,
    IReadOnlyDictionary<string, IReadOnlyDictionary<string, double>> Now,
    IReadOnlyDictionary<string, IReadOnlyDictionary<string, double>> Original,
    IReadOnlyDictionary<string, double> Causes,
    IReadOnlyDictionary<string, double> FaultSets,
    IReadOnlyList<double> EvidenceAfter);

/// <summary>What plain enumeration says of one move.</summary>
public sealed record PlainMove(
    double InformationBits, IReadOnlyDictionary<string, double> Outcomes, IReadOnlyDictionary<string, double> Kills);

/// <summary>The judge: acts the log out in every joint state of the hidden variables of a small model.
/// Exponential; meant for models of up to about 2^20 worlds.</summary>
public static class PlainJudge
{
    public static PlainAnswer Judge(Case c, long worlds = 1L << 22, CancellationToken ct = default)
    {
        var tally = new PlainTally(c);
        var along = new double[tally.Events.Count];
        long seen = 0;
        var whole = PlainWalk.All(c, worlds, (world, prior) =>
        {
            seen++;
            var w = tally.Play(world, along);
            tally.Add(world, prior(), w, along);
        }, ct);
        return tally.Answer(seen, whole);
    }

    /// <summary>Estimate of how many worlds there are, without bias: the mean over random descents of the product of choices on the way
    /// (Knuth, "Estimating the efficiency of backtrack programs", 1975). Worlds that die on the way count to where they die.</summary>
    public static double Size(Case c, int probes, ulong seed)
    {
        var tally = new PlainTally(c);
        var along = new double[tally.Events.Count];
        double sum = 0;
        for (var i = 0; i < probes; i++)
        {
            var (world, choices) = PlainWalk.Evenly(c, seed * 1_000_003 + (ulong)i);
            tally.Play(world, along);
            sum += choices();
        }
        return sum / probes;
    }

    /// <summary>Information of a move by its definition, H(O) − mean over fault sets x of H(O | x).</summary>
    public static PlainMove Try(Case c, Move move, long worlds = 1L << 22)
    {
        var tally = new PlainTally(c);
        var along = new double[tally.Events.Count];
        var joint = new PlainMoveTally();
        PlainWalk.All(c, worlds, (world, prior) =>
        {
            var w = tally.Play(world, along);
            if (w > 0) joint.Act(world, move, c.Events.Length, w, prior);
        });
        return joint.Answer();
    }
}
