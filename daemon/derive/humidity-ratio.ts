import { humidityRatio as humidityRatioOf } from '../heat/humid-air.js'
import { pascals } from '../units/brands.js'
import { airTemperature, pressure, relativeHumidity } from './common-inputs.js'
import { airPlaces, derivation } from './derivation.js'
import { atMostSaturated } from './saturated-air.js'

/** Water in the air, in g for each kg of dry air. */
export const humidityRatio = derivation('humidity_ratio', {
  places: airPlaces,
  inputs: { temperature: airTemperature, humidity: relativeHumidity, pressure },
  compute: ({ temperature, humidity, pressure: kilopascals }) => {
    const air = { temperature, humidity: atMostSaturated(humidity), pressure: pascals(1000 * kilopascals) }
    const ratio = humidityRatioOf(air)
    return ratio === null ? null : 1000 * ratio
  },
  equation: 'AIR-11',
  source: 'ASHRAE Handbook - Fundamentals (2017) ch. 1',
  valid: '-100 to 200 degC, 0 to 100 %, 30-120 kPa, below boiling',
})
