import {
  inHours,
  milligramsPerLitreAsN,
  type CubicMetres,
  type GramsPerDay,
  type GramsPerSquareMetreDay,
  type InHours,
  type MilligramsPerLitreAsN,
  type SquareMetres,
} from '../units/brands.js'
import { aboveZero, inside, zeroOrMore, type Range } from '../units/range.js'
import { arealRateOrder } from './nitrification.js'
import { arealRateAtOne, limitingNitrogen, type NitrifyingWater } from './nitrifiers.js'

/** A loop of well mixed water with fish that are fed evenly, and media on which ammonia becomes nitrite and nitrate. */
export interface NitrogenLoop {
  readonly volume: CubicMetres
  readonly media: SquareMetres
  /** Ammonia, as nitrogen, that the fish give off. */
  readonly load: GramsPerDay
  readonly water: NitrifyingWater
  /** Of the bacteria at 15 degC: of those that make nitrite of ammonia, and of those that make nitrate of nitrite. */
  readonly pace: { readonly ammonia: GramsPerSquareMetreDay; readonly nitrite: GramsPerSquareMetreDay }
}

export interface DissolvedNitrogen {
  readonly ammonia: MilligramsPerLitreAsN
  readonly nitrite: MilligramsPerLitreAsN
}

/** What the water holds later. All that came in as ammonia is in one of the three. */
export interface NitrogenLater extends DissolvedNitrogen {
  /** Nitrate made since, as nitrogen. */
  readonly nitrateMade: MilligramsPerLitreAsN
}

/** A week: beyond it the bacteria themselves have grown or died (common practice). */
export const nitrogenHorizon: Range = [0, 168]
/** Hours of a step, at most, and the fewest steps. */
const [longestStep, fewestSteps] = [1, 8]

/**
 * Ammonia, nitrite and nitrate of a loop after some hours of steady feeding. Null outside pH 6 to 9, 4 to 30 degC, a week,
 * and for figures below zero or no water. Unit: mg/L as N.
 * @source mass balance of the loop with the areal rates of NIT-12, implicit steps of at most an hour (NIT-14)
 */
export function forecastNitrogen(
  { volume, media, load, water, pace }: NitrogenLoop,
  now: DissolvedNitrogen,
  ahead: InHours,
): NitrogenLater | null {
  const [first, second] = [arealRateAtOne(water, pace.ammonia), arealRateAtOne(water, pace.nitrite)]
  const sizes = [media, load, now.ammonia, now.nitrite]
  const sane = inside(aboveZero, volume) && sizes.every((size) => inside(zeroOrMore, size))
  if (!sane || !inside(nitrogenHorizon, ahead) || first === null || second === null) return null

  const steps = Math.max(fewestSteps, Math.ceil(ahead / longestStep))
  const days = ahead / 24 / steps
  const share = (days * media) / volume
  const limit = limitingNitrogen(water.oxygen)
  let [ammonia, nitrite, nitrateMade]: readonly number[] = [now.ammonia, now.nitrite, 0]
  for (let step = 0; step < steps; step += 1) {
    const before = (ammonia ?? 0) + (days * load) / volume
    ammonia = leftAfterStep(before, share * first, limit)
    const made = (nitrite ?? 0) + before - ammonia
    nitrite = leftAfterStep(made, share * second, limit)
    nitrateMade = (nitrateMade ?? 0) + made - nitrite
  }
  return {
    ammonia: milligramsPerLitreAsN(ammonia ?? 0),
    nitrite: milligramsPerLitreAsN(nitrite ?? 0),
    nitrateMade: milligramsPerLitreAsN(nitrateMade ?? 0),
  }
}

/**
 * What is left of `there` when what is left itself decides how much goes: S + c min(S, limit)^n = there. Between 0 and
 * `there` by its form: nothing negative, nothing lost.
 */
function leftAfterStep(there: number, c: number, limit: number): number {
  const saturated = there - c * limit ** arealRateOrder
  if (saturated >= limit) return saturated
  if (there <= 0) return 0
  // In u = S^n it is u^(1/n) + c u = there, convex and rising: Newton's steps from the right come down to the root.
  const power = 1 / arealRateOrder
  let u = Math.min(there ** arealRateOrder, there / c)
  for (let turn = 0; turn < mostTurns; turn += 1) {
    const beyond = u ** power + c * u - there
    if (beyond <= there * 1e-13) break
    u -= beyond / (power * u ** (power - 1) + c)
  }
  return Math.min(there, Math.max(0, u ** power))
}
const mostTurns = 50

/**
 * The ammonia at which the media turn over what the fish give off: where a loop settles. Null where they cannot, and for
 * figures that `forecastNitrogen` refuses. Unit: mg/L as N.
 * @source NIT-12 solved for nitrogen (NIT-15)
 */
export function settledAmmonia({
  media,
  load,
  water,
  pace,
}: Omit<NitrogenLoop, 'volume'>): MilligramsPerLitreAsN | null {
  const atOne = arealRateAtOne(water, pace.ammonia)
  if (atOne === null || !inside(zeroOrMore, load) || !inside(zeroOrMore, media)) return null
  const settled = load === 0 ? 0 : (load / (media * atOne)) ** (1 / arealRateOrder)
  return settled <= limitingNitrogen(water.oxygen) ? milligramsPerLitreAsN(settled) : null
}

export const oneDay = inHours(24)
