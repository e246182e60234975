import { inside, type Range } from '../units/range.js'
import {
  atmospheres,
  celsius,
  kelvin,
  kilopascals,
  pascals,
  type Atmospheres,
  type Celsius,
  type Kelvin,
  type Kilopascals,
  type Metres,
  type Pascals,
} from '../units/brands.js'

/** Pa in one standard atmosphere. @source definition (CGPM 1954) */
export const standardAtmosphere = 101_325
/** Metres above sea level for which the standard atmosphere holds. @source ASHRAE 2017, ICAO */
export const altitudeValidity: Range = [-500, 11_000]

/**
 * Pressure of the standard atmosphere. The real one moves by 3 % with the weather: a barometer is better. Null outside
 * -500 to 11 000 m. Unit: Pa.
 * @source ASHRAE Handbook - Fundamentals (2017) ch. 1 eq. 3 = ICAO (ATM-1)
 */
export const standardPressure = (altitude: Metres): Pascals | null =>
  inside(altitudeValidity, altitude) ? pascals(standardAtmosphere * pressureRatio(altitude)) : null

const pressureRatio = (altitude: Metres): number => (1 - 2.25577e-5 * altitude) ** 5.2559

/** The same in atmospheres, as the oxygen equations take it. Null outside -500 to 11 000 m. */
export const standardPressureInAtmospheres = (altitude: Metres): Atmospheres | null =>
  inside(altitudeValidity, altitude) ? atmospheres(pressureRatio(altitude)) : null

/** Temperature of the standard atmosphere. Null outside -500 to 11 000 m. Unit: degC. @source ASHRAE 2017 eq. 4 (ATM-4) */
export const standardTemperature = (altitude: Metres): Celsius | null =>
  inside(altitudeValidity, altitude) ? celsius(15 - 0.0065 * altitude) : null

const geopotential = (altitude: Metres): number => (6_356_766 * altitude) / (6_356_766 + altitude)

/**
 * Pressure at a geometric altitude. Null outside -500 to 11 000 m. Unit: Pa.
 * @source U.S. Standard Atmosphere 1976 (ATM-2)
 */
export const standardPressureGeometric = (altitude: Metres): Pascals | null =>
  inside(altitudeValidity, altitude)
    ? pascals(standardAtmosphere * (1 - (0.0065 * geopotential(altitude)) / 288.15) ** 5.25588)
    : null

/** Temperature at a geometric altitude. Null outside -500 to 11 000 m. Unit: K. @source same (ATM-3) */
export const standardTemperatureGeometric = (altitude: Metres): Kelvin | null =>
  inside(altitudeValidity, altitude) ? kelvin(288.15 - 0.0065 * geopotential(altitude)) : null

/**
 * Pressure as FAO-56 takes it: from 293 K at sea level, 0.3 kPa above the standard atmosphere at 1800 m. Null outside
 * -500 to 11 000 m. Unit: kPa.
 * @source Allen, R.G. et al. (1998) FAO Irrigation and Drainage Paper 56, eq. 7 (ATM-5)
 */
export const pressureFao56 = (altitude: Metres): Kilopascals | null =>
  inside(altitudeValidity, altitude) ? kilopascals(101.3 * ((293 - 0.0065 * altitude) / 293) ** 5.26) : null

/**
 * Pressure at the site from the one that weather services give, which is reduced to sea level. Oxygen needs this one.
 * Null outside -500 to 11 000 m and unless the pressure is above zero. Unit: Pa.
 * @source common practice for oxygen probes: scaled by the ratio of ATM-1 (ATM-6)
 */
export const stationPressure = (seaLevel: Pascals, altitude: Metres): Pascals | null =>
  inside(altitudeValidity, altitude) && seaLevel > 0 ? pascals(seaLevel * pressureRatio(altitude)) : null
