import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  fraction,
  milligramsPerLitreAsN,
  milligramsPerLitreAsNH3,
  ph,
  type Celsius,
  type Fraction,
  type GramsPerKilogram,
  type MilligramsPerLitreAsN,
  type MilligramsPerLitreAsNH3,
  type MilligramsPerLitreAsNH4,
  type Ph,
} from '../units/brands.js'
import { molarMass } from './molar-masses.js'
import { ionicStrength } from './salinity.js'

// Total ammonia is what a test kit finds: ammonium (NH4+, nearly harmless) and ammonia (NH3, poison). It may be
// reported as nitrogen, as NH3 or as NH4; the types and the names here always say which.

/** What decides how much of the total is poison. */
export interface AmmoniaWater {
  readonly temperature: Celsius
  readonly ph: Ph
  /** 0 for fresh water. */
  readonly salinity: GramsPerKilogram
}

export const ammoniaValidity = {
  temperature: [0, 50] as Range,
  ph: [0, 14] as Range,
  salinity: [0, 40] as Range,
}

/**
 * pKa of ammonium. The 273.2 is the authors' own: with 273.15 their printed table is not met. Null outside 0 to
 * 50 degC or salinity 0 to 40 g/kg. For salt water published corrections differ by 8 % of the result.
 * @source Emerson, K., Russo, R.C., Lund, R.E. & Thurston, R.V. (1975) J. Fish. Res. Board Can. 32:2379-2383 (NH-1);
 *   salt water: form used in the US EPA 1989 criteria, from memory (NH-2)
 */
export function ammoniumPka(temperature: Celsius, salinity: GramsPerKilogram): number | null {
  if (!inside(ammoniaValidity.temperature, temperature) || !inside(ammoniaValidity.salinity, salinity))
    return null
  return 0.09018 + 2729.92 / (273.2 + temperature) + 0.116 * ionicStrength(salinity)
}

/**
 * Part of the total ammonia that is un-ionised, 0 to 1 (a ratio of amounts: the same for N, and for any species
 * that both are reported as). Null outside `ammoniaValidity`.
 * @source Emerson et al. 1975 (NH-1, NH-2)
 */
export function unionisedAmmoniaFraction(water: AmmoniaWater): Fraction | null {
  const pka = ammoniumPka(water.temperature, water.salinity)
  if (pka === null || !inside(ammoniaValidity.ph, water.ph)) return null
  return fraction(1 / (1 + 10 ** (pka - water.ph)))
}

/**
 * Un-ionised ammonia, as nitrogen, in water with that much total ammonia, as nitrogen (TAN). Null outside
 * `ammoniaValidity` and below zero. Unit: mg/L as N.
 * @source NH-3
 */
export function unionisedAmmoniaNitrogen(
  total: MilligramsPerLitreAsN,
  water: AmmoniaWater,
): MilligramsPerLitreAsN | null {
  const part = unionisedAmmoniaFraction(water)
  return part === null || !inside(zeroOrMore, total) ? null : milligramsPerLitreAsN(total * part)
}

/** The harmless rest: ammonium, as nitrogen. Null as above. Unit: mg/L as N. @source NH-3i */
export function ammoniumNitrogen(
  total: MilligramsPerLitreAsN,
  water: AmmoniaWater,
): MilligramsPerLitreAsN | null {
  const part = unionisedAmmoniaFraction(water)
  return part === null || !inside(zeroOrMore, total) ? null : milligramsPerLitreAsN(total * (1 - part))
}

/**
 * Un-ionised ammonia, as NH3, when the total is reported as NH4 (many European laboratories). Null outside
 * `ammoniaValidity` and below zero. Unit: mg/L as NH3.
 * @source Hobiger, G. (1996) UBA-BE-076, example 1 (NH-4)
 */
export function unionisedAmmoniaAsNH3(
  total: MilligramsPerLitreAsNH4,
  water: AmmoniaWater,
): MilligramsPerLitreAsNH3 | null {
  const part = unionisedAmmoniaFraction(water)
  if (part === null || !inside(zeroOrMore, total)) return null
  return milligramsPerLitreAsNH3(total * part * (molarMass.NH3 / molarMass.NH4))
}

/**
 * How much total ammonia the water may hold until its un-ionised part reaches `limit`. Null outside
 * `ammoniaValidity` and below zero. Unit: mg/L as N.
 * @source NH-6
 */
export function totalAmmoniaForLimit(
  limit: MilligramsPerLitreAsN,
  water: AmmoniaWater,
): MilligramsPerLitreAsN | null {
  const part = unionisedAmmoniaFraction(water)
  return part === null || !inside(zeroOrMore, limit) ? null : milligramsPerLitreAsN(limit / part)
}

/**
 * The pH up to which water with that total ammonia stays at or below `limit` of un-ionised ammonia: the headroom.
 * 14 when no pH reaches it (less total than the limit). Null outside `ammoniaValidity` and for a limit or total
 * that is not above zero.
 * @source NH-1 solved for pH
 */
export function headroomPh(
  total: MilligramsPerLitreAsN,
  limit: MilligramsPerLitreAsN,
  { temperature, salinity }: Omit<AmmoniaWater, 'ph'>,
): Ph | null {
  const pka = ammoniumPka(temperature, salinity)
  if (pka === null || !(total > 0) || !(limit > 0)) return null
  return ph(total <= limit ? 14 : Math.min(14, Math.max(0, pka - Math.log10(total / limit - 1))))
}
