import type { Statement } from 'better-sqlite3'
import { assert } from '../../errors.js'
import type { Clock } from '../../ports/clock.js'
import type { Batch, ComputedAnew, OutboxEntry, Recorder, Restored, StateDoc } from '../../ports/recorder.js'
import { qualities, type Reading } from '../../readings/reading.js'
import { epochMs, seconds, type EpochMs } from '../../units/time.js'
import { isFullySynchronous, type Connection } from './connection.js'
import { allCorrections, writeCorrection } from './correction-rows.js'
import { Dictionary } from './dictionary.js'
import { storeFault } from './faults.js'
import { NewestReadings } from './newest-readings.js'
import { sources, valueColumns } from './reading-row.js'

/**
 * The time of the last commit is written with a commit only when the one on disk is older than this: it lies on a page
 * of its own, 4 kB with every commit otherwise. After a crash it may be this much too early; closing writes it exactly.
 */
export const lastCommitGrain = seconds(10)

/** Longer texts do not go into the dictionary: they come from outside and will not come again. */
const dictionaryTextMax = 200

const computed = sources.indexOf('computed')

/** Where the watch's turns go, on disk. Everything of a batch in one transaction; see `ports/recorder.ts`. */
export class SqliteRecorder implements Recorder {
  readonly #write: ReturnType<typeof prepareWrites>
  readonly #signals: Dictionary
  readonly #reasons: Dictionary
  readonly newest: NewestReadings
  #lastCommit: EpochMs | null
  #lastCommitOnDisk: EpochMs | null
  #proven = false

  constructor(
    readonly db: Connection,
    readonly file: string,
    readonly clock: Clock,
  ) {
    this.#write = prepareWrites(db)
    this.#signals = new Dictionary(db, 'signals', 'name')
    this.#reasons = new Dictionary(db, 'reasons', 'texts')
    this.newest = new NewestReadings(db)
    const last = db.prepare<[], number>(`SELECT value FROM meta WHERE key = 'last_commit'`).pluck().get()
    this.#lastCommit = last === undefined ? null : epochMs(last)
    this.#lastCommitOnDisk = this.#lastCommit
  }

  commit(batch: Batch): void {
    const now = this.clock.now()
    const onDisk = this.#lastCommitOnDisk
    const isDue = onDisk === null || Math.abs(now - onDisk) >= lastCommitGrain
    this.inTransaction('recording', () => {
      for (const reading of batch.readings) this.#insertReading(reading)
      this.#insertRecords(batch)
      this.#replaceComputed(batch.computedAnew)
      for (const correction of batch.corrections ?? []) writeCorrection(this.db, correction)
      this.newest.markIfDue(now)
      if (isDue) this.#write.lastCommit.run(now)
    })
    if (isDue) this.#lastCommitOnDisk = now
    this.#lastCommit = now
  }

  /** One transaction, on disk when this returns; what is remembered beside the file goes with it or not at all. */
  inTransaction(doing: string, work: () => void): void {
    try {
      this.db.transaction(work).immediate()
    } catch (thrown) {
      this.#signals.forget()
      this.#reasons.forget()
      this.newest.rolledBack()
      throw storeFault(this.file, doing, thrown)
    }
    this.newest.committed()
    this.#prove()
  }

  restore(): Restored {
    const { db, newest } = this
    try {
      const docs = db.prepare<[], DocRow>('SELECT kind, id, doc FROM state ORDER BY kind, id').all()
      const pending = db
        .prepare<[], OutboxRow>(
          'SELECT id, at, channel, recipient, doc FROM outbox WHERE outcome IS NULL ORDER BY id',
        )
        .all()
      return {
        docs: docs.map((row): StateDoc => ({ ...row, doc: fromJson(row.doc) })),
        newest: newest.readings(),
        pending: pending.map(entryOf),
        corrections: allCorrections(db),
        lastCommit: this.#lastCommit,
      }
    } catch (thrown) {
      throw storeFault(this.file, 'restoring', thrown)
    }
  }

  close(): void {
    if (!this.db.open) return
    try {
      this.inTransaction('closing', () => {
        if (this.#lastCommit !== null) this.#write.lastCommit.run(this.#lastCommit)
        this.newest.markIfDue(this.clock.now(), true)
      })
    } catch {
      // A disk that is full or gone must not keep the daemon from ending; what was to be written only makes the next
      // start exact to the second and a little faster, and the next start does without it after every crash.
    } finally {
      this.db.close()
    }
  }

  #insertReading(reading: Reading): void {
    const columns = this.#columnsOf(reading)
    const [t, signalId, source] = columns
    // What is computed at one moment as one input after the other comes: the last of it was made from all of them.
    const write = source === computed ? this.#write.replaced : this.#write.reading
    const { changes } = write.run(...columns)
    if (changes > 0) this.newest.stored(signalId, { t, source })
  }

