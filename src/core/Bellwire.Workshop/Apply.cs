using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>What one lawful entry does to the state. Decides nothing.</summary>
internal static class Apply
{
    public static ShopState To(ShopState s, Entry entry)
    {
        s = entry.Act switch
        {
            JobOpened a => s with { Jobs = s.Jobs.SetItem(a.Job, NewJob(a, entry.Done ?? entry.Entered) with { OddsVersion = s.OddsNow.GetValueOrDefault(a.SheetId ?? "") ?? "1" }) },
            OutlineCorrected a => OnJob(s, a.Job, j => j with { Outline = a.Outline }),
            SheetPinned a => OnJob(s, a.Job, j => j with { SheetId = a.SheetId, SheetHash = a.SheetHash, OddsVersion = a.OddsVersion }),
            Parked a => OnJob(s, a.Job, j => j with { ParkedUntil = a.Until, ParkedWhy = a.Why }),
            JobClosed a => OnJob(s, a.Job, j => j with { Ending = a.Ending }),
            OwnerWord a => s with { Words = s.Words.SetItem(entry.Id, a) },
            PieceRecorded a => s with { Pieces = s.Pieces.SetItem(a.Piece, new(a.Piece, a.Kind, a.Name, a.Owner, a.Job, null, Whereabouts.At(a.Place), a.Marks, a.Condition, a.KnownGood, a.Trust, false, false) { RecordedTrust = a.Trust }) },
            PieceMissing a => OnJob(s, a.Job, j => j with { Missing = j.Missing.Add(a) }),
            PieceMarked a => OnPiece(s, a.Piece, p => p with { Marks = a.Marks ?? p.Marks, Condition = a.Condition ?? p.Condition }),
            HardwareCounted a => OnJob(s, a.Job, j => j with { Hardware = j.Hardware.SetItem(a.Item, Came(j, a)) }),
            OwnershipMoved a => OnPiece(s, a.Piece, p => MoveOwner(p, a)),
            PieceMoved a => OnPiece(s, a.Piece, p => p with { Where = Whereabouts.At(a.Place), LentTo = Places.IsShelf(a.Place) ? null : p.LentTo }),
            Lent a => OnPiece(s, a.Piece, p => p with { LentTo = a.Job }),
            Returned a => OnPiece(s, a.Piece, p => p with { LentTo = null, Where = Whereabouts.At(a.Place) }),
            SystemSetUp a => SetUp(s, a),
            Fitted a => Fit(s, a.Piece, a.System, a.Position),
            Pulled a => Pull(s, a),
            HookUpRepaired a => Repair(s, a),
            Powered a => OnSystem(s, a.System, y => y with { Powered = a.Feed != "off", Feed = a.Feed, LineVolts = a.LineVolts }),
            Unpowered a => OnSystem(s, a.System, y => y with { Powered = false }),
            PackedPiece a => OnPiece(s, a.Piece, p => p with { Packed = true }),
            PackedHardware a => OnJob(s, a.Job, j => j with { Hardware = j.Hardware.SetItem(a.Item, Packed(j, a)) }),
            ShopDetailSet a => s with { Details = new(s.Details.Said.SetItem(a.Item, a.Value)) },
            OwnerDetail a => OnJob(s, a.Job, j => j with { OwnerDetails = j.OwnerDetails.SetItem(a.Item, a.Words) }),
            CartonClosed a => OnJob(s, a.Job, j => j with { CartonClosed = true }),
            WordTied a => s with { Ties = s.Ties.SetItem(a.Word, a) },
            Exchanged a => Exchange(s, a),
            OddsAdopted a => s with { Odds = s.Odds.SetItem(entry.Id, a), OddsNow = s.OddsNow.SetItem(a.SheetId, entry.Id) },
            PlainAct => Shelving.Apply(s, entry),
            _ => Drawer.Apply(s, entry.Act),
        };
        foreach (var job in entry.Jobs) s = OnJob(s, job, j => j with { LastTouched = entry.Done ?? entry.Entered, Minutes = j.Minutes + MinutesOf(entry.Act) / entry.Jobs.Length });
        return s;
    }

    private static double MinutesOf(Act act) => act switch
    {
        Checked a => a.Minutes ?? 0, GridChecked a => a.Minutes ?? 0, ReadingTaken a => a.Minutes ?? 0, Mended a => a.Minutes ?? 0, _ => 0,
    };

    private static JobState NewJob(JobOpened a, DateTimeOffset when) => new(
        a.Job, a.Owner, a.SheetId, a.SheetHash, a.Outline, null,
        ImmutableDictionary<string, HardwareState>.Empty, [], false, null, null, null, when, when, 0);

