import { inside, type Range } from '../units/range.js'
import {
  kilogramsPerHour,
  perHour,
  type Celsius,
  type CubicMetres,
  type KilogramsPerHour,
  type MilligramsPerLitre,
  type PerHour,
} from '../units/brands.js'

/** Temperature factor of gas transfer. @source ASCE/EWRI 2-06 */
const theta = 1.024
/** Saturation at 20 degC and 1 atm in the rating of aerators, mg/L (others print 9.07 to 9.09). @source ASCE/EWRI 2-06 */
export const ratingSaturation = 9.092
/** Water temperatures for which the factor is used (common practice). */
export const aerationTemperature: Range = [0, 40]

/** How an aerator does in this water rather than in the clean, oxygen-free water of its rating. */
export interface FieldWater {
  /** Transfer compared with clean water, 0 to 1. */
  readonly alpha: number
  /** Saturation compared with clean water, 0 to 1. */
  readonly beta: number
  readonly saturation: MilligramsPerLitre
  readonly oxygen: MilligramsPerLitre
  readonly temperature: Celsius
}

/**
 * Oxygen that a rated aerator brings into this water; negative when the water holds more than it can be saturated
 * to (it then strips oxygen). Null outside 0 to 40 degC, alpha 0 to 1.2, beta 0 to 1, or below zero. Unit: kg/h.
 * @source ASCE/EWRI 2-06 form, fouling factor 1 (OX-6)
 */
export function fieldTransferRate(rated: KilogramsPerHour, water: FieldWater): KilogramsPerHour | null {
  const { alpha, beta, saturation, oxygen, temperature } = water
  const sensible =
    inside([0, 1.2], alpha) && inside([0, 1], beta) && saturation >= 0 && oxygen >= 0 && rated >= 0
  if (!sensible || !inside(aerationTemperature, temperature)) return null
  const driving = (beta * saturation - oxygen) / ratingSaturation
  return kilogramsPerHour(rated * alpha * theta ** (temperature - 20) * driving)
}

/** Transfer coefficient measured at a temperature, at 20 degC. Null outside 0 to 40 degC. Unit: 1/h. @source OX-7 */
export const transferCoefficientAt20 = (measured: PerHour, temperature: Celsius): PerHour | null =>
  inside(aerationTemperature, temperature) && measured >= 0
    ? perHour(measured * theta ** (20 - temperature))
    : null

/** Rated transfer of an aerator from its coefficient at 20 degC. Null below zero. Unit: kg/h. @source OX-8 */
export const ratedTransferRate = (at20: PerHour, volume: CubicMetres): KilogramsPerHour | null =>
  at20 >= 0 && volume >= 0 ? kilogramsPerHour((at20 * ratingSaturation * volume) / 1000) : null
