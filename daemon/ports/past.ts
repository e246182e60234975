import type { Correction, KnownPoint } from '../readings/correction.js'
import type { EpochMs } from '../units/time.js'

/** A keeper found that a probe had been off. Points in the signal's canonical unit. */
export interface CorrectionWish {
  readonly signal: string
  readonly from: EpochMs
  /** Null: until now. */
  readonly to: EpochMs | null
  readonly points: readonly KnownPoint[]
  readonly by: string
  readonly why: string
}

/** A span of computed values that is to be computed anew. */
export interface RecomputeWish {
  /** Computed signals; `*` and `?` stand for letters within one part. */
  readonly signals: string
  readonly from: EpochMs
  readonly to: EpochMs
  readonly by: string
}

/** How far the recomputation of a span has come. */
export interface Recomputation {
  readonly id: number
  /** The signal whose readings changed, or the pattern that was asked for. */
  readonly of: string
  readonly from: EpochMs
  readonly to: EpochMs
  /** Everything before this was computed anew. */
  readonly doneUntil: EpochMs
  readonly finished: boolean
  /** How many computed values are different now, new ones and those gone included. */
  readonly changed: number
}

/**
 * The door to what can still be changed about the past: how a probe's readings are to be read, and what is computed from
 * them. Everything is on disk when a call returns; what follows is computed in small slices by and by.
 */
export interface Past {
  /** Throws BW_CALC or BW_STORE. */
  correct(wish: CorrectionWish): { readonly correction: Correction; readonly recomputation: Recomputation }
  /** Throws BW_CALC when there is no such correction in force. */
  undo(
    id: number,
    reason: { readonly by: string; readonly why: string },
  ): { readonly correction: Correction; readonly recomputation: Recomputation }
  /** Every correction ever made, also those taken back, oldest first. */
  corrections(): readonly Correction[]
  /** Throws BW_CALC when the span or the pattern means nothing. */
  recompute(wish: RecomputeWish): Recomputation
  /** What waits, runs or was finished lately, oldest first. */
  recomputations(): readonly Recomputation[]
}
