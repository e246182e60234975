import psychrolib from 'psychrolib'
import { inside, type Range } from '../units/range.js'
import {
  celsius,
  cubicMetresPerKilogram,
  joulesPerKilogram,
  kilogramsPerCubicMetre,
  kilogramsPerKilogram,
  pascals,
  percent,
  type Celsius,
  type CubicMetresPerKilogram,
  type JoulesPerKilogram,
  type KilogramsPerCubicMetre,
  type KilogramsPerKilogram,
  type Pascals,
  type Percent,
} from '../units/brands.js'

// All of this is ASHRAE Handbook - Fundamentals (2017) ch. 1 by way of psychrolib 2.5 (package 1.1.1): saturation over
// ice below 0.01 degC, ideal gas without enhancement factor (0.8 % below the handbook's tables in humidity ratio).

/** The library keeps its unit system in itself; it is set once and never changed. */
const air = (() => {
  psychrolib.SetUnitSystem(psychrolib.SI)
  return psychrolib
})()

export const humidAirValidity = {
  /** @source ASHRAE 2017, eq. 5 and 6 */
  temperature: [-100, 200] as Range,
  /** Dry enough that the dew point leaves the range of the equations is refused as well. */
  humidity: [0, 100] as Range,
  /** Pressures at which people farm, with room to spare (common practice). */
  pressure: [30_000, 120_000] as Range,
}

/** Air as a probe reports it. */
export interface HumidAir {
  readonly temperature: Celsius
  readonly humidity: Percent
  readonly pressure: Pascals
}

/** Air as a wet and a dry thermometer report it. */
export interface WetBulbAir {
  readonly temperature: Celsius
  readonly wetBulb: Celsius
  readonly pressure: Pascals
}

const warm = (temperature: Celsius): boolean => inside(humidAirValidity.temperature, temperature)
const thick = (pressure: Pascals): boolean => inside(humidAirValidity.pressure, pressure)
const moist = (humidity: Percent): boolean => inside(humidAirValidity.humidity, humidity)

/** Whether air of that temperature can be saturated at all: above the boiling point it cannot. */
const mayBeSaturated = (temperature: Celsius, pressure: Pascals): boolean =>
  warm(temperature) && thick(pressure) && air.GetSatVapPres(temperature) < pressure

const valid = (given: HumidAir): boolean =>
  moist(given.humidity) && mayBeSaturated(given.temperature, given.pressure)

const validWetBulb = ({ temperature, wetBulb, pressure }: WetBulbAir): boolean =>
  wetBulb <= temperature && warm(wetBulb) && mayBeSaturated(temperature, pressure)

/** Saturation vapour pressure, over ice below 0.01 degC. Null outside -100 to 200 degC. Unit: Pa. @source AIR-1 */
export const saturationVapourPressure = (temperature: Celsius): Pascals | null =>
  warm(temperature) ? pascals(air.GetSatVapPres(temperature)) : null

/** Humidity ratio of saturated air. Null where air cannot be saturated. Unit: kg/kg. @source AIR-2 */
export const saturationHumidityRatio = (
  temperature: Celsius,
  pressure: Pascals,
): KilogramsPerKilogram | null =>
  mayBeSaturated(temperature, pressure)
    ? kilogramsPerKilogram(air.GetSatHumRatio(temperature, pressure))
    : null

/** Enthalpy of saturated air, per kg of dry air. Null as above. Unit: J/kg. @source AIR-3 */
export const saturatedAirEnthalpy = (temperature: Celsius, pressure: Pascals): JoulesPerKilogram | null =>
  mayBeSaturated(temperature, pressure)
    ? joulesPerKilogram(air.GetSatAirEnthalpy(temperature, pressure))
    : null

/** Volume of saturated air, per kg of dry air. Null as above. Unit: m3/kg. @source AIR-4 */
export function saturatedAirVolume(temperature: Celsius, pressure: Pascals): CubicMetresPerKilogram | null {
  const ratio = saturationHumidityRatio(temperature, pressure)
  return ratio === null ? null : cubicMetresPerKilogram(air.GetMoistAirVolume(temperature, ratio, pressure))
}

/** Volume of dry air. Null outside -100 to 200 degC and 30 to 120 kPa. Unit: m3/kg. @source AIR-5 */
export const dryAirVolume = (temperature: Celsius, pressure: Pascals): CubicMetresPerKilogram | null =>
  warm(temperature) && thick(pressure)
    ? cubicMetresPerKilogram(air.GetDryAirVolume(temperature, pressure))
    : null

