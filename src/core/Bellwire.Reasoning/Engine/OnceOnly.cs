namespace Bellwire.Reasoning.Engine;

/// <summary>The events that count. A check repeated under its key with hook-up, setting and sites unchanged counts once:
/// the later look replaces the earlier. Changed means: since then a piece was moved into or out of that system, a
/// connector of it reseated, it was powered up (when the family knows hazards), or anything at all was mended.</summary>
internal static class OnceOnly
{
    public static List<CaseEvent> Of(Case c)
    {
        var dropped = new HashSet<int>();
        var last = new Dictionary<(string System, string Key), (int Index, string Circumstances)>();
        var at = new Dictionary<string, (string System, string Position)>();
        foreach (var s in c.Systems)
            foreach (var (position, piece) in s.InitialPieces) at[piece] = (s.Id, position);
        for (var i = 0; i < c.Events.Length; i++)
        {
            switch (c.Events[i])
            {
                case CaseEvent.Observe { Repeat: { } key } o:
                    var now = Describe.Of(o.Setting) + "|" + Describe.Of(o.Target);
                    if (last.TryGetValue((o.System, key), out var earlier) && earlier.Circumstances == now) dropped.Add(earlier.Index);
                    last[(o.System, key)] = (i, now);
                    break;
                case CaseEvent.Mend: last.Clear(); break;
                case CaseEvent.Reseat r: Forget(r.System); break;
                case CaseEvent.PowerUp u when !c.Family.Hazards.IsEmpty: Forget(u.System); break;
                case CaseEvent.Place p:
                    Forget(p.System);
                    foreach (var gone in at.Where(x => x.Value == (p.System, p.Position)).Select(x => x.Key).ToList()) at.Remove(gone);
                    if (p.Piece is null) break;
                    if (at.TryGetValue(p.Piece, out var from)) Forget(from.System);
                    at[p.Piece] = (p.System, p.Position);
                    break;
            }
        }
        return [.. c.Events.Where((_, i) => !dropped.Contains(i))];

        void Forget(string system)
        {
            foreach (var k in last.Keys.Where(k => k.System == system).ToList()) last.Remove(k);
        }
    }
}
