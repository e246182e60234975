import { vapourPressureDeficit as deficitOf } from '../heat/humid-air.js'
import { airTemperature, relativeHumidity } from './common-inputs.js'
import { airPlaces, derivation } from './derivation.js'
import { atMostSaturated } from './saturated-air.js'

/** Of the air, not of the leaf, which is usually a little cooler. Unit: kPa. */
export const vapourPressureDeficit = derivation('vapour_pressure_deficit', {
  places: airPlaces,
  inputs: { temperature: airTemperature, humidity: relativeHumidity },
  compute: ({ temperature, humidity }) => {
    const deficit = deficitOf(temperature, atMostSaturated(humidity))
    return deficit === null ? null : deficit / 1000
  },
  equation: 'AIR-13',
  source: 'ASHRAE Handbook - Fundamentals (2017) ch. 1',
  valid: '-100 to 200 degC, 0 to 100 %',
})