/** Humidity ratio. Null outside `humidAirValidity` and for a wet bulb above the dry one. Unit: kg/kg. @source AIR-6 */
export function humidityRatioFromWetBulb(given: WetBulbAir): KilogramsPerKilogram | null {
  if (!validWetBulb(given)) return null
  // The library lifts ratios below 1e-7 to it: a wet bulb too low for any air comes out as perfectly dry air.
  const ratio = air.GetHumRatioFromTWetBulb(given.temperature, given.wetBulb, given.pressure)
  return ratio > 1e-7 ? kilogramsPerKilogram(ratio) : null
}

/** Dew point. Null as above. Unit: degC. @source AIR-7 */
export const dewPointFromWetBulb = (given: WetBulbAir): Celsius | null =>
  humidityRatioFromWetBulb(given) === null
    ? null
    : celsius(air.GetTDewPointFromTWetBulb(given.temperature, given.wetBulb, given.pressure))

/** Relative humidity. Null as above. Unit: %. @source AIR-8 */
export const humidityFromWetBulb = (given: WetBulbAir): Percent | null =>
  humidityRatioFromWetBulb(given) === null
    ? null
    : percent(100 * air.GetRelHumFromTWetBulb(given.temperature, given.wetBulb, given.pressure))

/** Enthalpy of moist air, per kg of dry air. Null as above. Unit: J/kg. @source AIR-9 */
export function enthalpyFromWetBulb(given: WetBulbAir): JoulesPerKilogram | null {
  const ratio = humidityRatioFromWetBulb(given)
  return ratio === null ? null : joulesPerKilogram(air.GetMoistAirEnthalpy(given.temperature, ratio))
}

/** Volume of moist air, per kg of dry air. Null as above. Unit: m3/kg. @source AIR-10 */
export function volumeFromWetBulb(given: WetBulbAir): CubicMetresPerKilogram | null {
  const ratio = humidityRatioFromWetBulb(given)
  if (ratio === null) return null
  return cubicMetresPerKilogram(air.GetMoistAirVolume(given.temperature, ratio, given.pressure))
}

/** Humidity ratio. Null outside `humidAirValidity`. Unit: kg/kg. @source AIR-11 */
export const humidityRatio = (given: HumidAir): KilogramsPerKilogram | null =>
  valid(given)
    ? kilogramsPerKilogram(air.GetHumRatioFromRelHum(given.temperature, given.humidity / 100, given.pressure))
    : null

/**
 * Dew point (frost point below 0.01 degC); it does not depend on pressure. Null outside -100 to 200 degC and 0 to
 * 100 %, and for air so dry that it would lie below -100 degC. Unit: degC.
 * @source AIR-12
 */
export function dewPoint(temperature: Celsius, humidity: Percent): Celsius | null {
  if (!warm(temperature) || !moist(humidity)) return null
  const vapour = (humidity / 100) * air.GetSatVapPres(temperature)
  return vapour < driest ? null : celsius(air.GetTDewPointFromVapPres(temperature, vapour))
}

const driest = air.GetSatVapPres(humidAirValidity.temperature[0])

/** Vapour pressure deficit of the air. Null outside -100 to 200 degC and 0 to 100 %. Unit: Pa. @source AIR-13 */
export const vapourPressureDeficit = (temperature: Celsius, humidity: Percent): Pascals | null =>
  warm(temperature) && moist(humidity) ? pascals(air.GetSatVapPres(temperature) * (1 - humidity / 100)) : null

/** Wet-bulb temperature. Null outside `humidAirValidity` and where the dew point is. Unit: degC. @source AIR-14 */
export const wetBulb = (given: HumidAir): Celsius | null =>
  valid(given) && dewPoint(given.temperature, given.humidity) !== null
    ? celsius(air.GetTWetBulbFromRelHum(given.temperature, given.humidity / 100, given.pressure))
    : null

/** Density of moist air. Null outside `humidAirValidity`. Unit: kg/m3. @source AIR-15 */
export function moistAirDensity(given: HumidAir): KilogramsPerCubicMetre | null {
  const ratio = humidityRatio(given)
  if (ratio === null) return null
  return kilogramsPerCubicMetre(air.GetMoistAirDensity(given.temperature, ratio, given.pressure))
}
