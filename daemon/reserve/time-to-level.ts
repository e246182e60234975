import { minutesWithReaeration } from '../chemistry/oxygen-minutes.js'
import { milligramsPerLitre, milligramsPerLitreHour, perHour } from '../units/brands.js'

/** A figure and how far the truth may lie from it: one standard deviation of its logarithm. */
export interface Guess {
  readonly value: number
  readonly logDeviation: number
}

/** A tank on its way down. Concentrations in mg/L, demand in mg/(L.h), coefficient in 1/h. */
export interface Course {
  readonly oxygen: number
  readonly oxygenDeviation: number
  readonly critical: number
  /**
   * What takes the oxygen away: all that breathes, or, where only the course itself is known, how fast it falls now with
   * what air there is.
   */
  readonly pull: { readonly kind: 'demand' | 'fall' } & Guess
  /** Water in balance with the air. */
  readonly saturation: number
  /** How fast the water still takes up air. */
  readonly transfer: Guess
}

/** Minutes, with the interval in which the truth lies four times out of five; null where it is never reached. */
export interface TimeToLevel {
  readonly minutes: number | null
  readonly low: number | null
  readonly high: number | null
  /** Where the oxygen settles when it is never reached, mg/L. */
  readonly settlesAt: number | null
}

/** Four fifths of a normal distribution lie within so many standard deviations. */
const fourFifths = 1.2816

/**
 * Time until the critical oxygen, dC/dt = k (Cs - C) - R, and how sure it is: each guess is moved by one standard
 * deviation, and what that does to the logarithm of the time is added up as if they were independent.
 * @source mass balance, well mixed (OX-10); error propagation of the first order
 */
export function timeToLevel(course: Course): TimeToLevel {
  const middle = minutesOf(course, 0, 0, 0)
  if (middle.minutes === 0) return { minutes: 0, low: 0, high: 0, settlesAt: null }
  const early = minutesOf(course, fourFifths, -fourFifths, -fourFifths)
  if (middle.minutes === null)
    return { minutes: null, low: early.minutes, high: null, settlesAt: middle.settlesAt }
  const moved = [
    [minutesOf(course, 1, 0, 0), minutesOf(course, -1, 0, 0)],
    [minutesOf(course, 0, -1, 0), minutesOf(course, 0, 1, 0)],
    [minutesOf(course, 0, 0, -1), minutesOf(course, 0, 0, 1)],
  ] as const
  const base = Math.log(middle.minutes)
  const sooner = moved.map(([one]) => base - Math.log(Math.max(one.minutes ?? 0, 1e-3)))
  const later = moved.map(([, one]) => (one.minutes === null ? Infinity : Math.log(one.minutes) - base))
  const high = middle.minutes * Math.exp(fourFifths * Math.hypot(...later))
  return {
    minutes: middle.minutes,
    low: middle.minutes * Math.exp(-fourFifths * Math.hypot(...sooner)),
    high: Number.isFinite(high) ? high : null,
    settlesAt: null,
  }
}

function minutesOf(
  { oxygen, oxygenDeviation, critical, pull, saturation, transfer }: Course,
  moreDemand: number,
  moreTransfer: number,
  moreOxygen: number,
): { minutes: number | null; settlesAt: number | null } {
  const now = Math.max(0, oxygen + moreOxygen * oxygenDeviation)
  const coefficient = transfer.value * Math.exp(moreTransfer * transfer.logDeviation)
  const pulled = pull.value * Math.exp(moreDemand * pull.logDeviation)
  const demand = pull.kind === 'demand' ? pulled : Math.max(0, pulled + coefficient * (saturation - now))
  const until = minutesWithReaeration(
    { oxygen: milligramsPerLitre(now), critical: milligramsPerLitre(critical) },
    milligramsPerLitreHour(demand),
    { saturation: milligramsPerLitre(saturation), coefficient: perHour(coefficient) },
  )
  switch (until?.kind) {
    case 'in':
      return { minutes: until.minutes, settlesAt: null }
    case 'never':
      return { minutes: null, settlesAt: until.settlesAt }
    case 'now':
    case undefined:
      return { minutes: 0, settlesAt: null }
  }
}
