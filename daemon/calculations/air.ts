import * as ashrae from '../heat/humid-air.js'
import * as field from '../heat/vapour-pressure.js'
import * as atmosphere from '../heat/atmosphere.js'
import { celsius, pascals } from '../units/brands.js'
import { calculation, type Answer, type Equation, type Values } from './calculation.js'
import { equations } from './equations.js'
import { altitude, humidity, measure, plain, pressureKilopascals, pressurePascals, unless } from './inputs.js'

const temperature = measure(celsius, 'degC', [-100, 200])
const pressure = unless(pressurePascals, pascals(atmosphere.standardAtmosphere))
const saturated = { temperature, pressure }
const wetAndDry = { temperature, wet_bulb: temperature, pressure }
const moist = { temperature, relative_humidity: humidity, pressure }

/** Written once for every property of saturated air, of air by its wet bulb, of air by its humidity. */
const ofSaturated = (
  quantity: string,
  label: string,
  unit: string,
  [equation, compute]: [Equation, (given: Values<typeof saturated>) => Answer],
) => calculation(quantity, { label, unit, inputs: saturated, equation, compute })
const byWetBulb = (
  quantity: string,
  label: string,
  unit: string,
  [equation, compute]: [Equation, (given: ashrae.WetBulbAir) => Answer],
) =>
  calculation(quantity, {
    label,
    unit,
    inputs: wetAndDry,
    equation,
    compute: ({ wet_bulb: wetBulb, ...rest }) => compute({ wetBulb, ...rest }),
  })
const byHumidity = (
  quantity: string,
  label: string,
  unit: string,
  [equation, compute]: [Equation, (given: ashrae.HumidAir) => Answer],
) =>
  calculation(quantity, {
    label,
    unit,
    inputs: moist,
    equation,
    compute: ({ relative_humidity, ...rest }) => compute({ humidity: relative_humidity, ...rest }),
  })

const psychrometrics = [
  calculation('saturation_vapour_pressure', {
    label: 'saturation vapour pressure',
    unit: 'Pa',
    inputs: { temperature },
    equation: equations['AIR-1'],
    compute: (given) => ashrae.saturationVapourPressure(given.temperature),
  }),
  ofSaturated('saturation_humidity_ratio', 'humidity ratio of saturated air', 'kg/kg', [
    equations['AIR-2'],
    (air) => ashrae.saturationHumidityRatio(air.temperature, air.pressure),
  ]),
  ofSaturated('saturated_air_enthalpy', 'enthalpy of saturated air', 'J/kg', [
    equations['AIR-3'],
    (air) => ashrae.saturatedAirEnthalpy(air.temperature, air.pressure),
  ]),
  ofSaturated('saturated_air_volume', 'volume of saturated air', 'm3/kg', [
    equations['AIR-4'],
    (air) => ashrae.saturatedAirVolume(air.temperature, air.pressure),
  ]),
  ofSaturated('dry_air_volume', 'volume of dry air', 'm3/kg', [
    equations['AIR-5'],
    (air) => ashrae.dryAirVolume(air.temperature, air.pressure),
  ]),
  byWetBulb('humidity_ratio_from_wet_bulb', 'humidity ratio', 'kg/kg', [
    equations['AIR-6'],
    ashrae.humidityRatioFromWetBulb,
  ]),
  byWetBulb('dew_point_from_wet_bulb', 'dew point', 'degC', [equations['AIR-7'], ashrae.dewPointFromWetBulb]),
  byWetBulb('relative_humidity_from_wet_bulb', 'relative humidity', '%', [
    equations['AIR-8'],
    ashrae.humidityFromWetBulb,
  ]),
  byWetBulb('enthalpy_from_wet_bulb', 'enthalpy of moist air', 'J/kg', [
    equations['AIR-9'],
    ashrae.enthalpyFromWetBulb,
  ]),
  byWetBulb('volume_from_wet_bulb', 'volume of moist air', 'm3/kg', [
    equations['AIR-10'],
    ashrae.volumeFromWetBulb,
  ]),
  byHumidity('humidity_ratio', 'humidity ratio', 'kg/kg', [equations['AIR-11'], ashrae.humidityRatio]),
  byHumidity('dew_point', 'dew point', 'degC', [
    equations['AIR-12'],
    (air) => ashrae.dewPoint(air.temperature, air.humidity),
  ]),
  byHumidity('vapour_pressure_deficit', 'vapour pressure deficit', 'Pa', [
    equations['AIR-13'],
    (air) => ashrae.vapourPressureDeficit(air.temperature, air.humidity),
  ]),
  byHumidity('wet_bulb', 'wet-bulb temperature', 'degC', [equations['AIR-14'], ashrae.wetBulb]),
  byHumidity('moist_air_density', 'density of moist air', 'kg/m3', [
    equations['AIR-15'],
    ashrae.moistAirDensity,
  ]),
]

