import { evaporation, evaporationOfEnergy } from '../heat/evaporation.js'
import { frostMinimum, frostNightsMin } from '../heat/frost.js'
import { conductionLossBtu, infiltrationLossBtu, pondEvaporation } from '../heat/heat-loss-american.js'
import { conductionLoss, infiltrationLoss } from '../heat/heat-loss.js'
import { heatingEnergy, hoursUntilTemperature, timeConstant } from '../heat/water-temperature.js'
import * as unit from '../units/brands.js'
import { zeroOrMore, type Range } from '../units/range.js'
import { calculation, refused, type Answer, type Values } from './calculation.js'
import { equations } from './equations.js'
import {
  airTemperature,
  area,
  bare,
  kelvinDifference,
  measure,
  measures,
  perHour,
  plain,
  temperatureAnywhere,
  unless,
  volume,
} from './inputs.js'

const anything: Range = [-Number.MAX_VALUE, Number.MAX_VALUE]
const differenceF = bare('degF', anything, { difference: true })
const inAndOut = { inside: airTemperature, outside: airTemperature }
const water = measure(unit.kilograms, 'kg', zeroOrMore)
const ua = measure(unit.wattsPerKelvin, 'W/K', [Number.MIN_VALUE, Number.MAX_VALUE])
const localCodes = [
  'Fuel heaters and generators need fresh air, local codes and qualified people (carbon monoxide).',
]

const losses = [
  calculation('conduction_heat_loss', {
    label: 'heat through the cover',
    unit: 'W',
    inputs: { area, u_value: measure(unit.wattsPerSquareMetreKelvin, 'W/(m2.K)', zeroOrMore), ...inAndOut },
    equation: equations['HT-3'],
    compute: (given) => conductionLoss(given.area, given.u_value, given),
    cautions: localCodes,
  }),
  calculation('conduction_heat_loss_ip', {
    label: 'heat through the cover, American units',
    unit: 'Btu/h',
    inputs: { area: bare('ft2'), u_value: bare('Btu/(h.ft2.degF)'), delta_t: differenceF },
    equation: equations['HT-2'],
    compute: (given) => conductionLossBtu(given.area, given.u_value, given.delta_t),
    cautions: localCodes,
  }),
  calculation('infiltration_heat_loss_sensible', {
    label: 'heat with leaking air, without the latent part',
    unit: 'W',
    inputs: { volume, air_changes: perHour, ...inAndOut },
    equation: equations['HT-4'],
    compute: (given) => infiltrationLoss(given.volume, given.air_changes, given),
  }),
  calculation('infiltration_heat_loss_ip', {
    label: 'heat with leaking air, American units',
    unit: 'Btu/h',
    inputs: { volume: bare('ft3'), air_changes: bare('1/h'), delta_t: differenceF },
    equation: equations['HT-5'],
    compute: (given) => infiltrationLossBtu(given.volume, given.air_changes, given.delta_t),
  }),
]

const waterHeat = [
  calculation('water_heating_energy', {
    label: 'heat that warms water',
    unit: 'kWh',
    inputs: { water, delta_t: kelvinDifference },
    equation: equations['HT-8'],
    compute: (given) => heatingEnergy(given.water, given.delta_t),
  }),
  calculation('thermal_time_constant', {
    label: 'time constant of the water',
    unit: 'h',
    inputs: { water, ua },
    equation: equations['HT-9'],
    compute: (given) => timeConstant(given.water, given.ua),
  }),
  calculation('hours_until_temperature', {
    label: 'time until water without heating reaches a temperature',
    unit: 'h',
    inputs: {
      start: temperatureAnywhere,
      ambient: temperatureAnywhere,
      limit: temperatureAnywhere,
      water,
      ua,
    },
    equation: equations['HT-10'],
    compute: (given) => {
      const until = hoursUntilTemperature(given, given.water, given.ua)
      if (until === null) return null
      if (until.kind === 'never') return refused('never reached: the surroundings are not beyond the limit')
      return until.kind === 'now' ? 0 : until.hours
    },
  }),
]

const open = {
  wind: measure(unit.metresPerSecond, 'm/s', [0, 2]),
  area,
  xs: measure(unit.kilogramsPerKilogram, '1', zeroOrMore),
  x: measure(unit.kilogramsPerKilogram, '1', zeroOrMore),
}
const openWater = (given: Values<typeof open>) =>
  evaporation(given.wind, given.area, { saturated: given.xs, air: given.x })

const evaporations = [
  calculation('evaporation_25_19v_hour', {
    label: 'evaporation of open water',
    unit: 'kg/h',
    inputs: open,
    equation: equations['HT-12'],
    compute: openWater,
  }),
  calculation('evaporation_25_19v', {
    label: 'evaporation of open water',
    unit: 'kg/s',
    inputs: open,
    equation: equations['HT-11'],
    compute: (given) => {
      const hourly = openWater(given)
      return hourly === null ? null : hourly / 3600
    },
  }),
  calculation('evaporation_pond_ip', {
    label: 'evaporation of a pond, American units',
    unit: 'lb/(h.ft2)',
    inputs: {
      wind: bare('mi/h'),
      pw: bare('inHg'),
      pa: bare('inHg'),
      latent_heat: bare('Btu/lb', [Number.MIN_VALUE, Number.MAX_VALUE]),
      A: unless(plain(zeroOrMore), 95),
      B: unless(plain(zeroOrMore), 37.4),
    },
    equation: equations['HT-13'],
    compute: (given) =>
      pondEvaporation(
        {
          wind: given.wind,
          waterVapourPressure: given.pw,
          airVapourPressure: given.pa,
          latentHeat: given.latent_heat,
        },
        [given.A, given.B],
      ),
  }),
  calculation('evaporation_equivalent', {
    label: 'water that this much energy evaporates',
    unit: 'mm',
    inputs: { energy: measure(unit.megajoulesPerSquareMetre, 'MJ/m2', zeroOrMore) },
    equation: equations['HT-16'],
    compute: (given) => evaporationOfEnergy(given.energy),
  }),
]

const nights = {
  temperature_2h_after_sunset: measures(unit.celsius, 'degC', [-60, 60]),
  dew_point_2h_after_sunset: measures(unit.celsius, 'degC', [-60, 60]),
  minimum: measures(unit.celsius, 'degC', [-60, 60]),
  temperature: airTemperature,
  dew_point: airTemperature,
}

function frost(given: Values<typeof nights>): Answer {
  const {
    temperature_2h_after_sunset: temperatures,
    dew_point_2h_after_sunset: dewPoints,
    minimum: minima,
  } = given
  if (temperatures.length !== dewPoints.length || temperatures.length !== minima.length) {
    return refused('the three lists must be of the same nights: they are of different length')
  }
  if (minima.length < frostNightsMin) return refused(`give at least ${frostNightsMin} nights`)
  const past = temperatures.flatMap((temperature, night) => {
    const [dewPoint, minimum] = [dewPoints[night], minima[night]]
    return dewPoint === undefined || minimum === undefined ? [] : [{ temperature, dewPoint, minimum }]
  })
  return frostMinimum(past, { temperature: given.temperature, dewPoint: given.dew_point })
}

export const heatCalculations = [
  ...losses,
  ...waterHeat,
  ...evaporations,
  calculation('frost_minimum_forecast', {
    label: 'minimum of a calm, clear night',
    unit: 'degC',
    inputs: nights,
    equation: equations['HT-17'],
    compute: frost,
  }),
]
