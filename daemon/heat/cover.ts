import { inside, zeroOrMore } from '../units/range.js'
import {
  celsius,
  kelvinDifference,
  type Celsius,
  type KelvinDifference,
  type WattsPerSquareMetreKelvin,
} from '../units/brands.js'
import { airTemperature, type InAndOut } from './heat-loss.js'

/** W/(m2.K) from the air of a room to the wall: 1/0.13. @source ISO 6946, internal surface resistance (from memory) */
const innerFilm = 1 / 0.13

const credible = ({ inside: within, outside }: InAndOut): boolean =>
  inside(airTemperature, within) && inside(airTemperature, outside)

/**
 * Inner face of the cover: as much colder than the air as its share of the way out. At night, without a clear sky's pull,
 * which makes it a few kelvin colder. Null below zero U-value and for temperatures outside -60 to 60 degC. Unit: degC.
 * @source steady state, film of ISO 6946: t = ti - (ti - to) U/hi, at most the air outdoors (HT-19)
 */
export function coverTemperature(uValue: WattsPerSquareMetreKelvin, air: InAndOut): Celsius | null {
  if (!inside(zeroOrMore, uValue) || !credible(air)) return null
  return celsius(air.inside - (air.inside - air.outside) * Math.min(1, uValue / innerFilm))
}

/** How much warmer a face is than the dew point of the air at it; below zero it gets wet. Unit: K. @source definition (HT-20) */
export const condensationMargin = (face: Celsius, dewPoint: Celsius): KelvinDifference =>
  kelvinDifference(face - dewPoint)

/** Radiation and still air at a leaf, W/(m2.K): 4 sigma T^3 at 5 degC, and a film on each side. @source first principles; common practice */
const leaf = { radiation: 4.9, film: 5 } as const

/**
 * A leaf under the cover at night: its upper side sees the cover, its lower side the crop at air temperature, and air
 * touches both. A dry leaf: one that gives off vapour is a little colder. Null outside -60 to 60 degC. Unit: degC.
 * @source linear balance t = ta - (ta - tc) hr/(2 hr + 2 hc) (HT-21)
 */
export function leafTemperature(air: Celsius, cover: Celsius): Celsius | null {
  if (!credible({ inside: air, outside: cover })) return null
  return celsius(air - ((air - cover) * leaf.radiation) / (2 * leaf.radiation + 2 * leaf.film))
}

/** How far a leaf is from freezing; below zero it freezes. Null as for the leaf. Unit: K. @source HT-21 against 0 degC (HT-22) */
export function frostMargin(air: Celsius, cover: Celsius): KelvinDifference | null {
  const temperature = leafTemperature(air, cover)
  return temperature === null ? null : kelvinDifference(temperature)
}
