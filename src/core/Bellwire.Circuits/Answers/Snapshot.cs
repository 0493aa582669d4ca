using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>All voltages and currents of one instant.</summary>
internal sealed class Snapshot(Assembly assembly, double[] x, double[] branchAmperes)
{
    public double Volts(string node) => x[assembly.IndexOf(node)];

    /// <summary>Current into a pin of a part, A.</summary>
    public double Into(Device device, int pin)
    {
        if (pin < 0 || pin >= device.Nodes.Length) throw new ArgumentOutOfRangeException(nameof(pin), pin, $"{device.Name} has pins 0 to {device.Nodes.Length - 1}.");
        return PinCurrents.Into(assembly, device.Name, pin, x, branchAmperes);
    }

    public double Watts(Device device)
    {
        var watts = 0.0;
        for (var pin = 0; pin < device.Nodes.Length; pin++) watts += Volts(device.Nodes[pin]) * Into(device, pin);
        return watts;
    }
}

internal static class PinCurrents
{
    /// <summary>The current into a pin: what all elements of the part take there.</summary>
    public static double Into(Assembly assembly, string device, int pin, ReadOnlySpan<double> x, ReadOnlySpan<double> branchAmperes)
    {
        var sum = 0.0;
        for (var k = 0; k < assembly.Branches.Length; k++)
        {
            var b = assembly.Branches[k];
            if (b.Device != device) continue;
            for (var r = 0; r < b.Pins.Length; r++) if (b.Pins[r] == pin) sum += b.Signs[r] * branchAmperes[k];
        }
        Span<double> v = stackalloc double[8], i = stackalloc double[8], g = stackalloc double[64], memory = stackalloc double[4];
        foreach (var e in assembly.Nonlinears)
        {
            if (e.Device != device) continue;
            var count = e.Nodes.Length;
            for (var r = 0; r < count; r++) v[r] = x[e.Nodes[r]];
            e.Evaluate(v[..count], i[..count], g[..(count * count)], memory[..e.Memory], limit: false);
            for (var r = 0; r < count; r++) if (e.Pins[r] == pin) sum += i[r];
        }
        return sum;
    }
}