const outdoor = measure(celsius, 'degC', [-20, 60])
const daily = { temperature_min: outdoor, temperature_max: outdoor }

const fieldForms = [
  calculation('saturation_vapour_pressure_tetens', {
    label: 'saturation vapour pressure, FAO-56',
    unit: 'kPa',
    inputs: { temperature: outdoor },
    equation: equations['AIR-16'],
    compute: (given) => field.saturationVapourPressureTetens(given.temperature),
  }),
  calculation('mean_saturation_vapour_pressure', {
    label: 'mean saturation vapour pressure of a day, FAO-56',
    unit: 'kPa',
    inputs: daily,
    equation: equations['AIR-17'],
    compute: ({ temperature_min: lowest, temperature_max: highest }) =>
      field.meanSaturationVapourPressure({ lowest, highest }),
  }),
  calculation('vapour_pressure_from_psychrometer', {
    label: 'actual vapour pressure, FAO-56',
    unit: 'kPa',
    inputs: {
      dry_bulb: outdoor,
      wet_bulb: outdoor,
      pressure: pressureKilopascals,
      a_psy: unless(plain([0, 0.01]), 0.000662),
    },
    equation: equations['AIR-18'],
    compute: ({ dry_bulb: dryBulb, wet_bulb: wetBulb, ...rest }) =>
      field.vapourPressureFromPsychrometer({ dryBulb, wetBulb }, rest.pressure, rest.a_psy),
  }),
  calculation('vapour_pressure_from_rh_range', {
    label: 'actual vapour pressure from the extremes of a day, FAO-56',
    unit: 'kPa',
    inputs: { ...daily, rh_max: humidity, rh_min: humidity },
    equation: equations['AIR-19'],
    compute: ({ temperature_min: lowest, temperature_max: highest, ...rh }) =>
      field.vapourPressureFromHumidities({ lowest, highest }, { lowest: rh.rh_min, highest: rh.rh_max }),
  }),
  calculation('saturation_vapour_pressure_slope', {
    label: 'slope of the saturation curve, FAO-56',
    unit: 'kPa/K',
    inputs: { temperature: outdoor },
    equation: equations['AIR-20'],
    compute: (given) => field.saturationSlope(given.temperature),
  }),
  calculation('psychrometric_constant', {
    label: 'psychrometric constant, FAO-56',
    unit: 'kPa/K',
    inputs: { pressure: pressureKilopascals },
    equation: equations['AIR-21'],
    compute: (given) => field.psychrometricConstant(given.pressure),
  }),
  calculation('vapour_pressure_deficit_tetens', {
    label: 'vapour pressure deficit, FAO-56',
    unit: 'kPa',
    inputs: { temperature: outdoor, relative_humidity: humidity },
    equation: equations['AIR-22'],
    compute: (given) => field.vapourPressureDeficitTetens(given.temperature, given.relative_humidity),
  }),
]

type ByAltitude = Parameters<typeof atmosphere.standardPressure>[0]
const ofAltitude = (
  quantity: string,
  label: string,
  unit: string,
  [equation, compute]: [Equation, (altitude: ByAltitude) => Answer],
) =>
  calculation(quantity, {
    label,
    unit,
    inputs: { altitude },
    equation,
    compute: (given) => compute(given.altitude),
  })

const atmospheric = [
  ofAltitude('standard_pressure', 'pressure of the standard atmosphere', 'Pa', [
    equations['ATM-1'],
    atmosphere.standardPressure,
  ]),
  ofAltitude('standard_pressure_geometric', 'the same, geometric altitude', 'Pa', [
    equations['ATM-2'],
    atmosphere.standardPressureGeometric,
  ]),
  ofAltitude('standard_temperature_geometric', 'temperature, geometric altitude', 'K', [
    equations['ATM-3'],
    atmosphere.standardTemperatureGeometric,
  ]),
  ofAltitude('standard_temperature', 'temperature of the standard atmosphere', 'degC', [
    equations['ATM-4'],
    atmosphere.standardTemperature,
  ]),
  ofAltitude('pressure_fao56', 'pressure as FAO-56 takes it', 'kPa', [
    equations['ATM-5'],
    atmosphere.pressureFao56,
  ]),
  calculation('station_pressure_simple', {
    label: 'pressure at the site from that reduced to sea level',
    unit: 'Pa',
    inputs: { sea_level_pressure: pressurePascals, altitude },
    equation: equations['ATM-6'],
    compute: (given) => atmosphere.stationPressure(given.sea_level_pressure, given.altitude),
  }),
]

export const airCalculations = [...psychrometrics, ...fieldForms, ...atmospheric]
