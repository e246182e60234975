import type { Line, MessageLine, SwitchLine } from '../journal/line.js'
import type { Batch, JournalRow, OutboxEntry, OutboxOutcome, StateDoc } from '../ports/recorder.js'
import type { Reading } from '../readings/reading.js'
import type { EpochMs } from '../units/time.js'
import type { Effect } from './event.js'

/** What several turns of the watch have changed and is not on disk yet. Grows until it is committed as one. */
export interface PendingBatch {
  readonly readings: Reading[]
  readonly journal: JournalRow[]
  readonly outbox: OutboxEntry[]
  readonly outcomes: OutboxOutcome[]
  /** Latest state of each memory by `kind id`; null where it is gone. */
  readonly docs: Map<string, StateDoc | null>
  /** For those who are told after the commit. */
  readonly lines: Line[]
  readonly messages: MessageLine[]
  readonly switches: SwitchLine[]
  /** Messages acknowledged once this is safe. */
  readonly acknowledge: (() => void)[]
  /** Since when the oldest of it waits. */
  since: EpochMs | null
  /** Holds something that must not wait: a state, a call, an act. */
  urgent: boolean
}

export const emptyBatch = (): PendingBatch => ({
  readings: [],
  journal: [],
  outbox: [],
  outcomes: [],
  docs: new Map(),
  lines: [],
  messages: [],
  switches: [],
  acknowledge: [],
  since: null,
  urgent: false,
})

/** Adds what a turn gave: readings may wait a little, everything else is urgent. */
export function addEffects(batch: PendingBatch, effects: readonly Effect[], now: EpochMs): void {
  if (effects.length > 0) batch.since ??= now
  for (const effect of effects) {
    if (effect.event === 'reading') {
      batch.readings.push(effect.reading)
      continue
    }
    batch.lines.push(effect)
    if (effect.event === 'value') continue
    batch.urgent = true
    batch.journal.push(journalRow(effect))
    if (effect.event === 'message') {
      batch.messages.push(effect)
      batch.outbox.push({ id: effect.id, at: effect.at, channel: effect.by, to: effect.to, doc: effect })
    } else if (effect.event === 'delivery') {
      batch.outcomes.push({ id: effect.id, at: effect.at, outcome: effect.outcome, detail: effect.detail })
    } else if (effect.event === 'switch') batch.switches.push(effect)
  }
}

export function addDocs(
  batch: PendingBatch,
  changes: {
    readonly upserts: readonly StateDoc[]
    readonly deletes: readonly { kind: string; id: string }[]
  },
): void {
  for (const doc of changes.upserts) batch.docs.set(`${doc.kind} ${doc.id}`, doc)
  for (const { kind, id } of changes.deletes) batch.docs.set(`${kind} ${id}`, null)
}

/** The form in which the recorder takes it. */
export function toCommit(batch: PendingBatch): Batch {
  const upserts: StateDoc[] = []
  const deletes: { kind: string; id: string }[] = []
  for (const [name, doc] of batch.docs) {
    const cut = name.indexOf(' ')
    if (doc === null) deletes.push({ kind: name.slice(0, cut), id: name.slice(cut + 1) })
    else upserts.push(doc)
  }
  const { readings, journal, outbox, outcomes } = batch
  return { readings, journal, upserts, deletes, outbox, outcomes }
}

export const isEmpty = (batch: PendingBatch): boolean =>
  batch.since === null && batch.docs.size === 0 && batch.acknowledge.length === 0

function journalRow(line: Line): JournalRow {
  const about = 'alarm' in line && line.alarm !== undefined ? line.alarm : 'of' in line ? line.of : null
  if (line.event !== 'message') return { at: line.at, event: line.event, about, doc: line }
  // The facts stand with the call itself; the journal keeps what was said.
  const { facts: _facts, ...said } = line
  return { at: line.at, event: line.event, about, doc: said }
}
