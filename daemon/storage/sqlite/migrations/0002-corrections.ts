import type { Migration } from '../migrate.js'

/**
 * How readings of a span are to be read once a probe is known to have been off: value = gain × value + shift, in the
 * signal's canonical unit, for `from_t <= t < to_t`. The readings stay as they were sent; who reads them applies this
 * (`history-queries.ts`), so that a correction is one row, costs nothing to take back, and years of readings need not be
 * written again. `undone` is null, or a JSON object that says when, by whom and why it was taken back.
 */
export const corrections: Migration = {
  number: 2,
  sql: `
    CREATE TABLE corrections (
      id INTEGER PRIMARY KEY,
      signal TEXT NOT NULL,
      from_t INTEGER NOT NULL,
      to_t INTEGER NOT NULL CHECK (to_t > from_t),
      gain REAL NOT NULL,
      shift REAL NOT NULL,
      points TEXT NOT NULL,                                      -- JSON: what it read and what was true
      at INTEGER NOT NULL,
      by_whom TEXT NOT NULL,
      why TEXT NOT NULL,
      undone TEXT
    ) STRICT;
    CREATE INDEX corrections_of_signal ON corrections (signal) WHERE undone IS NULL;
  `,
}
