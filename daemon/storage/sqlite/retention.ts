import { setImmediate } from 'node:timers/promises'
import { after, milliseconds, type EpochMs, type Milliseconds } from '../../units/time.js'
import { sources } from './reading-row.js'
import type { SqliteRecorder } from './recorder.js'

/** Rows a transaction: some tens of kilobytes of the oldest pages, a few milliseconds, then the watch has its turn. */
export const chunkRows = 1000

export interface Swept {
  readonly deleted: number
}

/**
 * Deletes the readings that are older than `keep`, oldest first. What people entered is kept, because it is little and
 * cannot be measured again; and the newest reading of every signal, so that the last word of a probe is known however
 * long it has been silent. The journal and the calls are kept as well. Gives way after every chunk; what is recorded
 * meanwhile is recorded as ever. Throws a Fault `BW_STORE` when the disk refuses; what was deleted stays deleted.
 */
export async function sweep(recorder: SqliteRecorder, now: EpochMs, keep: Milliseconds): Promise<Swept> {
  const before = after(now, milliseconds(-keep))
  recorder.inTransaction('sweeping', () => recorder.newest.markIfDue(now, true))
  let deleted = 0
  for (let from: number | null = Number.MIN_SAFE_INTEGER; from !== null;) {
    const chunk: Chunk = sweepChunk(recorder, from, before)
    deleted += chunk.deleted
    from = chunk.next
    await setImmediate()
    if (!recorder.db.open) break
  }
  return { deleted }
}

interface Chunk {
  readonly deleted: number
  /** Where the next chunk begins; null when there is none. */
  readonly next: number | null
}

/** Looks at the next `chunkRows` rows, and a few more of the same millisecond, and deletes what may go. */
function sweepChunk(recorder: SqliteRecorder, from: number, before: EpochMs): Chunk {
  const { db } = recorder
  const next = db
    .prepare<[number, number, bigint], number>(
      'SELECT t FROM readings WHERE t >= ? AND t < ? ORDER BY t LIMIT 1 OFFSET ?',
    )
    .pluck()
    .get(from, before, BigInt(chunkRows))
  const until = next === undefined ? before : next + 1
  let deleted = 0
  recorder.inTransaction('sweeping', () => {
    deleted = db
      .prepare<[number, number, number]>(
        `DELETE FROM readings WHERE t >= ? AND t < ? AND source <> ?
         AND NOT EXISTS (SELECT 1 FROM newest WHERE newest.signal_id = readings.signal_id AND newest.t = readings.t)`,
      )
      .run(from, until, sources.indexOf('book')).changes
  })
  return { deleted, next: next === undefined ? null : until }
}
