import { openWaterOf } from '../heat/cold-figures.js'
import { evaporation as evaporationOf } from '../heat/evaporation.js'
import { humidityRatio, saturationHumidityRatio } from '../heat/humid-air.js'
import { stillAir } from '../heat/hours-until-cold.js'
import { pascals, squareMetres } from '../units/brands.js'
import { pressure, waterTemperature } from './common-inputs.js'
import { derivation, given } from './derivation.js'
import { basinOf } from './house-figures.js'
import { houseHumidity, houseTemperature } from './house-inputs.js'
import { atMostSaturated } from './saturated-air.js'

const openWater = given(['open water', 'm2'], squareMetres, (_plan, place) => {
  const [basin] = basinOf(place)
  if (basin === undefined || basin.surface === null) return null
  return { value: openWaterOf(basin), says: 'seven tenths of the surface: lids' }
})

/** What the air of the house takes from the open water of a tank or sump. */
export const evaporation = derivation('evaporation', {
  places: ['tank', 'sump'],
  inputs: {
    water: waterTemperature,
    ...{ air: houseTemperature, humidity: houseHumidity, pressure, openWater },
  },
  compute: ({ water, air, humidity, pressure: kilopascals, openWater: area }) => {
    const at = pascals(1000 * kilopascals)
    const saturated = saturationHumidityRatio(water, at)
    const ratio = humidityRatio({ temperature: air, humidity: atMostSaturated(humidity), pressure: at })
    if (saturated === null || ratio === null) return null
    const hourly = evaporationOf(stillAir, area, { saturated, air: ratio })
    // A kilogram is a litre, within 0.5 % below 30 degC.
    return hourly === null ? null : 24 * Math.max(0, hourly)
  },
  equation: 'HT-12',
  source: 'engineering references (formula without a named author); still air of 0.1 m/s',
  valid: '0-100 %, 30-120 kPa, below boiling',
})
