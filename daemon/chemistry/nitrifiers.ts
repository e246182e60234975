import {
  gramsPerDay,
  gramsPerSquareMetreDay,
  type Celsius,
  type GramsPerDay,
  type GramsPerSquareMetreDay,
  type MilligramsPerLitre,
  type MilligramsPerLitreAsN,
  type Ph,
  type SquareMetres,
} from '../units/brands.js'
import { inside, zeroOrMore, type Range } from '../units/range.js'
import { arealRateAt15, arealRateOrder, arealRateTheta, arealRateValidity } from './nitrification.js'

// What the bacteria on the media of a biofilter can do. The temperature and the order are well known; the pace of one
// filter is not: it depends on how much else grows on its media, and only the filter itself can tell it.

/** What the bacteria live in. */
export interface NitrifyingWater {
  readonly temperature: Celsius
  readonly oxygen: MilligramsPerLitre
  readonly ph: Ph
}

export const nitrifierValidity = { temperature: arealRateValidity.temperature, ph: [6, 9] as Range }
/** Below it the effect of pH is carried on beyond what was measured. */
export const lowestMeasuredPh = 6.7

/** Below this oxygen (mg/L) for each mg/L of nitrogen, oxygen is what limits. @source Rusten et al. 2006 (NIT-9) */
export const oxygenPerLimitingNitrogen = 3.2

/**
 * Pace at 15 degC, 1 mg/L and pH 7.3 or above, in g N/(m2.d): usual, and the ends between which four filters of five lie.
 * @source usual: Rusten et al. 2006. High: their figure 3 (from Hem et al. 1994), 1.0 g at 5 mg/L of oxygen and 1 g of BOD5
 *   per m2 and day, where the usual gives 0.68. Low: a third, as Guerdat et al. (2010) found in a commercial tilapia farm:
 *   267 g/(m3.d), where the usual gives 770 at 500 m2/m3, 1 mg/L and 28 degC (conditions from memory)
 */
export const nitrifierPaces = {
  usual: gramsPerSquareMetreDay(arealRateAt15),
  low: gramsPerSquareMetreDay(arealRateAt15 / 3),
  high: gramsPerSquareMetreDay(arealRateAt15 * 1.46),
}

/**
 * Share of the pace that pH leaves: half at 6.7 of what it is at 7.3, halving again every 0.6 below, 1 above (the
 * optimum, 7.5 to 8.5, is common practice). 0 to 1.
 * @source Rusten et al. 2006 for 6.7 and 7.3; the curve between and below is ours
 */
export const shareAtPh = (ph: Ph): number => Math.min(1, 2 ** ((ph - 7.3) / 0.6))

/** The nitrogen beyond which more of it is not turned over faster, for want of oxygen. Unit: mg/L as N. @source NIT-9 */
export const limitingNitrogen = (oxygen: MilligramsPerLitre): number =>
  Math.min(arealRateValidity.tan[1], oxygen / oxygenPerLimitingNitrogen)

/**
 * What a square metre does at 1 mg/L of nitrogen; it grows with the power `arealRateOrder` of nitrogen up to
 * `limitingNitrogen`. Null outside `nitrifierValidity` and below zero. Unit: g N/(m2.d).
 * @source Rusten et al. 2006 (NIT-12)
 */
export function arealRateAtOne(
  { temperature, oxygen, ph }: NitrifyingWater,
  pace: GramsPerSquareMetreDay,
): number | null {
  const valid = inside(nitrifierValidity.temperature, temperature) && inside(nitrifierValidity.ph, ph)
  if (!valid || !inside(zeroOrMore, oxygen) || !inside(zeroOrMore, pace)) return null
  return pace * arealRateTheta ** (temperature - 15) * shareAtPh(ph)
}

/**
 * Nitrogen that a square metre turns over. Null outside `nitrifierValidity` and below zero. Unit: g N/(m2.d).
 * @source Rusten et al. 2006 (NIT-12)
 */
export function nitrifierRate(
  nitrogen: MilligramsPerLitreAsN,
  water: NitrifyingWater,
  pace: GramsPerSquareMetreDay,
): GramsPerSquareMetreDay | null {
  const atOne = arealRateAtOne(water, pace)
  if (atOne === null || !inside(zeroOrMore, nitrogen)) return null
  return gramsPerSquareMetreDay(atOne * Math.min(nitrogen, limitingNitrogen(water.oxygen)) ** arealRateOrder)
}

/**
 * The most that media can turn over in a day: with so much ammonia that oxygen is what limits. Null outside
 * `nitrifierValidity` and below zero. Unit: g N/d.
 * @source Rusten et al. 2006 (NIT-13)
 */
export function nitrificationCapacity(
  media: SquareMetres,
  water: NitrifyingWater,
  pace: GramsPerSquareMetreDay,
): GramsPerDay | null {
  const atOne = arealRateAtOne(water, pace)
  if (atOne === null || !inside(zeroOrMore, media)) return null
  return gramsPerDay(media * atOne * limitingNitrogen(water.oxygen) ** arealRateOrder)
}
