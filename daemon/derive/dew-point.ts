import { dewPoint as dewPointOf } from '../heat/humid-air.js'
import { airTemperature, relativeHumidity } from './common-inputs.js'
import { airPlaces, derivation } from './derivation.js'
import { atMostSaturated } from './saturated-air.js'

export const dewPoint = derivation('dew_point', {
  places: airPlaces,
  inputs: { temperature: airTemperature, humidity: relativeHumidity },
  compute: ({ temperature, humidity }) => dewPointOf(temperature, atMostSaturated(humidity)),
  equation: 'AIR-12',
  source: 'ASHRAE Handbook - Fundamentals (2017) ch. 1',
  valid: '-100 to 200 degC, above 0 to 100 %',
})
