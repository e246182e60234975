import { celsius, type Celsius, type InHours } from '../units/brands.js'

/** How the air outdoors is expected to go: to its minimum, and back by the same time tomorrow, day after day. */
export interface OutsideCourse {
  readonly now: Celsius
  readonly lowest: Celsius
  /** Hours from now until the minimum, up to 24; null where it stays as it is. */
  readonly hoursUntilLowest: InHours | null
}

/** Air that stays as it is. */
export const steadyOutside = (now: Celsius): OutsideCourse => ({ now, lowest: now, hoursUntilLowest: null })

/**
 * The air outdoors `span` from now: it falls with the square root of time, as on calm nights, and rises evenly. Unit: degC.
 * @source square root of the time since sunset: Snyder & de Melo-Abreu (2005) Frost Protection, vol. 1 (from memory); the
 * way back is common practice
 */
export function outsideAfter({ now, lowest, hoursUntilLowest }: OutsideCourse, span: InHours): Celsius {
  if (hoursUntilLowest === null || hoursUntilLowest <= 0 || hoursUntilLowest >= 24) return now
  const hour = span % 24
  const share =
    hour <= hoursUntilLowest ? Math.sqrt(hour / hoursUntilLowest) : (24 - hour) / (24 - hoursUntilLowest)
  return celsius(now + (lowest - now) * share)
}

/** K by which the night's air falls in an hour, where nobody forecasts it: usual, hardly, and on clear nights. */
export interface NightFall {
  readonly usual: number
  readonly low: number
  readonly high: number
}

/**
 * Ten clear, calm nights fell by 5.8 to 8.9 K from two hours after sunset to the minimum, 0.7 K an hour; covered nights
 * hardly fall (0.1, common practice). Cold nights are more often clear: the middle is taken.
 * @source Snyder & de Melo-Abreu (2005) Frost Protection, vol. 1, FAO: data of the radiation-frost example (HT-17)
 */
export const nightFall: NightFall = { usual: 0.4, low: 0.1, high: 0.8 }

/** A night is taken to be no longer than this, hours: in the far north it does not get colder for ever. */
export const longestNight = 14
