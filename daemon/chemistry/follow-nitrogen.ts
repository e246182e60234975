import { inHours, milligramsPerLitreAsN, type GramsPerSquareMetreDay, type InHours } from '../units/brands.js'
import { between, days, hours, type EpochMs } from '../units/time.js'
import { firstBelief, learnPace, paceBelow, type PaceBelief } from './nitrifier-pace.js'
import {
  forecastNitrogen,
  nitrogenHorizon,
  oneDay,
  type DissolvedNitrogen,
  type NitrogenLoop,
} from './nitrogen-forecast.js'

// The forecast of one loop, and what its own ammonia and nitrite have taught about its filter. Both swing with the meals,
// often by more than a factor of two: what is carried on is the mean of a day, and the hour's share of it is put back.

/** Plain data. */
export interface NitrogenMemory {
  readonly ammonia: PaceBelief
  readonly nitrite: PaceBelief
  /** Of the last day, at least an hour apart, oldest first. */
  readonly recent: readonly NitrogenSeen[]
  /** The mean from which the next lesson is counted. */
  readonly last: NitrogenSeen | null
}

export interface NitrogenSeen extends DissolvedNitrogen {
  readonly at: EpochMs
}

/** What is known of a loop without its filter's pace. */
export type LoopFigures = Omit<NitrogenLoop, 'pace'>

export const noNitrogen: NitrogenMemory = {
  ammonia: firstBelief,
  nitrite: firstBelief,
  recent: [],
  last: null,
}

/** A lesson a day; after a week a measurement says nothing of the next. */
const [lesson, tooLong] = [hours(24), days(7)]
const apart = hours(1)

/** Takes in what was measured: how fast ammonia goes, and how fast nitrite does. */
export function followNitrogen(
  before: NitrogenMemory,
  now: NitrogenSeen,
  figures: LoopFigures,
): NitrogenMemory {
  const newest = before.recent.at(-1)
  if (newest !== undefined && between(newest.at, now.at) < apart) return before
  const recent = [...before.recent.filter(({ at }) => between(at, now.at) < days(1)), now]
  const memory = { ...before, recent }
  const mean = meanOf(memory, now)
  const { last } = memory
  if (last === null) return { ...memory, ...firstLesson(memory, now, figures), last: mean }
  const elapsed = between(last.at, now.at)
  if (elapsed < lesson) return memory
  if (elapsed > tooLong) return { ...memory, ...firstLesson(memory, now, figures), last: mean }
  const ahead = inHours(elapsed / hours(1))
  return {
    ...memory,
    ...lessonOf(memory, { from: last, to: mean, ahead, doubt: ofFeed }, figures),
    last: mean,
  }
}

/** How much the feed of two days differs, and what the hour makes of one measurement: shares of it (common practice). */
const [ofFeed, ofHour] = [0.2, 0.5]

/** The first measurement: a loop that has been fed for long stands near where it settles. */
const firstLesson = (memory: NitrogenMemory, now: NitrogenSeen, figures: LoopFigures) =>
  lessonOf(memory, { from: now, to: now, ahead: inHours(nitrogenHorizon[1]), doubt: ofHour }, figures)

interface Lesson {
  readonly from: NitrogenSeen
  readonly to: NitrogenSeen
  readonly ahead: InHours
  readonly doubt: number
}

function lessonOf(
  memory: NitrogenMemory,
  { from, to, ahead, doubt }: Lesson,
  figures: LoopFigures,
): Pick<NitrogenMemory, 'ammonia' | 'nitrite'> {
  const elapsed = between(from.at, to.at)
  const foretold = (pace: NitrogenLoop['pace'], of: 'ammonia' | 'nitrite'): number | null =>
    forecastNitrogen({ ...figures, pace }, from, ahead)?.[of] ?? null
  const ammonia = learnPace(memory.ammonia, { value: to.ammonia, doubt }, elapsed, (pace) =>
    foretold({ ammonia: pace, nitrite: pace }, 'ammonia'),
  )
  const usual = paceBelow(ammonia, 0.5)
  const nitrite = learnPace(memory.nitrite, { value: to.nitrite, doubt }, elapsed, (pace) =>
    foretold({ ammonia: usual, nitrite: pace }, 'nitrite'),
  )
  return { ammonia, nitrite }
}

