import type { FarmPlan, Place, PlaceKind } from '../farm/plan.js'
import type { EpochMs } from '../units/time.js'
import type { DerivationInput, Told } from './derivation.js'

/** What the equipment says about a place: whether air is blown in and water runs through. */
export interface Supply {
  /** 'none': nothing is declared that does it. */
  readonly air: 'running' | 'lost' | 'unknown' | 'none'
  readonly water: 'running' | 'lost' | 'unknown' | 'none'
}

/** What an estimation is given each time. */
export interface Seen<Values = Readonly<Record<string, number | null>>> {
  readonly at: EpochMs
  readonly values: Values
  readonly supply: Supply
  /** Whether a new reading of what it lives on is among the values; else only time or the equipment has moved on. */
  readonly heard: boolean
}

/** One quantity that an estimation gives. */
export interface Given {
  readonly quantity: string
  readonly equation: string
  readonly source: string
}

/** What came of it, by quantity: a value, or in words why there is none. */
export type Answers = Readonly<Record<string, number | Told | string>>

/**
 * Quantities that follow not from the newest values alone but from their course: it has a memory, which takes in every
 * reading of the signal it lives on.
 */
export interface Estimation {
  readonly name: string
  /** The input whose readings it follows. */
  readonly livesOn: string
  readonly gives: readonly Given[]
  readonly places: readonly PlaceKind[]
  readonly inputs: readonly (readonly [name: string, input: DerivationInput])[]
  /** Null where the configuration does not say enough. */
  readonly at: (plan: FarmPlan, place: Place) => Estimator | null
}

/** An estimation at one place. Memories are plain data and opaque to all others. */
export interface Estimator {
  readonly begin: (at: EpochMs, kept: unknown) => unknown
  readonly step: (
    memory: unknown,
    seen: Seen,
  ) => { readonly memory: unknown; readonly answers: Answers; readonly learnt: boolean }
  /** The part that is worth keeping over a restart. */
  readonly keep: (memory: unknown) => unknown
}
