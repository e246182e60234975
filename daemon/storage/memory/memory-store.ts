import { assert } from '../../errors.js'
import type { Clock } from '../../ports/clock.js'
import type { CallRecord, History } from '../../ports/history.js'
import type { Batch, OutboxEntry, OutboxOutcome, Recorder, Restored } from '../../ports/recorder.js'
import type { Reading } from '../../readings/reading.js'
import { epochMs, type EpochMs } from '../../units/time.js'
import type { Kept } from './kept.js'
import { bySource, historyOf } from './memory-history.js'

export interface MemoryStore {
  readonly recorder: Recorder
  readonly history: History
}

/**
 * The store of a rehearsal, a drill or a test: keeps the promises of `Recorder` and `History` except the one about
 * power cuts, and lasts as long as the object. `close` forgets nothing: the next watch may `restore` from it.
 */
export function memoryStore(clock: Clock): MemoryStore {
  const kept: Kept = {
    readings: new Map(),
    journal: [],
    docs: new Map(),
    calls: new Map(),
    corrections: new Map(),
  }
  let lastCommit: EpochMs | null = null
  const recorder: Recorder = {
    commit: (batch) => {
      apply(kept, batch)
      lastCommit = clock.now()
    },
    restore: () => restore(kept, lastCommit),
    close: () => undefined,
  }
  return { recorder, history: historyOf(kept) }
}

function apply(kept: Kept, batch: Batch): void {
  // Refused before anything is touched, so that nothing of a failed batch is kept.
  for (const entry of batch.outbox) assertSameCall(kept.calls.get(entry.id), entry)
  for (const { signal, source } of batch.computedAnew?.readings ?? [])
    assert(source === 'computed', `${signal}: only computed readings are replaced`)
  for (const reading of batch.readings) insertReading(kept, reading)
  for (const reading of batch.computedAnew?.readings ?? []) insertReading(kept, reading)
  for (const { signal, at } of batch.computedAnew?.gone ?? [])
    kept.readings.get(signal)?.delete(readingKey({ at, source: 'computed' }))
  for (const one of batch.corrections ?? []) {
    const known = kept.corrections.get(one.id)
    kept.corrections.set(one.id, known === undefined ? one : { ...known, undone: one.undone })
  }
  for (const row of batch.journal)
    kept.journal.push({ seq: kept.journal.length + 1, ...row, doc: copy(row.doc) })
  for (const { kind, id } of batch.deletes) kept.docs.delete(keyOf(kind, id))
  for (const { kind, id, doc } of batch.upserts) kept.docs.set(keyOf(kind, id), { kind, id, doc: copy(doc) })
  for (const entry of batch.outbox) if (!kept.calls.has(entry.id)) kept.calls.set(entry.id, newCall(entry))
  for (const outcome of batch.outcomes) noteOutcome(kept, outcome)
}

const assertSameCall = (there: CallRecord | undefined, { id, doc }: OutboxEntry): void =>
  assert(
    there === undefined || JSON.stringify(there.doc) === JSON.stringify(copy(doc)),
    `outbox: call ${id} is there already, with other words`,
  )

const readingKey = ({ at, source }: Pick<Reading, 'at' | 'source'>): string => `${Math.round(at)} ${source}`

function insertReading(kept: Kept, reading: Reading): void {
  const ofSignal = kept.readings.get(reading.signal) ?? new Map<string, Reading>()
  kept.readings.set(reading.signal, ofSignal)
  const at = epochMs(Math.round(reading.at))
  const key = readingKey(reading)
  if (ofSignal.has(key) && reading.source !== 'computed') return
  const { value } = reading
  ofSignal.set(key, {
    ...reading,
    at,
    received: epochMs(Math.round(reading.received)),
    value: typeof value === 'number' && !Number.isFinite(value) ? null : value,
    reasons: [...reading.reasons],
  })
}

const newCall = (entry: OutboxEntry): CallRecord => ({
  ...entry,
  doc: copy(entry.doc),
  outcome: null,
  outcomeAt: null,
  detail: null,
})

function noteOutcome(kept: Kept, { id, at, outcome, detail }: OutboxOutcome): void {
  const call = kept.calls.get(id)
  if (call === undefined || (call.outcome !== null && call.outcome !== 'accepted')) return
  kept.calls.set(id, { ...call, outcome, outcomeAt: at, detail })
}

function restore(kept: Kept, lastCommit: EpochMs | null): Restored {
  const pending = [...kept.calls.values()].filter((call) => call.outcome === null)
  return {
    docs: [...kept.docs.values()].map(({ kind, id, doc }) => ({ kind, id, doc: copy(doc) })),
    newest: [...kept.readings.values()].flatMap((ofSignal) => [...ofSignal.values()].sort(byTime).slice(-1)),
    pending: pending
      .sort((one, other) => one.id - other.id)
      .map(({ id, at, channel, to, doc }) => ({ id, at, channel, to, doc: copy(doc) })),
    corrections: [...kept.corrections.values()].sort((one, other) => one.id - other.id),
    lastCommit,
  }
}

/** As it would come back from a file: whoever changes his own afterwards changes nothing here. */
const copy = (doc: unknown): unknown => JSON.parse(JSON.stringify(doc ?? null)) as unknown
const keyOf = (kind: string, id: string): string => JSON.stringify([kind, id])
const byTime = (one: Reading, other: Reading): number => one.at - other.at || bySource(one, other)
