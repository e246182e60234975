import { gramsPerSquareMetreDay, type GramsPerSquareMetreDay } from '../units/brands.js'
import { days, type Milliseconds } from '../units/time.js'
import { nitrifierPaces } from './nitrifiers.js'

// How fast the bacteria of one filter work, learnt from what ammonia did between two measurements: a belief over a row of
// paces, by Bayes' rule. A dead filter and one twice as good as any in the books are in the row.

/** Between two paces of the row a factor of 1.25; from 0.004 to 4 g N/(m2.d). */
const paceRow: readonly GramsPerSquareMetreDay[] = Array.from({ length: 32 }, (_, index) =>
  gramsPerSquareMetreDay(0.004 * 1.25 ** index),
)

/** How likely each pace of the row is; they add up to 1. Plain data. */
export type PaceBelief = readonly number[]

const { low, high } = nitrifierPaces
const centre = Math.log(low * high) / 2
/** The two ends hold four filters of five: 1.2816 standard deviations to either side. */
const spread = Math.log(high / low) / 2 / 1.2816
/** Filters that are new, poisoned or dry are in no book (common practice). */
const beyondBooks = 0.1

const normalised = (weights: readonly number[]): PaceBelief => {
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return weights.map((weight) => weight / total)
}

const byBooks = normalised(paceRow.map((pace) => Math.exp(-(((Math.log(pace) - centre) / spread) ** 2) / 2)))

/** What is believed of a filter that nobody has measured yet. @source `nitrifierPaces` */
export const firstBelief: PaceBelief = byBooks.map(
  (weight) => (1 - beyondBooks) * weight + beyondBooks / paceRow.length,
)

/** What is known of a filter is half forgotten after ten days (common practice: films grow and slough within weeks). */
const forgotten = days(14)
/** Results of kits and probes, mg/L (common practice). */
const kitError = 0.1

/** What was measured, mg/L as N, and how much of it may be chance: of the feed, of the hour. A share of it. */
export interface Measured {
  readonly value: number
  readonly doubt: number
}

/**
 * Takes in what was measured after `elapsed`; `foretold` says what a pace would have led to, null where it
 * cannot say.
 */
export function learnPace(
  belief: PaceBelief,
  seen: Measured,
  elapsed: Milliseconds,
  foretold: (pace: GramsPerSquareMetreDay) => number | null,
): PaceBelief {
  const kept = Math.exp(-elapsed / forgotten)
  const deviation = Math.hypot(kitError, seen.doubt * seen.value)
  const weights = paceRow.map((pace, index) => {
    const before = kept * (belief[index] ?? 0) + (1 - kept) * (firstBelief[index] ?? 0)
    const foreseen = foretold(pace)
    if (foreseen === null) return before
    // Squared beyond any doubt it would round to nothing for every pace.
    const off = Math.min(20, Math.abs(seen.value - foreseen) / deviation)
    return before * Math.exp(-(off ** 2) / 2)
  })
  return normalised(weights)
}

/** The pace that this share of the belief lies below (0 to 1), between two of the row in proportion. Unit: g N/(m2.d). */
export function paceBelow(belief: PaceBelief, share: number): GramsPerSquareMetreDay {
  let below = 0
  for (const [index, pace] of paceRow.entries()) {
    const weight = belief[index] ?? 0
    if (below + weight >= share && weight > 0)
      return gramsPerSquareMetreDay(pace * 1.25 ** ((share - below) / weight - 0.5))
    below += weight
  }
  return paceRow.at(-1) ?? nitrifierPaces.high
}

/** Whether kept data is a belief of this row. */
export const isBelief = (kept: unknown): kept is PaceBelief =>
  Array.isArray(kept) &&
  kept.length === paceRow.length &&
  kept.every((weight: unknown) => typeof weight === 'number' && weight >= 0 && Number.isFinite(weight)) &&
  kept.some((weight: unknown) => weight !== 0)
