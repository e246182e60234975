import { basinConductance, coldHouse, courseOf } from '../heat/cold-figures.js'
import { condensationMargin, coverTemperature, frostMargin, leafTemperature } from '../heat/cover.js'
import { heaterMargin } from '../heat/heat-loss.js'
import { coldHorizon, evaporativeLoss, hoursUntilCold } from '../heat/hours-until-cold.js'
import { solarNoon, sunTimes } from '../heat/sun.js'
import { twoBodiesAfter } from '../heat/two-bodies.js'
import * as unit from '../units/brands.js'
import { aboveZero, zeroOrMore, type Range } from '../units/range.js'
import { after, between, hours, type EpochMs } from '../units/time.js'
import { calculation, refused, type Answer, type Values } from './calculation.js'
import { equations } from './equations.js'
import {
  airTemperature,
  area,
  bare,
  date,
  flag,
  humidity,
  measure,
  optional,
  perHour,
  unless,
  volume,
  word,
} from './inputs.js'

const kelvinPer: Range = aboveZero
const wattsPerKelvin = measure(unit.wattsPerKelvin, 'W/K', kelvinPer)
const heat = measure((value) => unit.joulesPerKelvin(1000 * value), 'kJ/K', kelvinPer)
const cooling: Range = [-20, 60]
const temperature = measure(unit.celsius, 'degC', cooling)

const bodies = {
  water_heat: heat,
  air_heat: heat,
  water_to_air: wattsPerKelvin,
  air_to_outside: wattsPerKelvin,
  water_temperature: airTemperature,
  air_temperature: airTemperature,
  outside: airTemperature,
  into_water: unless(bare('W', [-Number.MAX_VALUE, Number.MAX_VALUE]), 0),
  into_air: unless(bare('W', [-Number.MAX_VALUE, Number.MAX_VALUE]), 0),
  time: measure(unit.inHours, 'h', zeroOrMore),
}
const settled = (given: Values<typeof bodies>) =>
  twoBodiesAfter(
    {
      waterHeat: given.water_heat,
      airHeat: given.air_heat,
      waterToAir: given.water_to_air,
      airToOutside: given.air_to_outside,
    },
    { water: given.water_temperature, air: given.air_temperature },
    {
      outside: given.outside,
      intoWater: unit.watts(given.into_water),
      intoAir: unit.watts(given.into_air),
    },
    given.time,
  )

const twoBodies = (['water', 'air'] as const).map((of) =>
  calculation(`${of}_temperature_after`, {
    label: `temperature of the ${of} when house and water have cooled for a time`,
    unit: 'degC',
    inputs: bodies,
    equation: equations['HT-18'],
    compute: (given) => settled(given)?.[of] ?? null,
  }),
)

const coldNight = {
  of: word('water', 'air'),
  limit: temperature,
  water_temperature: temperature,
  air_temperature: temperature,
  outside: temperature,
  forecast_minimum: optional(temperature),
  until_sunrise: optional(measure(unit.inHours, 'h', [0, 24])),
  area,
  u_value: measure(unit.wattsPerSquareMetreKelvin, 'W/(m2.K)', zeroOrMore),
  volume,
  air_changes: perHour,
  water: volume,
  water_to_air: wattsPerKelvin,
  open_water: unless(area, unit.squareMetres(0)),
  relative_humidity: unless(humidity, unit.percent(85)),
  case: unless(word('usual', 'soon', 'late'), 'usual'),
}

function untilCold(given: Values<typeof coldNight>): Answer {
  const figures = {
    cover: given.area,
    uValue: given.u_value,
    volume: given.volume,
    airChanges: given.air_changes,
    water: given.water,
    waterToAir: given.water_to_air,
    openWater: given.open_water,
    humidity: given.relative_humidity,
    airPace: null,
  }
  const house = coldHouse(figures, given.of, given.case)
  if (house === null) return null
  const night = {
    now: given.outside,
    forecast: given.forecast_minimum,
    hoursUntilSunrise: given.until_sunrise,
  }
  const until = hoursUntilCold(
    house,
    { water: given.water_temperature, air: given.air_temperature },
    given,
    courseOf(night, given.case),
  )
  if (until === null) return null
  if (until.kind === 'never') return refused(`not within ${coldHorizon / 24} days`)
  return until.kind === 'now' ? 0 : until.hours
}

