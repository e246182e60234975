import { inside, zeroOrMore } from '../units/range.js'
import {
  inHours,
  kilowattHours,
  type Celsius,
  type InHours,
  type KelvinDifference,
  type Kilograms,
  type KilowattHours,
  type WattsPerKelvin,
} from '../units/brands.js'

/** Specific heat of water, kJ/(kg.K), good to 0.5 % between 0 and 40 degC. @source common value (HT-8) */
const specificHeat = 4.186

/**
 * Heat that warms the water by `difference`; negative when it cools. Null below zero mass. Unit: kWh.
 * @source m c dT / 3600 (HT-8)
 */
export const heatingEnergy = (water: Kilograms, difference: KelvinDifference): KilowattHours | null =>
  inside(zeroOrMore, water) ? kilowattHours((specificHeat * water * difference) / 3600) : null

/**
 * Time in which the water goes 63 % of the way to the temperature around it. Null unless the loss is above zero.
 * Unit: h.
 * @source tau = m c / UA, well mixed (HT-9)
 */
export const timeConstant = (water: Kilograms, loss: WattsPerKelvin): InHours | null =>
  inside(zeroOrMore, water) && loss > 0 ? inHours((water * specificHeat * 1000) / loss / 3600) : null

/** Where the water stands, what surrounds it, and the temperature that it must not reach. */
export interface Cooling {
  readonly start: Celsius
  readonly ambient: Celsius
  readonly limit: Celsius
}

/** Kept apart so that nobody reads "never" as a number. */
export type UntilTemperature =
  | { readonly kind: 'in'; readonly hours: InHours }
  | { readonly kind: 'now' }
  /** The surroundings are not beyond the limit. */
  | { readonly kind: 'never' }

/**
 * Time until water without heating reaches the limit, downwards or upwards. Null unless the loss is above zero.
 * Unit: h.
 * @source Newton's law of cooling, constant surroundings: t = tau ln((T0 - Ta)/(Tc - Ta)) (HT-10)
 */
export function hoursUntilTemperature(
  { start, ambient, limit }: Cooling,
  water: Kilograms,
  loss: WattsPerKelvin,
): UntilTemperature | null {
  const tau = timeConstant(water, loss)
  if (tau === null || ![start, ambient, limit].every(Number.isFinite)) return null
  if (start === limit) return { kind: 'now' }
  const ratio = (start - ambient) / (limit - ambient)
  // Between 0 and 1 the limit lies away from where the water goes; below 0, or at infinity, beyond where it stops.
  if (!(ratio > 1) || !Number.isFinite(ratio)) return { kind: 'never' }
  return { kind: 'in', hours: inHours(tau * Math.log(ratio)) }
}
