import type { CallRecord, JournalLine, Sample } from '../../ports/history.js'
import type { SignalName } from '../../readings/signal.js'
import { epochMs, type EpochMs } from '../../units/time.js'
import { thinner } from '../thin.js'
import type { Connection } from './connection.js'
import { qualityOf, valueOf, type ValueRow } from './reading-row.js'

interface Span {
  readonly from: EpochMs
  readonly to: EpochMs
  readonly atMost: number
}

/** What can be asked of the record, as it is sent to the reading thread. */
export type Question =
  | (Span & { readonly kind: 'samples'; readonly signal: SignalName })
  | (Span & { readonly kind: 'journal'; readonly about: string | null })
  | (Span & { readonly kind: 'calls' })

export interface Answers {
  readonly samples: readonly Sample[]
  readonly journal: readonly JournalLine[]
  readonly calls: readonly CallRecord[]
}

export function answer(db: Connection, question: Question): Answers[Question['kind']] {
  switch (question.kind) {
    case 'samples':
      return samplesOf(db, question)
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
function samplesOf(db: Connection, { signal, from, to, atMost }: Extract<Question, { kind: 'samples' }>) {
  const id = db.prepare<[string], number>('SELECT id FROM signals WHERE name = ?').pluck().get(signal)
  if (id === undefined || to <= from) return []
  const thinned = thinner(from, to, atMost)
  const rows = db.prepare<[number, number, number], ValueRow>(
    'SELECT t, value, words, quality FROM readings WHERE t >= ? AND t < ? AND signal_id = ? ORDER BY t, signal_id, source',
  )
  for (const row of rows.iterate(from, to, id))
    thinned.add({ at: epochMs(row.t), value: valueOf(row), quality: qualityOf(row.quality) })
  return thinned.result()
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
