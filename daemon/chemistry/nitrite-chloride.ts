import { inside, zeroOrMore } from '../units/range.js'
import {
  grams,
  type CubicMetres,
  type Grams,
  type MilligramsPerLitre,
  type MilligramsPerLitreAsNO2,
} from '../units/brands.js'
import { molarMass } from './molar-masses.js'

/** Part of table salt that is chloride: 0.6066. @source IUPAC atomic weights (NC-1) */
export const chlorideFractionOfSalt = molarMass.Cl / molarMass.NaCl

/**
 * Chloride : nitrite (as NO2, not N) that protects channel catfish; more where fish are diseased.
 * @source Durborow, Crosby & Brunson (1997) Nitrite in Fish Ponds, SRAC Publication 462
 */
export const chlorideToNitriteRatio = 10

/** What goes with every dose (common practice). */
export const saltCautions: readonly string[] = [
  'Plain salt without iodine and anti-caking agents.',
  'Many plants suffer: strawberries and beans first. Dose the fish tank alone if it can be shut off from the beds.',
  'Raise it over a day. Salt keeps nitrite out of the blood, it does not remove nitrite: find why there is any.',
]

/**
 * Salt (NaCl) that brings chloride up to `ratio` times the nitrite; 0 when there is enough. Null below zero. Unit: g.
 * @source method of SRAC 462, metric (NC-3)
 */
export function saltDose(
  water: { readonly nitrite: MilligramsPerLitreAsNO2; readonly chloride: MilligramsPerLitre },
  volume: CubicMetres,
  ratio: number,
): Grams | null {
  const given = [water.nitrite, water.chloride, volume, ratio]
  if (!given.every((value) => inside(zeroOrMore, value))) return null
  return grams((Math.max(0, ratio * water.nitrite - water.chloride) * volume) / chlorideFractionOfSalt)
}
