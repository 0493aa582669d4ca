using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>Which jobs and entities an act touches: the concurrency check and the filtered view of a tape.</summary>
public static class Touches
{
    public static (ImmutableArray<string> Jobs, ImmutableArray<string> Entities) Of(ShopState state, Act act)
    {
        var jobs = new SortedSet<string>(StringComparer.Ordinal);
        var entities = new SortedSet<string>(StringComparer.Ordinal);

        void Job(string? id) { if (id is not null) { jobs.Add(id); entities.Add("job:" + id); } }
        void Piece(string? id)
        {
            if (id is null) return;
            entities.Add("piece:" + id);
            if (state.Pieces.GetValueOrDefault(id) is { } piece) { Job(piece.Job); Job(piece.LentTo); }
        }
        void System(string? id)
        {
            if (id is null) return;
            entities.Add("system:" + id);
            Job(state.Systems.GetValueOrDefault(id)?.Job);
        }

        switch (act)
        {
            case JobOpened a: Job(a.Job); break;
            case OutlineCorrected a: Job(a.Job); break;
            case SheetPinned a: Job(a.Job); break;
            case OwnerTold a: Job(a.Job); break;
            case CauseTold a: Job(a.Job); break;
            case Noted a: Job(a.Job); break;
            case OwnerWord a: Job(a.Job); break;
            case Parked a: Job(a.Job); break;
            case JobClosed a: Job(a.Job); break;
            case PieceRecorded a: Piece(a.Piece); Job(a.Job); break;
            case PieceMissing a: Job(a.Job); break;
            case PieceMarked a: Piece(a.Piece); break;
            case HardwareCounted a: Job(a.Job); break;
            case OwnershipMoved a: Piece(a.Piece); break;
            case PieceMoved a: Piece(a.Piece); break;
            case Lent a: Piece(a.Piece); Job(a.Job); break;
            case Returned a: Piece(a.Piece); break;
            case SystemSetUp a: System(a.System); Job(a.Job); foreach (var p in a.Pieces.Values) Piece(p); break;
            case Fitted a: Job(a.Job); Piece(a.Piece); System(a.System); break;
            case Pulled a: Job(a.Job); Piece(a.Piece); System(a.System); break;
            case Reseated a: Job(a.Job); System(a.System); break;
            case HookUpRepaired a:
                Job(a.Job); System(a.System);
                foreach (var p in a.Pieces.Values) Piece(p);
                foreach (var p in state.Systems.GetValueOrDefault(a.System)?.Pieces.Values ?? []) Piece(p);
                break;
            case Powered a: Job(a.Job); System(a.System); break;
            case Unpowered a: Job(a.Job); System(a.System); break;
            case SoakBegun a: Job(a.Job); System(a.System); break;
            case Checked a: Job(a.Job); System(a.System); break;
            case GridChecked a: Job(a.Job); System(a.System); break;
            case ReadingTaken a: Job(a.Job); System(a.System); break;
            case GateAnswered a: Job(a.Job); System(a.System); break;
            case Photographed a: Job(a.Job); Piece(a.Piece); break;
            case Mended a: Job(a.Job); Piece(a.Piece); System(a.System); break;
            case PartUsed a: Job(a.Job); Piece(a.Piece); if (a.Stock is not null) entities.Add("part:" + a.Stock); break;
            case PartShelved a: entities.Add("part:" + a.Part); break;
            case PartCounted a: entities.Add("part:" + a.Part); break;
            case Proved a: Job(a.Job); break;
            case PackedPiece a: Job(a.Job); Piece(a.Piece); break;
            case PackedHardware a: Job(a.Job); break;
            case CartonClosed a: Job(a.Job); break;
            case ShopDetailSet: entities.Add("shop"); break;
            case OwnerDetail a: Job(a.Job); break;
            case PaperSent a: Job(a.Job); break;
            case RunDescribed a: Job(a.Job); break;
            case TerminalMarked a: Job(a.Job); break;
            case LoopRead a: Job(a.Job); break;
            case GroupTried a: Job(a.Job); break;
            case RefitTried a: Job(a.Job); break;
            case SheetGrown a: Job(a.Job); entities.Add("sheet:" + a.SheetId); break;
            case PlainAct a: Job(a.OfJob); foreach (var p in a.OfPieces) Piece(p); break;
            case Struck a:
                entities.Add("entry:" + a.Entry);
                if (state.ById.GetValueOrDefault(a.Entry) is { } struck)
                {
                    foreach (var j in struck.Jobs) Job(j);
                    foreach (var e in struck.Entities) entities.Add(e);
                }
                break;
            case Forgotten a:
                entities.Add("party:" + a.Party);
                if (a.Party.StartsWith("owner:", StringComparison.Ordinal)) Job(a.Party["owner:".Length..]);
                break;
        }
        return ([.. jobs], [.. entities]);
    }
}
