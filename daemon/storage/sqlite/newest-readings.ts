import type { Statement } from 'better-sqlite3'
import { days, hours } from '../../units/time.js'
import type { Connection } from './connection.js'
import { readingOf, type ReadingRow } from './reading-row.js'
import type { Reading } from '../../readings/reading.js'

interface Key {
  readonly t: number
  readonly source: number
}

interface SignalKey extends Key {
  readonly signal_id: number
}

/** How much of the end of `readings` a start has to look through at most; how often `newest` is written. */
const markEvery = hours(1)

/**
 * Which reading of each signal is the newest, known after a restart without looking through a year of readings and
 * without writing anything extra for most of them.
 *
 * The table `newest` holds every signal's newest reading as of the mark `newest_before`. Whatever is stored after the
 * mark either lies behind it in time, where `load` finds it by looking through the end of `readings` (an hour of them
 * at most while the daemon runs); or before it, because it came late: then its row in `newest` is written at once.
 * So both together always know the newest.
 */
export class NewestReadings {
  readonly #put: Statement<[number, number, number]>
  readonly #remove: Statement<[number]>
  readonly #before: Statement<[number, number, number], Key>
  readonly #setMark: Statement<[number]>
  readonly #known = new Map<number, Key>()
  /** Of the transaction on its way; becomes known when it is committed. Null: nothing of that signal is left. */
  readonly #staged = new Map<number, Key | null>()
  /** Signals whose row in `newest` is older than what is known. */
  readonly #unwritten = new Set<number>()
  #mark: number | null
  #stagedMark: number | null = null

  constructor(readonly db: Connection) {
    this.#put = db.prepare(
      `INSERT INTO newest (signal_id, t, source) VALUES (?, ?, ?)
       ON CONFLICT (signal_id) DO UPDATE SET t = excluded.t, source = excluded.source`,
    )
    this.#remove = db.prepare('DELETE FROM newest WHERE signal_id = ?')
    this.#before = db.prepare(
      `SELECT t, source FROM readings WHERE signal_id = ? AND t >= ? AND t <= ?
       ORDER BY t DESC, source DESC LIMIT 1`,
    )
    this.#setMark = db.prepare(
      `INSERT INTO meta (key, value) VALUES ('newest_before', ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value`,
    )
    this.#mark =
      db.prepare<[], number>(`SELECT value FROM meta WHERE key = 'newest_before'`).pluck().get() ?? null
    this.#load()
  }

  /** Within the transaction: a reading was stored that was not there before. */
  stored(signalId: number, key: Key): void {
    const known = this.#keyOf(signalId)
    if (known !== null && !isNewer(key, known)) return
    this.#staged.set(signalId, key)
    if (this.#mark !== null && key.t < this.#mark) this.#put.run(signalId, key.t, key.source)
  }

  /**
   * Within the transaction: a reading was taken out. If it was the newest, the one before it is, sought no further back
   * than a day: the table is in order of time, and a computed value older than that is computed anew before it matters.
   */
  gone(signalId: number, key: Key): void {
    const known = this.#keyOf(signalId)
    if (known === null || known.t !== key.t || known.source !== key.source) return
    const before = this.#before.get(signalId, key.t - days(1), key.t) ?? null
    this.#staged.set(signalId, before)
    if (before === null) this.#remove.run(signalId)
    else this.#put.run(signalId, before.t, before.source)
  }

  #keyOf(signalId: number): Key | null {
    const staged = this.#staged.get(signalId)
    return staged === undefined ? (this.#known.get(signalId) ?? null) : staged
  }

  /** Within the transaction: writes `newest` when it is time, or when `now` is asked for at any rate. */
  markIfDue(now: number, anyhow = false): void {
    if (!anyhow && this.#mark !== null && Math.abs(now - this.#mark) < markEvery) return
    for (const signalId of new Set([...this.#unwritten, ...this.#staged.keys()])) {
      const key = this.#keyOf(signalId)
      if (key !== null) this.#put.run(signalId, key.t, key.source)
    }
    this.#setMark.run(now)
    this.#stagedMark = now
  }

  committed(): void {
    const marked = this.#stagedMark !== null
    if (marked) this.#unwritten.clear()
    for (const [signalId, key] of this.#staged) {
      if (key === null) {
        this.#known.delete(signalId)
        this.#unwritten.delete(signalId)
        continue
      }
      this.#known.set(signalId, key)
      if (!marked) this.#unwritten.add(signalId)
    }
    if (marked) this.#mark = this.#stagedMark
    this.rolledBack()
  }

  rolledBack(): void {
    this.#staged.clear()
    this.#stagedMark = null
  }

  readings(): readonly Reading[] {
    const read = this.db.prepare<SignalKey, ReadingRow>(
      `SELECT t, name, source, value, words, quality, received_after, historical, coalesce(texts, reasons) AS reasons
       FROM readings JOIN signals ON signals.id = signal_id
       LEFT JOIN reasons ON typeof(readings.reasons) = 'integer' AND reasons.id = readings.reasons
       WHERE t = :t AND signal_id = :signal_id AND source = :source`,
    )
    return [...this.#known].flatMap(([signal_id, key]) => {
      const row = read.get({ signal_id, ...key })
      return row === undefined ? [] : [readingOf(row)]
    })
  }

  #load(): void {
    for (const row of this.db.prepare<[], SignalKey>('SELECT signal_id, t, source FROM newest').iterate())
      this.#known.set(row.signal_id, { t: row.t, source: row.source })
    const after = this.db.prepare<[number], SignalKey>(
      'SELECT signal_id, t, source FROM readings WHERE t >= ? ORDER BY t, signal_id, source',
    )
    for (const { signal_id, t, source } of after.iterate(this.#mark ?? Number.MIN_SAFE_INTEGER)) {
      const known = this.#known.get(signal_id)
      if (known !== undefined && !isNewer({ t, source }, known)) continue
      this.#known.set(signal_id, { t, source })
      this.#unwritten.add(signal_id)
    }
  }
}

/** Of two at the same time, by different doors, one has to be called newer: the order of the sources decides. */
const isNewer = (one: Key, other: Key): boolean =>
  one.t > other.t || (one.t === other.t && one.source > other.source)
