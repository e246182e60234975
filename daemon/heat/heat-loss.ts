import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  watts,
  wattsPerKelvin,
  type Celsius,
  type CubicMetres,
  type PerHour,
  type SquareMetres,
  type Watts,
  type WattsPerKelvin,
  type WattsPerSquareMetreKelvin,
} from '../units/brands.js'

/** Air temperatures that a house and its surroundings can have. */
export const airTemperature: Range = [-60, 60]

/** Air inside and outside. */
export interface InAndOut {
  readonly inside: Celsius
  readonly outside: Celsius
}

/** W/(m2.K) in one Btu/(h.ft2.degF). @source definition of the units (HT-1) */
export const uValueOfBtu = 5.678263

/**
 * Heat that goes out through the cover; negative when it comes in. Steady state, no sun. Null below zero area or
 * U-value and for temperatures outside -60 to 60 degC. Unit: W.
 * @source University of Georgia Cooperative Extension: Q = U A (Ti - To) (HT-3)
 */
export function conductionLoss(
  area: SquareMetres,
  uValue: WattsPerSquareMetreKelvin,
  air: InAndOut,
): Watts | null {
  if (!inside(zeroOrMore, area) || !inside(zeroOrMore, uValue) || !credible(air)) return null
  return watts(area * uValue * (air.inside - air.outside))
}

const credible = (air: InAndOut): boolean =>
  inside(airTemperature, air.inside) && inside(airTemperature, air.outside)

/** Heat that one m3 of air carries per kelvin: 1.2 kg/m3 x 1006 J/(kg.K) / 3600 s. Unit: W.h/(m3.K). @source HT-4 */
export const airHeat = (1.2 * 1006) / 3600

/**
 * Heat that goes out with leaking air, without the latent part (with it count 0.5 instead of 0.335 W.h/(m3.K)).
 * Null below zero and for temperatures outside -60 to 60 degC. Unit: W.
 * @source heat = mass x specific heat x temperature difference (HT-4)
 */
export function infiltrationLoss(volume: CubicMetres, airChanges: PerHour, air: InAndOut): Watts | null {
  if (!inside(zeroOrMore, volume) || !inside(zeroOrMore, airChanges) || !credible(air)) return null
  return watts(airHeat * volume * airChanges * (air.inside - air.outside))
}

/** Loss of a house per kelvin, cover and leaking air together. Null below zero. Unit: W/K. @source HT-3, HT-4 */
export function houseLossPerKelvin(
  cover: { readonly area: SquareMetres; readonly uValue: WattsPerSquareMetreKelvin },
  leak: { readonly volume: CubicMetres; readonly airChanges: PerHour },
): WattsPerKelvin | null {
  const all = [cover.area, cover.uValue, leak.volume, leak.airChanges]
  if (!all.every((value) => inside(zeroOrMore, value))) return null
  return wattsPerKelvin(cover.area * cover.uValue + airHeat * leak.volume * leak.airChanges)
}

/**
 * What the heaters could give beyond what the house loses; a house that gains needs none. Null below zero power. Unit: W.
 * @source rated power - loss (HT-23)
 */
export const heaterMargin = (rated: Watts, loss: Watts): Watts | null =>
  inside(zeroOrMore, rated) ? watts(rated - Math.max(0, loss)) : null
