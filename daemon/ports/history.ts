import type { Quality, ReadingValue, Source } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs, Milliseconds } from '../units/time.js'

export interface Sample {
  readonly at: EpochMs
  readonly value: ReadingValue | null
  readonly quality: Quality
}

/** A reading as computing needs it. */
export interface RecordedReading extends Sample {
  readonly signal: SignalName
  readonly source: Source
}

export interface Stretch {
  readonly readings: readonly RecordedReading[]
  /** Everything before this was given; the end of the span asked for, unless there was more than was wanted. */
  readonly to: EpochMs
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
 * answers are in order of time. Of more than `atMost` lines or calls the newest are given. Values are given as they are
 * to be read by the corrections in force (`readings/correction.ts`), except where "raw" is said.
 */
export interface History {
  /** More than `atMost` (3 or more) are thinned so that lows, highs and bad ones stay; see `storage/thin.ts`. */
  samples(signal: SignalName, from: EpochMs, to: EpochMs, atMost: number): Promise<readonly Sample[]>
  /** The same as the probe sent them. */
  rawSamples(signal: SignalName, from: EpochMs, to: EpochMs, atMost: number): Promise<readonly Sample[]>
  /**
   * All of several signals, of those of one moment in the order in which their signals were first recorded; the oldest
   * `atMost` and the rest of their last moment. What a broker had kept without a time of its own is left out: nobody
   * knows when it was measured.
   */
  readings(signals: readonly SignalName[], from: EpochMs, to: EpochMs, atMost: number): Promise<Stretch>
  /** The last one of each signal before a moment that is not bad, not computed and no older than `reach`. */
  usableBefore(
    signals: readonly SignalName[],
    before: EpochMs,
    reach: Milliseconds,
  ): Promise<readonly RecordedReading[]>
  /** With `about`, only the lines about that alarm or thing. */
  journal(from: EpochMs, to: EpochMs, atMost: number, about?: string): Promise<readonly JournalLine[]>
  calls(from: EpochMs, to: EpochMs, atMost: number): Promise<readonly CallRecord[]>
  close(): Promise<void>
}
