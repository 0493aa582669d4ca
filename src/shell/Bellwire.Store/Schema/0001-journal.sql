CREATE TABLE meta(key TEXT PRIMARY KEY, value TEXT NOT NULL);
-- The chain: the stored bytes are what is hashed, and are never rewritten.
CREATE TABLE chain(
  number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, bytes BLOB NOT NULL,
  previous BLOB NOT NULL, hash BLOB NOT NULL);
CREATE TABLE touched(entity TEXT NOT NULL, version INTEGER NOT NULL, number INTEGER NOT NULL, UNIQUE(entity, version));
CREATE TABLE job_chain(job TEXT NOT NULL, version INTEGER NOT NULL, number INTEGER NOT NULL, previous BLOB NOT NULL, hash BLOB NOT NULL, UNIQUE(job, version));
-- What a person can ask to have forgotten; the chain holds only SHA-256 of salt and bytes.
CREATE TABLE personal(ref TEXT PRIMARY KEY, party TEXT NOT NULL, salt BLOB, text TEXT);
CREATE TABLE setting(key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TRIGGER chain_keep BEFORE UPDATE ON chain BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER chain_hold BEFORE DELETE ON chain BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER touched_keep BEFORE UPDATE ON touched BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER touched_hold BEFORE DELETE ON touched BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER job_chain_keep BEFORE UPDATE ON job_chain BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER job_chain_hold BEFORE DELETE ON job_chain BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
