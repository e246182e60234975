import { assert } from '../../errors.js'
import type { CallRecord, JournalLine, RecordedReading, Sample, Stretch } from '../../ports/history.js'
import { corrected, correctionAt, type Correction } from '../../readings/correction.js'
import type { SignalName } from '../../readings/signal.js'
import { epochMs, type EpochMs } from '../../units/time.js'
import { thinner } from '../thin.js'
import type { Connection } from './connection.js'
import { correctionsOf } from './correction-rows.js'
import { qualityOf, sourceOf, sources, valueOf, type ValueRow } from './reading-row.js'

interface Span {
  readonly from: EpochMs
  readonly to: EpochMs
  readonly atMost: number
}

/** What can be asked of the record, as it is sent to the reading thread. */
export type Question =
  | (Span & { readonly kind: 'samples'; readonly signal: SignalName; readonly raw: boolean })
  | (Span & { readonly kind: 'readings'; readonly signals: readonly SignalName[] })
  | (Omit<Span, 'atMost'> & { readonly kind: 'usable-before'; readonly signals: readonly SignalName[] })
  | (Span & { readonly kind: 'journal'; readonly about: string | null })
  | (Span & { readonly kind: 'calls' })

export interface Answers {
  readonly samples: readonly Sample[]
  readonly readings: Stretch
  readonly 'usable-before': readonly RecordedReading[]
  readonly journal: readonly JournalLine[]
  readonly calls: readonly CallRecord[]
}

export function answer(db: Connection, question: Question): Answers[Question['kind']] {
  switch (question.kind) {
    case 'samples':
      return samplesOf(db, question)
    case 'readings':
      return readingsOf(db, question)
    case 'usable-before':
      return usableBefore(db, question)
    case 'journal':
      return journalOf(db, question)
    case 'calls':
      return callsOf(db, question)
  }
}

/**
 * Passes over all rows of the span in SQLite and thins those of the signal as they come, in one pass and with no more
 * memory than what is shown: grouping in SQL would sort them, since it cannot know that they are in order.
 */
function samplesOf(db: Connection, question: Extract<Question, { kind: 'samples' }>) {
  const { signal, from, to, atMost, raw } = question
  const id = db.prepare<[string], number>('SELECT id FROM signals WHERE name = ?').pluck().get(signal)
  if (id === undefined || to <= from) return []
  const thinned = thinner(from, to, atMost)
  const rows = db.prepare<[number, number, number], ValueRow>(
    'SELECT t, value, words, quality FROM readings WHERE t >= ? AND t < ? AND signal_id = ? ORDER BY t, signal_id, source',
  )
  const corrections = raw ? [] : correctionsOf(db, signal)
  for (const row of rows.iterate(from, to, id)) thinned.add(sampleOf(row, corrections))
  return thinned.result()
}

function sampleOf(row: ValueRow, corrections: readonly Correction[]): Sample {
  const at = epochMs(row.t)
  const value = corrected(valueOf(row), correctionAt(corrections, at))
  return { at, value, quality: qualityOf(row.quality) }
}

interface SignalRow extends ValueRow {
  readonly signal_id: number
  readonly source: number
}

/** Of these signals, by their numbers; signals that were never recorded have none. */
function signalsById(db: Connection, signals: readonly SignalName[]) {
  const find = db.prepare<[string], number>('SELECT id FROM signals WHERE name = ?').pluck()
  const known = new Map<number, { readonly name: SignalName; readonly corrections: readonly Correction[] }>()
  for (const name of signals) {
    const id = find.get(name)
    if (id !== undefined) known.set(id, { name, corrections: correctionsOf(db, name) })
  }
  // Numbers of our own dictionary, so they may stand in the statement as they are.
  const where = `signal_id IN (${[...known.keys()].join(', ')})`
  const readingOf = (row: SignalRow): RecordedReading => {
    const signal = known.get(row.signal_id)
    assert(signal !== undefined, `readings: signal ${row.signal_id} was not asked for`)
    const at = epochMs(row.t)
    const value = valueOf(row)
    return {
      signal: signal.name,
      at,
      value: signal.corrections.length === 0 ? value : corrected(value, correctionAt(signal.corrections, at)),
      quality: qualityOf(row.quality),
      source: sourceOf(row.source),
    }
  }
  return { count: known.size, where, readingOf }
}