/** Whether the last day was measured from one meal to the same of the next day. */
function isWholeDay({ recent }: NitrogenMemory): boolean {
  const [first, last] = [recent[0], recent.at(-1)]
  return (
    recent.length >= 4 && first !== undefined && last !== undefined && between(first.at, last.at) >= hours(17)
  )
}

/** Of the last day where it was measured throughout, else what is there now. */
function meanOf(memory: NitrogenMemory, now: NitrogenSeen): NitrogenSeen {
  if (!isWholeDay(memory)) return now
  const mean = (of: keyof DissolvedNitrogen) =>
    milligramsPerLitreAsN(
      memory.recent.reduce((sum, one) => sum + one[of], 0) / Math.max(1, memory.recent.length),
    )
  return { at: now.at, ammonia: mean('ammonia'), nitrite: mean('nitrite') }
}

/** A forecast, and the ends between which the truth lies four times out of five. Unit: mg/L as N. */
export interface Foretold {
  readonly value: number
  readonly low: number
  readonly high: number
}

/**
 * How much two days differ at the same hour, and what meals make of a single measurement: standard deviations of the
 * logarithm (common practice).
 */
const [betweenDays, withinDay] = [0.1, 0.4]

/**
 * Ammonia or nitrite in a day, at the same hour. Null where `forecastNitrogen` refuses.
 * @source NIT-14, with the paces that the memory believes in
 */
export function foretellNitrogen(
  of: 'ammonia' | 'nitrite',
  memory: NitrogenMemory,
  now: NitrogenSeen,
  figures: LoopFigures,
): Foretold | null {
  const { ammonia, nitrite } = memory
  const usual = paceBelow(ammonia, 0.5)
  const mean = meanOf(memory, now)
  const hourly = mean[of] > 0 ? now[of] / mean[of] : 1
  const after = (pace: GramsPerSquareMetreDay): number | null => {
    const both = of === 'ammonia' ? { ammonia: pace, nitrite: pace } : { ammonia: usual, nitrite: pace }
    const later = forecastNitrogen({ ...figures, pace: both }, mean, oneDay)
    return later === null ? null : later[of] * hourly
  }
  const belief = of === 'ammonia' ? ammonia : nitrite
  // The faster the bacteria, the less is left.
  const [least, value, most] = [0.9, 0.5, 0.1].map((share) => after(paceBelow(belief, share)))
  if (typeof least !== 'number' || typeof value !== 'number' || typeof most !== 'number') return null
  const scatter = toFourOfFive * (isWholeDay(memory) ? betweenDays : withinDay)
  const below = blurred(value - widened(value, least, -scatter))
  const above = blurred(widened(value, most, scatter) - value)
  return { value, low: Math.max(0, value - below), high: value + above }
}

/** Four results of five lie within so many standard deviations: the normal distribution. */
const toFourOfFive = 1.2816

/** An end of the interval, with another scatter beside that of the pace: squares of logarithms add up. */
function widened(value: number, end: number, scatter: number): number {
  if (value <= 0 || end <= 0) return end
  return value * Math.exp(Math.sign(scatter) * Math.hypot(Math.log(end / value), scatter))
}

/**
 * What no kit and few probes tell apart, mg/L as N, one standard deviation (common practice). Without it a result of
 * nothing would foretell nothing, and be sure of it.
 */
const leastTold = 0.05

/** How far an end of the interval lies from the value, with what the measurement itself could not see. */
const blurred = (away: number): number => Math.hypot(away, toFourOfFive * leastTold)
