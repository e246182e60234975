import type { Migration } from '../migrate.js'

/**
 * The first schema. All times are milliseconds since 1970-01-01T00:00:00Z.
 *
 * `readings`, the key. In time order (`t` first) everything that arrives now lands on the last page of one tree:
 * measured for 100 signals at 10 readings a commit, 858 bytes really written per reading (without the 4 kB a commit that
 * `synchronous = FULL` adds to any key), against 6230 in the order of signals, which touches a page per signal; a flash
 * card would be worn out several times sooner. A plain log by rowid
 * writes 517 bytes, but then "the same signal and time twice is one reading" needs an index of its own, which costs
 * more than it saves. The price is paid by reading: the course of one signal passes over the rows of all others in its
 * span, off the watch's thread. WITHOUT ROWID, so that the key is the table and not a second tree.
 *
 * The door left open: old spans can be sealed into one compressed run per signal and hours (0.6 to 2.1 bytes a reading
 * against 26) by a later migration that adds a table `runs` beside this one; nothing here has to change for it, since
 * readers go through `history-queries.ts` alone.
 *
 * `received` is stored as its distance from `t`, which is small and often 0. Names are stored once, in a dictionary,
 * and referred to by number; so are reasons, except those with figures in them, which hardly ever come again.
 *
 * BETWEEN in the checks, because IN builds a set for every row: measured, 3.5 µs a reading against nothing to be seen.
 *
 * `newest` says, for every signal, its newest reading before the time `newest_before` in `meta`. It is written once
 * an hour, not with every reading, so it costs no page of its own; `newest-readings.ts` says why it is still exact.
 */
export const first: Migration = {
  number: 1,
  sql: `
    CREATE TABLE signals (
      id INTEGER PRIMARY KEY,
      name TEXT NOT NULL UNIQUE
    ) STRICT;

    CREATE TABLE reasons (
      id INTEGER PRIMARY KEY,
      texts TEXT NOT NULL UNIQUE                                 -- a JSON array of sentences, worst first
    ) STRICT;

    CREATE TABLE readings (
      t INTEGER NOT NULL,
      signal_id INTEGER NOT NULL REFERENCES signals (id),
      source INTEGER NOT NULL CHECK (source BETWEEN 0 AND 2),      -- probe, book, computed
      value REAL,
      words TEXT,
      quality INTEGER NOT NULL CHECK (quality BETWEEN 0 AND 2),    -- good, uncertain, bad
      received_after INTEGER NOT NULL,                           -- ms from t
      reasons ANY,                                               -- null, a number in the dictionary, or the texts
      historical INTEGER NOT NULL CHECK (historical BETWEEN 0 AND 1),
      PRIMARY KEY (t, signal_id, source)
    ) STRICT, WITHOUT ROWID;

    CREATE TABLE newest (
      signal_id INTEGER PRIMARY KEY REFERENCES signals (id),
      t INTEGER NOT NULL,
      source INTEGER NOT NULL
    ) STRICT;

    CREATE TABLE journal (
      seq INTEGER PRIMARY KEY,
      at INTEGER NOT NULL,
      event TEXT NOT NULL,
      about TEXT,
      doc TEXT NOT NULL
    ) STRICT;
    CREATE INDEX journal_at ON journal (at);
    CREATE INDEX journal_about ON journal (about, at) WHERE about IS NOT NULL;
    CREATE TRIGGER journal_is_never_changed BEFORE UPDATE ON journal
      BEGIN SELECT raise(ABORT, 'the journal is append-only'); END;
    CREATE TRIGGER journal_is_never_shortened BEFORE DELETE ON journal
      BEGIN SELECT raise(ABORT, 'the journal is append-only'); END;
    CREATE TRIGGER journal_is_never_replaced BEFORE INSERT ON journal
      WHEN EXISTS (SELECT 1 FROM journal WHERE seq = NEW.seq)
      BEGIN SELECT raise(ABORT, 'the journal is append-only'); END;

    CREATE TABLE state (
      kind TEXT NOT NULL,
      id TEXT NOT NULL,
      doc TEXT NOT NULL,
      PRIMARY KEY (kind, id)
    ) STRICT, WITHOUT ROWID;

    CREATE TABLE outbox (
      id INTEGER PRIMARY KEY,
      at INTEGER NOT NULL,
      channel TEXT NOT NULL,
      recipient TEXT NOT NULL,
      doc TEXT NOT NULL,
      outcome TEXT CHECK (outcome IN ('accepted', 'delivered', 'temporary', 'permanent')),
      outcome_at INTEGER,
      detail TEXT,
      CHECK ((outcome IS NULL) = (outcome_at IS NULL))
    ) STRICT;
    CREATE INDEX outbox_pending ON outbox (id) WHERE outcome IS NULL;
    CREATE INDEX outbox_at ON outbox (at);

    CREATE TABLE meta (
      key TEXT PRIMARY KEY,
      value INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;
  `,
}
