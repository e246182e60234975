import {
  fraction,
  gramsPerDay,
  type CubicMetres,
  type GramsPerDay,
  type GramsPerSquareMetreDay,
  type MilligramsPerLitre,
  type MilligramsPerLitreAsN,
  type SquareMetres,
} from '../units/brands.js'
import { aboveZero, inside, zeroOrMore } from '../units/range.js'
import { ammoniaNitrogenPerProtein } from './feed-nitrogen.js'
import { molarMass } from './molar-masses.js'

/** Protein of the feed that feed rate ratios were found with. @source FAO 589, Appendix 4, takes 32 % throughout */
export const usualProtein = fraction(0.32)

/**
 * Nitrogen that plants take up: as much as fish give off that get the feed by which such plants thrive (`ratio`, feed a
 * day for each m2). Rather too much than too little: the ratio leaves them something to spare. Null below zero.
 * Unit: g N/d.
 * @source feed rate ratio of FAO 589, chapter 8, times NIT-1 at 32 % protein (NB-1)
 */
export const plantUptake = (area: SquareMetres, ratio: GramsPerSquareMetreDay): GramsPerDay | null =>
  inside(zeroOrMore, area) && inside(zeroOrMore, ratio)
    ? gramsPerDay(area * ratio * usualProtein * ammoniaNitrogenPerProtein)
    : null

/**
 * Nitrate that a loop gains in a day, as nitrogen; negative where plants take more. Null below zero and without water.
 * Unit: mg/(L.d).
 * @source mass balance: what is nitrified less what plants take up (NB-2)
 */
export const nitrateGain = (
  nitrified: GramsPerDay,
  uptake: GramsPerDay,
  volume: CubicMetres,
): number | null =>
  inside(zeroOrMore, nitrified) && inside(zeroOrMore, uptake) && inside(aboveZero, volume)
    ? (nitrified - uptake) / volume
    : null

/**
 * Chloride for each nitrite, both in mg/L, nitrite counted as NO2. Null below zero and without nitrite.
 * @source definition: SRAC Publication 462 counts nitrite as NO2 (NC-2)
 */
export const chlorideForNitrite = (
  chloride: MilligramsPerLitre,
  nitrite: MilligramsPerLitreAsN,
): number | null =>
  inside(zeroOrMore, chloride) && inside(aboveZero, nitrite)
    ? chloride / ((nitrite * molarMass.NO2) / molarMass.N)
    : null