/**
 * What a broker had kept without a time of its own is historical although it was received when it was "measured"
 * (`quality/judge.ts`): nobody knows when that was, so nothing may be computed from it.
 */
const ofKnownAge = 'NOT (historical = 1 AND received_after = 0)'
const columns = 't, signal_id, source, value, words, quality'

function readingsOf(
  db: Connection,
  { signals, from, to, atMost }: Extract<Question, { kind: 'readings' }>,
): Stretch {
  const { count, where, readingOf } = signalsById(db, signals)
  if (count === 0 || to <= from) return { readings: [], to }
  const rows = db.prepare<[number, number], SignalRow>(
    `SELECT ${columns} FROM readings WHERE t >= ? AND t < ? AND ${where} AND ${ofKnownAge}
     ORDER BY t, signal_id, source`,
  )
  const readings: RecordedReading[] = []
  for (const row of rows.iterate(from, to)) {
    if (readings.length >= atMost && row.t !== readings.at(-1)?.at) return { readings, to: epochMs(row.t) }
    readings.push(readingOf(row))
  }
  return { readings, to }
}

/** Backwards through the record until the last signal is found. */
function usableBefore(
  db: Connection,
  { signals, from, to }: Extract<Question, { kind: 'usable-before' }>,
): readonly RecordedReading[] {
  const { count, where, readingOf } = signalsById(db, signals)
  if (count === 0) return []
  const rows = db.prepare<[number, number, number], SignalRow>(
    `SELECT ${columns} FROM readings WHERE t >= ? AND t < ? AND ${where} AND ${ofKnownAge} AND source <> ?
     ORDER BY t DESC, signal_id DESC, source DESC`,
  )
  const found = new Map<SignalName, RecordedReading>()
  for (const row of rows.iterate(from, to, sources.indexOf('computed'))) {
    const reading = readingOf(row)
    if (reading.quality !== 'bad' && reading.value !== null && !found.has(reading.signal))
      found.set(reading.signal, reading)
    if (found.size === count) break
  }
  return [...found.values()].reverse()
}

interface JournalTableRow {
  readonly seq: number
  readonly at: number
  readonly event: string
  readonly about: string | null
  readonly doc: string
}

function journalOf(db: Connection, { from, to, atMost, about }: Extract<Question, { kind: 'journal' }>) {
  const rows = db
    .prepare<Record<string, unknown>, JournalTableRow>(
      `SELECT seq, at, event, about, doc FROM journal
       WHERE at >= :from AND at < :to ${about === null ? '' : 'AND about = :about'}
       ORDER BY at DESC, seq DESC LIMIT :limit`,
    )
    .all({ from, to, limit: limitOf(atMost), ...(about === null ? {} : { about }) })
  return rows
    .reverse()
    .map((row): JournalLine => ({ ...row, at: epochMs(row.at), doc: JSON.parse(row.doc) as unknown }))
}

interface CallTableRow {
  readonly id: number
  readonly at: number
  readonly channel: string
  readonly recipient: string
  readonly doc: string
  readonly outcome: string | null
  readonly outcome_at: number | null
  readonly detail: string | null
}

function callsOf(db: Connection, { from, to, atMost }: Span) {
  const rows = db
    .prepare<[number, number, bigint], CallTableRow>(
      `SELECT id, at, channel, recipient, doc, outcome, outcome_at, detail FROM outbox
       WHERE at >= ? AND at < ? ORDER BY at DESC, id DESC LIMIT ?`,
    )
    .all(from, to, limitOf(atMost))
  return rows.reverse().map(({ recipient, outcome_at, ...row }): CallRecord => ({
    ...row,
    at: epochMs(row.at),
    to: recipient,
    doc: JSON.parse(row.doc) as unknown,
    outcomeAt: outcome_at === null ? null : epochMs(outcome_at),
  }))
}

/** LIMIT takes no REAL, which is what a JavaScript number binds as. */
const limitOf = (atMost: number): bigint => BigInt(Math.max(0, Math.floor(atMost)))