const houses = [
  calculation('hours_until_too_cold', {
    label: 'time until water or air of a house without heat reaches a temperature',
    unit: 'h',
    inputs: coldNight,
    equation: equations['HT-18'],
    compute: untilCold,
    cautions: [
      'No sun is counted. Case soon and late are the ends of the interval of four times out of five.',
    ],
  }),
  calculation('basin_conductance', {
    label: 'warmth that a basin gives to the air',
    unit: 'W/K',
    inputs: {
      volume: measure(unit.cubicMetres, 'm3', aboveZero),
      surface: optional(measure(unit.squareMetres, 'm2', aboveZero)),
      covered: unless(flag, false),
    },
    equation: equations['HT-25'],
    compute: basinConductance,
  }),
  calculation('evaporative_heat_loss', {
    label: 'heat that evaporation takes from open water',
    unit: 'W',
    inputs: {
      water_temperature: temperature,
      air_temperature: temperature,
      area,
      relative_humidity: humidity,
    },
    equation: equations['HT-24'],
    compute: (given) =>
      evaporativeLoss(
        { water: given.water_temperature, air: given.air_temperature },
        given.area,
        given.relative_humidity,
      ),
  }),
  calculation('heater_margin', {
    label: 'what heaters give beyond the loss of the house',
    unit: 'W',
    inputs: {
      rated_power: measure(unit.watts, 'W', zeroOrMore),
      heat_loss: measure(unit.watts, 'W', [-Number.MAX_VALUE, Number.MAX_VALUE]),
    },
    equation: equations['HT-23'],
    compute: (given) => heaterMargin(given.rated_power, given.heat_loss),
  }),
]

const cover = { air_temperature: airTemperature, cover_temperature: airTemperature }

const surfaces = [
  calculation('cover_temperature', {
    label: 'inner face of the cover',
    unit: 'degC',
    inputs: {
      u_value: measure(unit.wattsPerSquareMetreKelvin, 'W/(m2.K)', zeroOrMore),
      inside: airTemperature,
      outside: airTemperature,
    },
    equation: equations['HT-19'],
    compute: ({ u_value: uValue, ...air }) => coverTemperature(uValue, air),
  }),
  calculation('condensation_margin', {
    label: 'how much warmer a face is than the dew point',
    unit: 'K',
    inputs: { cover_temperature: airTemperature, dew_point: measure(unit.celsius, 'degC', [-100, 60]) },
    equation: equations['HT-20'],
    compute: (given) => condensationMargin(given.cover_temperature, given.dew_point),
  }),
  calculation('leaf_temperature', {
    label: 'a dry leaf under the cover at night',
    unit: 'degC',
    inputs: cover,
    equation: equations['HT-21'],
    compute: (given) => leafTemperature(given.air_temperature, given.cover_temperature),
  }),
  calculation('frost_margin', {
    label: 'how far a leaf under the cover is from freezing',
    unit: 'K',
    inputs: cover,
    equation: equations['HT-22'],
    compute: (given) => frostMargin(given.air_temperature, given.cover_temperature),
  }),
]

const site = { latitude: bare('deg', [-90, 90]), longitude: bare('deg', [-180, 180]), date }

/** Hours from 0:00 UTC of the date; far from Greenwich it may lie on the day before or after. */
const sunHours = (noon: EpochMs, at: EpochMs): number => between(after(noon, hours(-12)), at) / hours(1)

const sun = (['sunrise', 'sunset'] as const).map((event) =>
  calculation(event, {
    label: `${event}, hours from 0:00 UTC of the date`,
    unit: 'h',
    inputs: site,
    equation: equations['SUN-1'],
    compute: (given) => {
      const times = sunTimes(solarNoon(given.date, given.longitude), given)
      if (times === null) return refused(`there is no ${event} on that day at that latitude`)
      return sunHours(given.date, times[event])
    },
  }),
)

export const coolingCalculations = [...twoBodies, ...houses, ...surfaces, ...sun]