    private static HardwareState Came(JobState j, HardwareCounted a)
    {
        var known = j.Hardware.GetValueOrDefault(a.Item) ?? new HardwareState(a.Item, 0, null, 0, null);
        return known with { Came = a.Came, Expected = a.Expected ?? known.Expected };
    }

    private static HardwareState Packed(JobState j, PackedHardware a)
    {
        var known = j.Hardware.GetValueOrDefault(a.Item) ?? new HardwareState(a.Item, 0, null, 0, null);
        return known with { Packed = a.Count, Reason = a.Reason };
    }

    private static PieceState MoveOwner(PieceState p, OwnershipMoved a) => a.How == "scrap"
        ? p with { Gone = true, LentTo = null, Where = Whereabouts.At("scrapped") }
        : p with { Owner = a.To, Job = a.To.StartsWith("owner:", StringComparison.Ordinal) ? a.To["owner:".Length..] : null, LentTo = null };

    private static ShopState Exchange(ShopState s, Exchanged a)
    {
        s = OnPiece(s, a.Piece, p => p with { Owner = Party.OwnerOf(a.Job), Job = a.Job, LentTo = null, Marks = Serial(p.Marks, a.Serial) });
        if (a.Core is not { } core) return s;
        s = OnPiece(s, core, p => p with { Marks = Serial(p.Marks, a.CoreSerial) });
        return a.CoreFate switch
        {
            "kept" => OnPiece(s, core, p => p with { Owner = Party.Shop, Job = null, LentTo = null, KnownGood = false, Trust = null, RecordedTrust = null }),
            "scrapped" => OnPiece(s, core, p => p with { Gone = true, Where = Whereabouts.At("scrapped") }),
            _ => s,
        };
    }

    /// <summary>A serial joins the marks once.</summary>
    private static string? Serial(string? marks, string? serial) =>
        string.IsNullOrWhiteSpace(serial) || marks?.Contains(serial, StringComparison.Ordinal) == true ? marks : string.IsNullOrEmpty(marks) ? serial : $"{marks}, {serial}";

    private static ShopState SetUp(ShopState s, SystemSetUp a)
    {
        s = s with { Systems = s.Systems.SetItem(a.System, new(a.System, a.Job, a.SheetId, ImmutableDictionary<string, string>.Empty, false, "off", null)) };
        if (a.Job is not null) s = OnJob(s, a.Job, j => j with { System = a.System });
        foreach (var (position, piece) in a.Pieces) s = Fit(s, piece, a.System, position);
        return s;
    }

    /// <summary>A shop's piece that goes into a job's set is lent by that very act.</summary>
    private static ShopState Fit(ShopState s, string piece, string system, string position)
    {
        s = OnSystem(s, system, y => y with { Pieces = y.Pieces.SetItem(position, piece), Homes = y.Homes.ContainsKey(position) ? y.Homes : y.Homes.SetItem(position, piece) });
        var job = s.Systems[system].Job;
        return OnPiece(s, piece, p => p with { Where = Whereabouts.In(system, position), LentTo = p.Owner == Party.Shop && job is not null ? job : p.LentTo });
    }

    private static ShopState Pull(ShopState s, Pulled a) => Lay(s, a.Piece, a.System, a.Position, a.Place ?? Places.Bench);

    private static ShopState Lay(ShopState s, string piece, string system, string position, string place)
    {
        s = OnSystem(s, system, y => y with { Pieces = y.Pieces.Remove(position) });
        return OnPiece(s, piece, p => p with { Where = Whereabouts.At(place), LentTo = Places.IsShelf(place) ? null : p.LentTo });
    }

    private static ShopState Repair(ShopState s, HookUpRepaired a)
    {
        foreach (var (position, piece) in s.Systems[a.System].Pieces)
            if (a.Pieces.GetValueOrDefault(position) != piece) s = Lay(s, piece, a.System, position, a.Where ?? Places.Bench);
        foreach (var (position, piece) in a.Pieces)
        {
            var where = s.Pieces[piece].Where;
            if (where == Whereabouts.In(a.System, position)) continue;
            if (where.System is not null) s = Lay(s, piece, where.System, where.Position!, Places.Bench);
            s = Fit(s, piece, a.System, position);
        }
        return s;
    }

    private static ShopState OnJob(ShopState s, string job, Func<JobState, JobState> change) =>
        s.Jobs.TryGetValue(job, out var j) ? s with { Jobs = s.Jobs.SetItem(job, change(j)) } : s;

    private static ShopState OnPiece(ShopState s, string piece, Func<PieceState, PieceState> change) =>
        s with { Pieces = s.Pieces.SetItem(piece, change(s.Pieces[piece])) };

    private static ShopState OnSystem(ShopState s, string system, Func<SystemState, SystemState> change) =>
        s with { Systems = s.Systems.SetItem(system, change(s.Systems[system])) };
}
