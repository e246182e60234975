import type { Correction, KnownPoint, Undone } from '../../readings/correction.js'
import type { SignalName } from '../../readings/signal.js'
import { epochMs } from '../../units/time.js'
import type { Connection } from './connection.js'

interface CorrectionRow {
  readonly id: number
  readonly signal: string
  readonly from_t: number
  readonly to_t: number
  readonly gain: number
  readonly shift: number
  readonly points: string
  readonly at: number
  readonly by_whom: string
  readonly why: string
  readonly undone: string | null
}

const correctionOf = (row: CorrectionRow): Correction => ({
  id: row.id,
  signal: row.signal as SignalName,
  from: epochMs(row.from_t),
  to: epochMs(row.to_t),
  gain: row.gain,
  offset: row.shift,
  points: JSON.parse(row.points) as KnownPoint[],
  at: epochMs(row.at),
  by: row.by_whom,
  why: row.why,
  undone: row.undone === null ? null : (JSON.parse(row.undone) as Undone),
})

/** Every correction ever made, oldest first. */
export const allCorrections = (db: Connection): readonly Correction[] =>
  db.prepare<[], CorrectionRow>('SELECT * FROM corrections ORDER BY id').all().map(correctionOf)

/** Those in force for a signal. */
export const correctionsOf = (db: Connection, signal: string): readonly Correction[] =>
  db
    .prepare<[string], CorrectionRow>('SELECT * FROM corrections WHERE signal = ? AND undone IS NULL')
    .all(signal)
    .map(correctionOf)

/** Within a transaction: writes a new one, or that a known one was taken back; nothing else of it ever changes. */
export function writeCorrection(db: Connection, correction: Correction): void {
  const { id, signal, from, to, gain, offset, points, at, by, why, undone } = correction
  db.prepare(
    `INSERT INTO corrections (id, signal, from_t, to_t, gain, shift, points, at, by_whom, why, undone)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET undone = excluded.undone`,
  ).run(
    ...[id, signal, from, to, gain, offset],
    ...[JSON.stringify(points), at, by, why, undone === null ? null : JSON.stringify(undone)],
  )
}