  #replaceComputed(anew: ComputedAnew | undefined): void {
    if (anew === undefined) return
    for (const reading of anew.readings) {
      assert(reading.source === 'computed', `${reading.signal}: only computed readings are replaced`)
      this.#insertReading(reading)
    }
    for (const { signal, at } of anew.gone) {
      const signalId = this.#signals.numberOf(signal)
      const { changes } = this.#write.gone.run(at, signalId, computed)
      if (changes > 0) this.newest.gone(signalId, { t: at, source: computed })
    }
  }

  #columnsOf(reading: Reading): ReadingParameters {
    const t = Math.round(reading.at)
    const { value, words } = valueColumns(reading.value)
    return [
      t,
      this.#signals.numberOf(reading.signal),
      sources.indexOf(reading.source),
      value,
      words,
      qualities.indexOf(reading.quality),
      Math.round(reading.received) - t,
      this.#reasonsColumn(reading.reasons),
      reading.historical ? 1 : 0,
    ]
  }

  #reasonsColumn(reasons: readonly string[]): string | bigint | null {
    if (reasons.length === 0) return null
    const texts = JSON.stringify(reasons)
    if (texts.length > dictionaryTextMax || /\d/.test(texts)) return texts
    // A bigint, because a JavaScript number binds as REAL, which a column without a type would keep as it is.
    return BigInt(this.#reasons.numberOf(texts))
  }

  #insertRecords(batch: Batch): void {
    const { journal, upsert, remove, outbox, docOf, outcome } = this.#write
    for (const { at, event, about, doc } of batch.journal) journal.run(at, event, about, toJson(doc))
    for (const { kind, id } of batch.deletes) remove.run(kind, id)
    for (const { kind, id, doc } of batch.upserts) upsert.run(kind, id, toJson(doc))
    for (const { id, at, channel, to, doc } of batch.outbox) {
      const { changes } = outbox.run(id, at, channel, to, toJson(doc))
      assert(
        changes > 0 || docOf.get(id) === toJson(doc),
        `outbox: call ${id} is there already, with other words`,
      )
    }
    for (const { id, at, outcome: what, detail } of batch.outcomes) outcome.run(what, at, detail, id)
  }

  #prove(): void {
    if (this.#proven) return
    assert(isFullySynchronous(this.db), `${this.file}: commits do not wait for the disk`)
    this.#proven = true
  }
}

interface DocRow {
  readonly kind: string
  readonly id: string
  readonly doc: string
}

interface OutboxRow {
  readonly id: number
  readonly at: number
  readonly channel: string
  readonly recipient: string
  readonly doc: string
}

const entryOf = ({ id, at, channel, recipient, doc }: OutboxRow): OutboxEntry => ({
  id,
  at: epochMs(at),
  channel,
  to: recipient,
  doc: fromJson(doc),
})

const toJson = (doc: unknown): string => JSON.stringify(doc ?? null)
const fromJson = (text: string): unknown => JSON.parse(text) as unknown

/** In the order of the columns; by name would cost more than the insert itself. */
type ReadingParameters = [
  t: number,
  signalId: number,
  source: number,
  value: number | null,
  words: string | null,
  quality: number,
  receivedAfter: number,
  reasons: string | bigint | null,
  historical: number,
]

function prepareWrites(db: Connection) {
  const prepare = <Parameters extends unknown[]>(sql: string): Statement<Parameters> =>
    db.prepare<Parameters>(sql)
  return {
    reading: prepare<ReadingParameters>(
      `INSERT INTO readings (t, signal_id, source, value, words, quality, received_after, reasons, historical)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT DO NOTHING`,
    ),
    replaced: prepare<ReadingParameters>(
      `INSERT OR REPLACE INTO readings
         (t, signal_id, source, value, words, quality, received_after, reasons, historical)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ),
    gone: prepare<[number, number, number]>(
      'DELETE FROM readings WHERE t = ? AND signal_id = ? AND source = ?',
    ),
    journal: prepare<[number, string, string | null, string]>(
      'INSERT INTO journal (at, event, about, doc) VALUES (?, ?, ?, ?)',
    ),
    upsert: prepare<[string, string, string]>(
      `INSERT INTO state (kind, id, doc) VALUES (?, ?, ?) ON CONFLICT (kind, id) DO UPDATE SET doc = excluded.doc`,
    ),
    remove: prepare<[string, string]>('DELETE FROM state WHERE kind = ? AND id = ?'),
    outbox: prepare<[number, number, string, string, string]>(
      `INSERT INTO outbox (id, at, channel, recipient, doc) VALUES (?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING`,
    ),
    docOf: db.prepare<[number], string>('SELECT doc FROM outbox WHERE id = ?').pluck(),
    outcome: prepare<[string, number, string, number]>(
      `UPDATE outbox SET outcome = ?, outcome_at = ?, detail = ?
       WHERE id = ? AND (outcome IS NULL OR outcome = 'accepted')`,
    ),
    lastCommit: prepare<[number]>(
      `INSERT INTO meta (key, value) VALUES ('last_commit', ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value`,
    ),
  }
}
