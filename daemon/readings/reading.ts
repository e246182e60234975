import type { EpochMs } from '../units/time.js'
import type { SignalName } from './signal.js'

/** OPC UA's three severities (OPC 10000-4 v1.05, 7.39), worst last. */
export const qualities = ['good', 'uncertain', 'bad'] as const
export type Quality = (typeof qualities)[number]

/** The worse of two qualities: what a value made from both may claim at most. */
export const worse = (a: Quality, b: Quality): Quality =>
  qualities.indexOf(a) >= qualities.indexOf(b) ? a : b

/** A number in the signal's canonical unit, or words (a UPS's status) for signals of words. */
export type ReadingValue = number | string

/** By which door a value came in. */
export type Source = 'probe' | 'book' | 'computed'

/**
 * What arrived for a signal, decoded and converted to the signal's canonical unit, not yet judged.
 * `value` is null when the probe said that it has none, or sent what is no number; `why` then says which.
 */
export interface Arrival {
  readonly signal: SignalName
  readonly value: ReadingValue | null
  /** The probe's own time, if it sent one. */
  readonly measuredAt: EpochMs | null
  /** The quality that the sender claims; 'good' if it says nothing. */
  readonly claimed: Quality
  readonly retained: boolean
  readonly source: Source
  readonly why?: string
  /** Who entered it, for `source: 'book'`. */
  readonly by?: string
}

/** A judged value of a signal at a time. */
export interface Reading {
  readonly signal: SignalName
  /** Measured at (phenomenon time, SOSA); the receipt time when the probe gives none or is ahead of us. */
  readonly at: EpochMs
  readonly received: EpochMs
  readonly value: ReadingValue | null
  readonly quality: Quality
  /** In words, worst first; empty for a good reading. */
  readonly reasons: readonly string[]
  readonly source: Source
  /** Too late to be judged as if it were now (AL-17): stored and shown only. */
  readonly historical: boolean
}
