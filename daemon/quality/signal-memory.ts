import type { Quality, ReadingValue } from '../readings/reading.js'
import type { EpochMs, Milliseconds } from '../units/time.js'

export interface Point {
  readonly at: EpochMs
  readonly value: number
}

/** What is remembered of one signal to judge its next reading. Plain data. */
export interface SignalMemory {
  /** Its silence counts from here until something usable comes: the start of the watch. */
  readonly watchedSince: EpochMs
  /** Whether anything ever arrived. */
  readonly heard: boolean
  /** Time of the newest reading that was judged (AL-17). */
  readonly newestAt: EpochMs | null
  /** The newest reading's time as the probe itself gave it: duplicates compare this (AL-45). */
  readonly newestOwn: EpochMs | null
  /** The last moment given to a reading that came without a usable time of its own. */
  readonly receiptAt: EpochMs | null
  readonly newestQuality: Quality | null
  readonly newestReasons: readonly string[]
  /** Last good or uncertain value: holds until stale (AL-16). */
  readonly usable: {
    readonly at: EpochMs
    readonly value: ReadingValue
    readonly quality: 'good' | 'uncertain'
  } | null
  readonly stale: boolean
  /** The last few usable numbers, oldest first: for spike, rate and flat line. */
  readonly recent: readonly Point[]
  readonly clock: ProbeClock
  /** Computed signals: when a value was last kept in the record. */
  readonly keptAt?: EpochMs
  /** Computed signals: the interval of the value and the level it counts down to. */
  readonly bounds?: {
    readonly low: number | null
    readonly high: number | null
    readonly limit: number | null
  } | null
  /** Computed signals: when an input becomes too old for the value to stand. */
  readonly agesAt?: EpochMs | null
}

/** What is known of the probe's own clock and path. */
export interface ProbeClock {
  readonly lastReceived: EpochMs | null
  readonly lastOwn: EpochMs | null
  /** How late its readings usually come; learnt from readings that keep pace with our clock. */
  readonly usualLag: Milliseconds
  /** How many readings in a row kept pace at another lag than the usual one. */
  readonly inPace: number
  /** Since when its times lie ahead of ours. */
  readonly aheadSince: EpochMs | null
  readonly fault: boolean
}

export const recentPoints = 24

export const unheard = (since: EpochMs): SignalMemory => ({
  watchedSince: since,
  heard: false,
  newestAt: null,
  newestOwn: null,
  receiptAt: null,
  newestQuality: null,
  newestReasons: [],
  usable: null,
  stale: false,
  recent: [],
  clock: {
    lastReceived: null,
    lastOwn: null,
    usualLag: 0 as Milliseconds,
    inPace: 0,
    aheadSince: null,
    fault: false,
  },
})
