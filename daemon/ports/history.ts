import type { Quality, ReadingValue } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'

export interface Sample {
  readonly at: EpochMs
  readonly value: ReadingValue | null
  readonly quality: Quality
}

export interface JournalLine {
  readonly seq: number
  readonly at: EpochMs
  readonly event: string
  readonly about: string | null
  readonly doc: unknown
}

/** One call as it was made and what became of it. */
export interface CallRecord {
  readonly id: number
  readonly at: EpochMs
  readonly channel: string
  readonly to: string
  readonly doc: unknown
  readonly outcome: string | null
  readonly outcomeAt: EpochMs | null
  readonly detail: string | null
}

/**
 * Reads what was recorded; never on the watch's own thread where that could take long. Spans are half-open, by `at`;
 * answers are in order of time. Of more than `atMost` lines or calls the newest are given.
 */
export interface History {
  /** More than `atMost` (3 or more) are thinned so that lows, highs and bad ones stay; see `storage/thin.ts`. */
  samples(signal: SignalName, from: EpochMs, to: EpochMs, atMost: number): Promise<readonly Sample[]>
  /** With `about`, only the lines about that alarm or thing. */
  journal(from: EpochMs, to: EpochMs, atMost: number, about?: string): Promise<readonly JournalLine[]>
  calls(from: EpochMs, to: EpochMs, atMost: number): Promise<readonly CallRecord[]>
  close(): Promise<void>
}
