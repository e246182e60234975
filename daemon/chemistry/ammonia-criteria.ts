import { inside, type Range } from '../units/range.js'
import { milligramsPerLitreAsN, type Celsius, type MilligramsPerLitreAsN, type Ph } from '../units/brands.js'

// Criteria for wild waters and all their species, in total ammonia nitrogen. They are no stocking limits; they show
// how sharply the same total becomes dangerous with pH and temperature.

export const criteriaValidity = { temperature: [0, 30] as Range, ph: [6.5, 9] as Range }

/**
 * US EPA's acute criterion: total ammonia that the 1-hour average should not exceed more than once in three years.
 * Null outside pH 6.5 to 9 and 0 to 30 degC. Unit: mg/L as N.
 * @source US EPA (2013) Aquatic Life Ambient Water Quality Criteria for Ammonia - Freshwater, EPA-822-R-13-001
 */
export function acuteAmmoniaCriterion(
  { temperature, ph }: { readonly temperature: Celsius; readonly ph: Ph },
  salmonidsPresent: boolean,
): MilligramsPerLitreAsN | null {
  if (!inside(criteriaValidity.temperature, temperature) || !inside(criteriaValidity.ph, ph)) return null
  const byPh = 0.7249 * bothSides(ph, [0.0114, 1.6181, 7.204])
  const warm = 23.12 * 10 ** (0.036 * (20 - temperature))
  if (!salmonidsPresent) return milligramsPerLitreAsN(byPh * Math.min(51.93, warm))
  return milligramsPerLitreAsN(Math.min(bothSides(ph, [0.275, 39, 7.204]), byPh * warm))
}

/**
 * US EPA's chronic criterion: total ammonia for the 30-day average. Null outside pH 6.5 to 9 and 0 to 30 degC.
 * Unit: mg/L as N.
 * @source as above
 */
export function chronicAmmoniaCriterion({
  temperature,
  ph,
}: {
  readonly temperature: Celsius
  readonly ph: Ph
}): MilligramsPerLitreAsN | null {
  if (!inside(criteriaValidity.temperature, temperature) || !inside(criteriaValidity.ph, ph)) return null
  const cold = 2.126 * 10 ** (0.028 * (20 - Math.max(temperature, 7)))
  return milligramsPerLitreAsN(0.8876 * bothSides(ph, [0.0278, 1.1994, 7.688]) * cold)
}

/** No 4-day average within the 30 days may exceed this many times the chronic criterion. @source as above */
export const fourDayFactor = 2.5

const bothSides = (ph: Ph, [a, b, c]: readonly [number, number, number]): number =>
  a / (1 + 10 ** (c - ph)) + b / (1 + 10 ** (ph - c))
