import type { Correction } from '../readings/correction.js'
import type { Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'

/** A piece of the watch's own memory: alarm states, running ladders, counters. `doc` is plain JSON. */
export interface StateDoc {
  /** `alarm`, `run`, `attempt`, `house`, … */
  readonly kind: string
  readonly id: string
  readonly doc: unknown
}

/** One line of the append-only journal (AL-30): every transition, act, message, outcome, verdict, change. */
export interface JournalRow {
  readonly at: EpochMs
  /** What kind of line: the `event` word of contract 9, or a word of the shell's own (`started`, `stopped`, `store`, …). */
  readonly event: string
  /** The alarm or the thing it is about, for the index; null if none. */
  readonly about: string | null
  readonly doc: unknown
}

/** A call to be made: written before it is made. */
export interface OutboxEntry {
  /** Unique for ever: `<number of the call>`. */
  readonly id: number
  readonly at: EpochMs
  readonly channel: string
  readonly to: string
  readonly doc: unknown
}

export interface OutboxOutcome {
  readonly id: number
  readonly at: EpochMs
  readonly outcome: 'accepted' | 'delivered' | 'temporary' | 'permanent'
  readonly detail: string
}

/** Computed values of the past, computed anew. */
export interface ComputedAnew {
  /** No longer so, and not replaced at that moment. */
  readonly gone: readonly { readonly signal: SignalName; readonly at: EpochMs }[]
  /** All of `source: 'computed'`; each takes the place of the one of its signal and moment. */
  readonly readings: readonly Reading[]
}

/**
 * What one turn of the watch changes; all of it is committed together or not at all. Times are whole milliseconds.
 * Deletes come before upserts. Of an outbox entry the first outcome stays, except that `accepted` may become another.
 */
export interface Batch {
  readonly readings: readonly Reading[]
  readonly journal: readonly JournalRow[]
  readonly upserts: readonly StateDoc[]
  readonly deletes: readonly { readonly kind: string; readonly id: string }[]
  readonly outbox: readonly OutboxEntry[]
  readonly outcomes: readonly OutboxOutcome[]
  readonly computedAnew?: ComputedAnew
  /** New ones, or known ones (by `id`) that were taken back. */
  readonly corrections?: readonly Correction[]
}

/**
 * Where the watch's turns go. `commit` returns only when the batch would survive a power cut, and throws a Fault
 * (`BW_STORE`) when it would not; nothing of a failed batch is kept. Readings already there (same signal, same time,
 * same source) are passed over silently, so a batch may be committed again; a computed one takes the place of the one
 * that is there, since the last of a moment was made from everything of that moment.
 */
export interface Recorder {
  commit(batch: Batch): void
  /** Everything needed to go on after a restart. */
  restore(): Restored
  close(): void
}

export interface Restored {
  readonly docs: readonly StateDoc[]
  /** Newest stored reading of every signal. */
  readonly newest: readonly Reading[]
  /** Outbox entries without a final outcome, oldest first. */
  readonly pending: readonly OutboxEntry[]
  /** Every correction ever made, also those taken back, oldest first. */
  readonly corrections: readonly Correction[]
  /** When the last batch was committed, after a crash perhaps ten seconds too early; null on a new store. */
  readonly lastCommit: EpochMs | null
}
