import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  gramsPerDay,
  gramsPerSquareMetreDay,
  litres,
  type Celsius,
  type GramsPerDay,
  type GramsPerSquareMetreDay,
  type Litres,
  type MilligramsPerLitreAsN,
  type SquareMetresPerCubicMetre,
} from '../units/brands.js'
import { calciumCarbonatePerEquivalent, molarMass } from './molar-masses.js'

/**
 * g of oxygen that the oxidation of 1 g of nitrogen takes, without growth of the bacteria: 2 O2 per N, 4.57.
 * Measured: 4.18 to 4.32 (Ebeling et al. 2006; Gujer & Jenkins 1974). Plan with the larger.
 * @source stoichiometry; Timmons & Ebeling 2010 (NIT-5)
 */
export const oxygenPerNitrogen = (2 * molarMass.O2) / molarMass.N

/**
 * g of alkalinity as CaCO3 that it takes: 2 equivalents per N, 7.14. Measured: 6.3 to 7.4 (US EPA 1975).
 * @source stoichiometry; Timmons & Ebeling 2010 (NIT-6)
 */
export const alkalinityPerNitrogen = (2 * calciumCarbonatePerEquivalent) / molarMass.N

/** The factors as the trade prints and multiplies them. @source Timmons & Ebeling 2010 (NIT-8) */
export const printedOxygenPerNitrogen = 4.57
export const printedAlkalinityPerNitrogen = 7.14

/**
 * What the nitrification of that much total ammonia nitrogen takes in a day, of oxygen or of alkalinity (as CaCO3),
 * by the factor. Null below zero. Unit: g/d.
 * @source NIT-8
 */
export const nitrificationDemand = (tan: GramsPerDay, factor: number): GramsPerDay | null =>
  inside(zeroOrMore, tan) && inside(zeroOrMore, factor) ? gramsPerDay(tan * factor) : null

/** Temperature of the plants that Rusten et al. measured and compared; TAN of the TAN-limited range (common practice). */
export const arealRateValidity = { temperature: [4, 30] as Range, tan: [0, 2.5] as Range }
export const arealRateAt15 = 0.5
export const arealRateOrder = 0.7
export const arealRateTheta = 1.09

/**
 * Nitrogen that a square metre of moving-bed media turns in a day, while ammonia is what limits (oxygen : TAN above
 * 3.2, little organic load). Null outside 4 to 30 degC and 0 to 2.5 mg/L. Unit: g N/(m2.d).
 * @source Rusten, B. et al. (2006) Aquacultural Engineering 34:322-331 (NIT-9)
 */
export function arealNitrificationRate(
  tan: MilligramsPerLitreAsN,
  temperature: Celsius,
  at15: GramsPerSquareMetreDay,
): GramsPerSquareMetreDay | null {
  const valid = inside(arealRateValidity.temperature, temperature) && inside(arealRateValidity.tan, tan)
  if (!valid || !inside(zeroOrMore, at15)) return null
  return gramsPerSquareMetreDay(at15 * tan ** arealRateOrder * arealRateTheta ** (temperature - 15))
}

/**
 * Media that a load needs at an areal rate. Null unless rate and surface are above zero. Unit: L.
 * @source Somerville et al. (2014) FAO 589, Appendix 4: volume = load / rate / specific surface (NIT-4, NIT-11)
 */
export function mediaVolume(
  load: GramsPerDay,
  surface: SquareMetresPerCubicMetre,
  rate: GramsPerSquareMetreDay,
): Litres | null {
  if (!inside(zeroOrMore, load) || !(surface > 0) || !(rate > 0)) return null
  return litres((load / rate / surface) * 1000)
}
