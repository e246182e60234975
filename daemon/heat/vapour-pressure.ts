import { inside, type Range } from '../units/range.js'
import {
  kilopascals,
  kilopascalsPerKelvin,
  type Celsius,
  type Kilopascals,
  type KilopascalsPerKelvin,
  type Percent,
} from '../units/brands.js'

// FAO-56 has its own forms for plants and the field. They differ from those of ASHRAE (humid-air.ts) by less than
// 0.3 % above freezing; below it they are for water, not ice.

/** @source range taken from field use; FAO-56 states none (common practice) */
export const fieldTemperature: Range = [-20, 60]
const fullRange: Range = [0, 100]

/** Saturation vapour pressure. Null outside -20 to 60 degC. Unit: kPa. @source FAO-56 eq. 11 (AIR-16) */
export const saturationVapourPressureTetens = (temperature: Celsius): Kilopascals | null =>
  inside(fieldTemperature, temperature) ? tetens(temperature) : null

const tetens = (temperature: Celsius): Kilopascals =>
  kilopascals(0.6108 * Math.exp((17.27 * temperature) / (temperature + 237.3)))

/** Coldest and warmest of a day. */
export interface DailyTemperatures {
  readonly lowest: Celsius
  readonly highest: Celsius
}

const both = ({ lowest, highest }: DailyTemperatures): boolean =>
  inside(fieldTemperature, lowest) && inside(fieldTemperature, highest)

/** Mean of the saturation pressures of a day's extremes. Null outside -20 to 60 degC. Unit: kPa. @source eq. 12 (AIR-17) */
export const meanSaturationVapourPressure = (day: DailyTemperatures): Kilopascals | null =>
  both(day) ? kilopascals((tetens(day.lowest) + tetens(day.highest)) / 2) : null

/** Slope of the saturation curve. Null outside -20 to 60 degC. Unit: kPa/K. @source eq. 13 (AIR-20) */
export const saturationSlope = (temperature: Celsius): KilopascalsPerKelvin | null =>
  inside(fieldTemperature, temperature)
    ? kilopascalsPerKelvin((4098 * tetens(temperature)) / (temperature + 237.3) ** 2)
    : null

/**
 * Actual vapour pressure from a psychrometer; `coefficient` 0.000662 ventilated, 0.0008 natural, 0.0012 indoors.
 * Null outside -20 to 60 degC and for a wet bulb above the dry one. Unit: kPa.
 * @source FAO-56 eq. 15 and 16 (AIR-18)
 */
export function vapourPressureFromPsychrometer(
  { dryBulb, wetBulb }: { readonly dryBulb: Celsius; readonly wetBulb: Celsius },
  pressure: Kilopascals,
  coefficient: number,
): Kilopascals | null {
  if (!both({ lowest: wetBulb, highest: dryBulb }) || wetBulb > dryBulb || !(pressure > 0)) return null
  return kilopascals(tetens(wetBulb) - coefficient * pressure * (dryBulb - wetBulb))
}

/**
 * Actual vapour pressure from a day's extremes: the highest humidity goes with the lowest temperature. Null outside
 * -20 to 60 degC and 0 to 100 %. Unit: kPa.
 * @source FAO-56 eq. 17 (AIR-19)
 */
export function vapourPressureFromHumidities(
  day: DailyTemperatures,
  humidity: { readonly lowest: Percent; readonly highest: Percent },
): Kilopascals | null {
  if (!both(day) || !inside(fullRange, humidity.lowest) || !inside(fullRange, humidity.highest)) return null
  const morning = (tetens(day.lowest) * humidity.highest) / 100
  const afternoon = (tetens(day.highest) * humidity.lowest) / 100
  return kilopascals((morning + afternoon) / 2)
}

/** Psychrometric constant. Null unless pressure is above zero. Unit: kPa/K. @source FAO-56 eq. 8 (AIR-21) */
export const psychrometricConstant = (pressure: Kilopascals): KilopascalsPerKelvin | null =>
  pressure > 0 ? kilopascalsPerKelvin(0.000665 * pressure) : null

/** Vapour pressure deficit. Null outside -20 to 60 degC and 0 to 100 %. Unit: kPa. @source FAO-56 eq. 11 (AIR-22) */
export const vapourPressureDeficitTetens = (temperature: Celsius, humidity: Percent): Kilopascals | null =>
  inside(fieldTemperature, temperature) && inside(fullRange, humidity)
    ? kilopascals(tetens(temperature) * (1 - humidity / 100))
    : null
