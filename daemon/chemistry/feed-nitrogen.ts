import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  gramsPerDay,
  gramsPerLitreDay,
  type Fraction,
  type GramsPerDay,
  type GramsPerLitreDay,
  type GramsPerSquareMetreDay,
  type KilogramsPerDay,
  type SquareMetresPerCubicMetre,
} from '../units/brands.js'

const proteinRange: Range = [0, 1]

/**
 * g of total ammonia nitrogen per g of protein fed: 0.16 N in protein x 0.80 x 0.80 x 0.90 = 0.0922, printed 0.092.
 * @source Timmons & Ebeling (2010) Recirculating Aquaculture, 2nd ed. (NIT-0)
 */
export const ammoniaNitrogenPerProtein = 0.092

/**
 * Total ammonia nitrogen that fish in a tank give off. Null below zero and for protein outside 0 to 1. Unit: g N/d.
 * @source Timmons & Ebeling 2010; Ebeling et al. (2006) eq. 1 (NIT-1)
 */
export const ammoniaFromFeed = (feed: KilogramsPerDay, protein: Fraction): GramsPerDay | null =>
  inside(zeroOrMore, feed) && inside(proteinRange, protein)
    ? gramsPerDay(feed * protein * ammoniaNitrogenPerProtein * 1000)
    : null

/**
 * FAO's estimate, which counts as NH3 and comes out a little higher (30.8 against 29.4 g N per kg of 32 % feed).
 * Null as above. Unit: g NH3/d.
 * @source Somerville et al. (2014) FAO 589, Appendix 4: 0.16 x 0.61 x 1.2 (NIT-2)
 */
export const ammoniaFromFeedByFao = (feed: GramsPerDay, protein: Fraction): GramsPerDay | null =>
  inside(zeroOrMore, feed) && inside(proteinRange, protein)
    ? gramsPerDay(feed * protein * 0.16 * 0.61 * 1.2)
    : null

/**
 * g of NH3 per g of feed as FAO's media table takes it: 0.038 at 32 % protein, in proportion for others.
 * @source FAO 589, Appendix 4, media table
 */
export const ammoniaPerFeed = (protein: Fraction): number => (0.038 * protein) / 0.32

/** Conservative design rate of the same table, counted as NH3. @source FAO 589, Appendix 4 */
export const faoArealRate = 0.57 as GramsPerSquareMetreDay

/**
 * Feed a day whose ammonia one litre of media can treat. Null unless protein is above zero. Unit: g/(L.d).
 * @source FAO 589, Appendix 4, media table (NIT-3)
 */
export function feedCapacityOfMedia(
  surface: SquareMetresPerCubicMetre,
  protein: Fraction,
): GramsPerLitreDay | null {
  if (!inside(zeroOrMore, surface) || !(protein > 0 && protein <= 1)) return null
  return gramsPerLitreDay((surface * faoArealRate) / ammoniaPerFeed(protein) / 1000)
}
