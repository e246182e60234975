import type { EpochMs, Milliseconds } from '../units/time.js'
import type { Quality } from './reading.js'
import type { SignalName } from './signal.js'

/** A computed value, and how it was computed. */
export interface Computed {
  readonly signal: SignalName
  readonly at: EpochMs
  /** In `unit`; null when it cannot be told (quality 'bad') or nothing is foreseen; `reasons` say why. */
  readonly value: number | null
  readonly unit: string
  /** 'bad' when it cannot be told; at most as good as the worst input. */
  readonly quality: Quality
  /** The truth lies between these four times out of five, where that is known; null for an end that nothing bounds. */
  readonly low: number | null
  readonly high: number | null
  /** The level that a forecast counts down to. */
  readonly limit: number | null
  readonly reasons: readonly string[]
  readonly inputs: readonly ComputedInput[]
  /** Id of the equation, as the catalogue has it. */
  readonly equation: string
  readonly source: string
  /** When an input becomes too old for this quality, so that it must be looked at again; null for never. */
  readonly until: EpochMs | null
}

/** What was used for one input. */
export interface ComputedInput {
  readonly name: string
  /** What a person calls it. */
  readonly label: string
  /** Null when nothing measures it and `assumed` says what was taken. */
  readonly signal: SignalName | null
  readonly value: number | null
  readonly unit: string
  /** How old the value was. */
  readonly age: Milliseconds | null
  readonly quality: Quality
  /** What was taken where nothing is measured: `fresh water`, `as in the configuration`. */
  readonly assumed: string | null
}
