import { celsius, type Celsius } from '../units/brands.js'
import { between, hours, minutes, type EpochMs } from '../units/time.js'
import { coldHouse, type HouseFigures } from './cold-figures.js'
import { hoursUntilCold } from './hours-until-cold.js'
import { steadyOutside } from './outside-course.js'

// How much warmth floor, benches and crop hold is what a keeper knows least. A house tells it whenever its heat pauses: the
// thermostat does that several times an hour. The steepest falls are those with the least heat left in them.

/** What is known of a house at one moment. */
export interface CoolingSample {
  readonly at: EpochMs
  readonly air: Celsius
  readonly water: Celsius
  readonly outside: Celsius
}

/** A fall under way, and how fast the last ones were. Plain data. */
export interface CoolingPace {
  /** The warmest since the last turn; null before anything was heard. */
  readonly peak: Celsius | null
  /** When it had fallen by what is left to the probe; null while it has not. */
  readonly top: CoolingSample | null
  /** When it first was as cold as it came; before a fall, the newest. */
  readonly bottom: CoolingSample | null
  /** Of the last falls, oldest first: their time as a multiple of the usual. */
  readonly falls: readonly { readonly at: EpochMs; readonly pace: number }[]
}

export const noCooling: CoolingPace = { peak: null, top: null, bottom: null, falls: [] }

/** K: what probes and draughts make of still air; a fall that tells something; and when it is long enough. */
const [noise, enough, longest] = [0.2, 0.7, hours(1)]
/** So many falls are remembered, and no longer (common practice: a house changes with its crop and its screens). */
const [remembered, outdated] = [12, hours(72)]
/** Multiples of the usual time that a house can be: 1.2 times beyond the spread of `cold-figures.ts`. */
const credible = [0.35, 2.5] as const

/**
 * Takes in what is known now; figures are those of the configuration. A fall counts when it turns, or after an hour; it is
 * timed between the first readings of two levels, so that neither a flat top nor the steps of the probe count. After 20
 * minutes without anything new it begins anew.
 */
export function followCooling(memory: CoolingPace, now: CoolingSample, figures: HouseFigures): CoolingPace {
  const { peak, top, bottom, falls } = memory
  const anew = { peak: now.air, top: null, bottom: now, falls }
  if (peak === null || bottom === null || between(bottom.at, now.at) > minutes(20)) return anew
  if (now.at <= bottom.at) return memory
  if (top === null) {
    const highest = celsius(Math.max(peak, now.air))
    return { peak: highest, top: now.air > highest - noise ? null : now, bottom: now, falls }
  }
  if (now.air > bottom.air + noise || between(top.at, now.at) >= longest) {
    const tells = top.air - bottom.air >= enough
    return { ...anew, falls: tells ? withFall(falls, [top, bottom], figures) : falls }
  }
  return now.air < bottom.air ? { ...memory, bottom: now } : memory
}

function withFall(
  falls: CoolingPace['falls'],
  [from, to]: readonly [CoolingSample, CoolingSample],
  figures: HouseFigures,
): CoolingPace['falls'] {
  const house = coldHouse({ ...figures, airPace: null }, 'air', 'usual')
  if (house === null) return falls
  const usual = hoursUntilCold(house, from, { of: 'air', limit: to.air }, steadyOutside(from.outside))
  if (usual?.kind !== 'in') return falls
  const pace = between(from.at, to.at) / 3_600_000 / usual.hours
  if (pace < credible[0] || pace > credible[1]) return falls
  const kept = falls.filter(({ at }) => between(at, to.at) < outdated)
  return [...kept, { at: to.at, pace }].slice(-remembered)
}

/**
 * How long the air takes as a multiple of the usual: the lower quartile of the falls remembered. Null below three falls.
 * @source ratio of the time seen to that of HT-18
 */
export function paceOf({ falls }: CoolingPace): number | null {
  if (falls.length < 3) return null
  const sorted = falls.map(({ pace }) => pace).toSorted((a, b) => a - b)
  return sorted[Math.floor(sorted.length / 4)] ?? null
}
