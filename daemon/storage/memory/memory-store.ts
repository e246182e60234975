import { assert } from '../../errors.js'
import type { Clock } from '../../ports/clock.js'
import type { CallRecord, History, JournalLine, Sample } from '../../ports/history.js'
import type { Batch, OutboxEntry, OutboxOutcome, Recorder, Restored, StateDoc } from '../../ports/recorder.js'
import type { Reading, Source } from '../../readings/reading.js'
import { epochMs, type EpochMs } from '../../units/time.js'
import { thinner } from '../thin.js'

export interface MemoryStore {
  readonly recorder: Recorder
  readonly history: History
}

/**
 * The store of a rehearsal, a drill or a test: keeps the promises of `Recorder` and `History` except the one about
 * power cuts, and lasts as long as the object. `close` forgets nothing: the next watch may `restore` from it.
 */
export function memoryStore(clock: Clock): MemoryStore {
  const kept: Kept = { readings: new Map(), journal: [], docs: new Map(), calls: new Map() }
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

function historyOf(kept: Kept): History {
  return {
    samples: async (signal, from, to, atMost) => {
      const thinned = thinner(from, to, atMost)
      const ofSignal = [...(kept.readings.get(signal)?.values() ?? [])].filter(within(from, to))
      for (const reading of ofSignal.sort(byTime)) thinned.add(sampleOf(reading))
      return thinned.result()
    },
    journal: async (from, to, atMost, about) => {
      const lines = kept.journal
        .filter(within(from, to))
        .filter((line) => about === undefined || line.about === about)
      return newest(
        lines.sort((one, other) => one.at - other.at || one.seq - other.seq),
        atMost,
      )
    },
    calls: async (from, to, atMost) => {
      const calls = [...kept.calls.values()].filter(within(from, to))
      return newest(
        calls.sort((one, other) => one.at - other.at || one.id - other.id),
        atMost,
      )
    },
    close: async () => undefined,
  }
}

interface Kept {
  /** By signal, then by time and source. */
  readonly readings: Map<string, Map<string, Reading>>
  readonly journal: JournalLine[]
  readonly docs: Map<string, StateDoc>
  readonly calls: Map<number, CallRecord>
}

function apply(kept: Kept, batch: Batch): void {
  // Refused before anything is touched, so that nothing of a failed batch is kept.
  for (const entry of batch.outbox) assertSameCall(kept.calls.get(entry.id), entry)
  for (const reading of batch.readings) insertReading(kept, reading)
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

function insertReading(kept: Kept, reading: Reading): void {
  const ofSignal = kept.readings.get(reading.signal) ?? new Map<string, Reading>()
  kept.readings.set(reading.signal, ofSignal)
  const at = epochMs(Math.round(reading.at))
  const key = `${at} ${reading.source}`
  if (ofSignal.has(key)) return
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
    lastCommit,
  }
}

/** As it would come back from a file: whoever changes his own afterwards changes nothing here. */
const copy = (doc: unknown): unknown => JSON.parse(JSON.stringify(doc ?? null)) as unknown
const keyOf = (kind: string, id: string): string => JSON.stringify([kind, id])
const sampleOf = ({ at, value, quality }: Reading): Sample => ({ at, value, quality })
const sourceOrder: readonly Source[] = ['probe', 'book', 'computed']
const byTime = (one: Reading, other: Reading): number =>
  one.at - other.at || sourceOrder.indexOf(one.source) - sourceOrder.indexOf(other.source)
const within =
  (from: EpochMs, to: EpochMs) =>
  ({ at }: { readonly at: EpochMs }): boolean =>
    at >= from && at < to
const newest = <Line>(lines: readonly Line[], atMost: number): readonly Line[] =>
  atMost < 1 ? [] : lines.slice(-Math.floor(atMost))
