import { inHours, type InHours } from '../units/brands.js'
import { coldHouse, courseOf, type HouseFigures, type Outlook, type Side } from './cold-figures.js'
import { hoursUntilCold, type ColdLimit } from './hours-until-cold.js'
import type { BodyTemperatures } from './two-bodies.js'
import type { UntilTemperature } from './water-temperature.js'

/** When it gets too cold without heat. */
export interface ColdForecast {
  readonly usual: UntilTemperature
  /** The truth lies between these four times out of five; null where it may never come so far. Unit: h. */
  readonly low: InHours | null
  readonly high: InHours | null
}

/**
 * Time until water or air reaches the limit if all heat stops now, with its 80 % interval from what the configuration
 * cannot know (`cold-figures.ts`). No sun is counted: by day it comes later. Null where `hoursUntilCold` is.
 * @source HT-18
 */
export function foreseeCold(
  figures: HouseFigures,
  start: BodyTemperatures,
  limit: ColdLimit,
  outlook: Outlook,
): ColdForecast | null {
  const on = (side: Side): UntilTemperature | null => {
    const house = coldHouse(figures, limit.of, side)
    return house === null ? null : hoursUntilCold(house, start, limit, courseOf(outlook, side))
  }
  const [soon, usual, late] = [on('soon'), on('usual'), on('late')]
  if (soon === null || usual === null || late === null) return null
  // Where air is warmer than the water, what usually hastens may delay: the ends are put in order.
  const all = [soon, usual, late].map(hoursOf)
  return { usual, low: bound(Math.min(...all)), high: bound(Math.max(...all)) }
}

const hoursOf = (until: UntilTemperature): number =>
  until.kind === 'never' ? Number.POSITIVE_INFINITY : until.kind === 'now' ? 0 : until.hours

const bound = (hours: number): InHours | null => (Number.isFinite(hours) ? inHours(hours) : null)
