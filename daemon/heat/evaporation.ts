import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  kilogramsPerHour,
  millimetres,
  type KilogramsPerHour,
  type KilogramsPerKilogram,
  type MegajoulesPerSquareMetre,
  type MetresPerSecond,
  type Millimetres,
  type SquareMetres,
} from '../units/brands.js'

/** Air speeds over the water for which the formula is used. @source engineering references: still to 2 m/s (HT-11) */
export const evaporationWind: Range = [0, 2]

/**
 * Water that evaporates from an open surface; negative where the air wets it. `saturated` is the humidity ratio of
 * saturated air at the water's temperature, `air` that of the air. Null outside 0 to 2 m/s and below zero. Unit: kg/h.
 * @source g = (25 + 19 v) A (xs - x), engineering references (HT-11, HT-12)
 */
export function evaporation(
  wind: MetresPerSecond,
  area: SquareMetres,
  { saturated, air }: { readonly saturated: KilogramsPerKilogram; readonly air: KilogramsPerKilogram },
): KilogramsPerHour | null {
  const valid =
    inside(evaporationWind, wind) && [area, saturated, air].every((value) => inside(zeroOrMore, value))
  return valid ? kilogramsPerHour((25 + 19 * wind) * area * (saturated - air)) : null
}

/**
 * Depth of water that this much energy evaporates. Null below zero. Unit: mm.
 * @source FAO-56: latent heat 2.45 MJ/kg (HT-16)
 */
export const evaporationOfEnergy = (energy: MegajoulesPerSquareMetre): Millimetres | null =>
  inside(zeroOrMore, energy) ? millimetres(energy / 2.45) : null
