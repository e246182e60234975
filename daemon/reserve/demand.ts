import { between, days, type EpochMs } from '../units/time.js'
import type { Guess } from './time-to-level.js'

/**
 * What has been learnt of how much a tank breathes: by which factor more or less than its species, mass and feed let
 * one expect, and how well its aeration replaces that. Both are logarithms with a variance, so that factors of two up and
 * down are alike and nothing goes below zero. Plain data.
 */
export interface LearntDemand {
  /** Of the factor; 0 and the variance of mere expectation until a draw-down was seen. */
  readonly factor: Estimate
  /** Transfer coefficient of the running air at 20 Cel, 1/h; null until the air was seen to stop. */
  readonly air: Estimate | null
  readonly seen: Seen
}

export interface Estimate {
  readonly log: number
  readonly variance: number
  readonly at: EpochMs
}

/** Draw-downs that taught something. */
export interface Seen {
  readonly drawDowns: number
  readonly last: EpochMs | null
}

/** Fed fish breathe 1.1 to 2.4 times what resting metabolism says (OX-1 against OX-2): a factor of 1.6 up or down. */
const expectationVariance = 0.45 ** 2
/** Meals, rest and restlessness within a day: a fifth up or down (common practice). */
const dayVariance = 0.18 ** 2
/** Stock grows, stones clog: what was learnt is as good as nothing after some three months (common practice). */
const forgetting = { factor: expectationVariance / days(90), air: 0.5 ** 2 / days(90) } as const

export const nothingLearnt = (at: EpochMs): LearntDemand => ({
  factor: { log: 0, variance: expectationVariance, at },
  air: null,
  seen: { drawDowns: 0, last: null },
})

const aged = (estimate: Estimate, at: EpochMs, forget: number, most: number): Estimate => ({
  log: estimate.log,
  variance: Math.min(most, estimate.variance + forget * Math.max(0, between(estimate.at, at))),
  at,
})

/** Two opinions on one figure, weighed by their variances. */
function weighed(one: Estimate, log: number, variance: number): Estimate {
  const share = one.variance / (one.variance + variance)
  return { log: one.log + share * (log - one.log), variance: (1 - share) * one.variance, at: one.at }
}

/** A demand (mg/(L.h)) that was seen while `expected` was to be expected. */
export interface SeenDemand {
  readonly at: EpochMs
  readonly demand: Guess
  readonly expected: number
}

/** Learns from one draw-down; `before` is what was known when it began, so that it counts once however long it lasts. */
export function learnDemand(before: LearntDemand, { at, demand, expected }: SeenDemand): LearntDemand {
  const known = aged(before.factor, at, forgetting.factor, expectationVariance)
  // One draw-down at one hour says little of other hours.
  const variance = demand.logDeviation ** 2 + dayVariance
  return {
    ...before,
    factor: weighed(known, Math.log(demand.value / expected), variance),
    seen: { drawDowns: before.seen.drawDowns + 1, last: at },
  }
}

/** How well the air had replaced it until then: demand over the deficit that it held, at 20 Cel. 1/h */
export function learnAir(before: LearntDemand, at: EpochMs, coefficient: Guess): LearntDemand {
  const log = Math.log(coefficient.value)
  const variance = coefficient.logDeviation ** 2
  if (before.air === null) return { ...before, air: { log, variance, at } }
  return { ...before, air: weighed(aged(before.air, at, forgetting.air, 1), log, variance) }
}

/** What is to be expected of the tank at any hour. */
export function demandToExpect(learnt: LearntDemand, at: EpochMs, expected: number): Guess {
  const factor = aged(learnt.factor, at, forgetting.factor, expectationVariance)
  return {
    value: expected * Math.exp(factor.log),
    logDeviation: Math.sqrt(factor.variance + dayVariance),
  }
}

/** The coefficient of the running air, 1/h at 20 Cel; null until it was learnt. */
export function airToExpect({ air }: LearntDemand, at: EpochMs): Guess | null {
  if (air === null) return null
  const now = aged(air, at, forgetting.air, 1)
  return { value: Math.exp(now.log), logDeviation: Math.sqrt(now.variance) }
}

/** One guess from two independent ones. */
export function together(one: Guess, other: Guess | null): Guess {
  if (other === null) return one
  const [a, b] = [one.logDeviation ** 2, other.logDeviation ** 2]
  const log = (Math.log(one.value) * b + Math.log(other.value) * a) / (a + b)
  return { value: Math.exp(log), logDeviation: Math.sqrt((a * b) / (a + b)) }
}
