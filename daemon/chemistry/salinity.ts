import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  gramsPerKilogram,
  type GramsPerKilogram,
  type GramsPerLitre,
  type MicrosiemensPerCentimetre,
} from '../units/brands.js'

/** Conductivity for which the polynomial is used here: up to that of sea water (about 54 000 uS/cm, common practice). */
export const conductivityValidity: Range = [0, 60_000]

/**
 * Salinity of water whose salts are like those of the sea, from its conductivity referred to 25 degC. In fish water
 * the salts are others (nitrate, bicarbonate), so the result is only good enough to correct oxygen and ammonia.
 * Null outside 0 to 60 000 uS/cm. Unit: g/kg.
 * @source USGS Office of Water Quality Technical Memorandum 2011.03 (DO-6)
 */
export const salinityFromConductivity = (conductivity: MicrosiemensPerCentimetre): GramsPerKilogram | null =>
  inside(conductivityValidity, conductivity)
    ? gramsPerKilogram(5.572e-4 * conductivity + 2.02e-9 * conductivity * conductivity)
    : null

/**
 * Salinity from chlorinity, with g/L taken as g/kg as the tables do. Null below zero. Unit: g/kg.
 * @source APHA, Standard Methods 4500-O (DO-1c)
 */
export const salinityFromChloride = (chloride: GramsPerLitre): GramsPerKilogram | null =>
  inside(zeroOrMore, chloride) ? gramsPerKilogram(1.80655 * chloride) : null

/**
 * Molal ionic strength of sea water of that salinity (0 to 40 g/kg, not checked: the callers do). Unit: mol/kg.
 * @source form used in the US EPA 1989 salt water ammonia criteria, from memory (NH-2)
 */
export const ionicStrength = (salinity: GramsPerKilogram): number =>
  (19.9273 * salinity) / (1000 - 1.005109 * salinity)
