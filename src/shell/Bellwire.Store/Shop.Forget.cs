using Bellwire.Workshop;
using Dapper;

namespace Bellwire.Store;

public sealed partial class Shop
{
    /// <summary>Erases every text of a party and, for an owner, the photographs of the job; leaves a tombstone. The chain stays whole.
    /// Old backups, and invoices that the law makes one keep, are beyond its reach: the page that calls this says so.</summary>
    /// <returns>The tombstone, or the refusal.</returns>
    public Recorded Forget(string entryId, string party)
    {
        lock (gate)
        {
            var answer = Record(new Proposal(entryId, new Forgotten(party)));
            if (answer is not Recorded.Accepted) return answer;
            using (var transaction = db.BeginTransaction(deferred: false))
            {
                db.Execute("UPDATE personal SET salt = NULL, text = NULL WHERE party = @party", new { party }, transaction);
                transaction.Commit();
            }
            // The write-ahead log still holds old pages: fold it in, then rewrite the file.
            db.Execute("PRAGMA wal_checkpoint(TRUNCATE)");
            db.Execute("VACUUM");
            db.Execute("PRAGMA wal_checkpoint(TRUNCATE)");

            var theirs = PhotosOf(e => e.Act is Photographed p && Party.OwnerOf(p.Job) == party);
            var others = PhotosOf(e => e.Act is Photographed p && Party.OwnerOf(p.Job) != party);
            foreach (var hash in theirs.Except(others)) Files.Erase(hash);
            return answer;
        }
    }

    private HashSet<string> PhotosOf(Func<Entry, bool> which) =>
        [.. recorded.Where(which).Select(e => ((Photographed)e.Act).ContentHash)];
}
