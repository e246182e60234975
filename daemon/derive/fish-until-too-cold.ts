import { speciesOf } from '../farm/resolve-places.js'
import { celsius } from '../units/brands.js'
import { waterTemperature } from './common-inputs.js'
import { derivation, given, whereMeasured } from './derivation.js'
import { houseHumidity, houseTemperature } from './house-inputs.js'
import { coldEquation, coldInputs, tellUntilTooCold, untilTooCold } from './until-too-cold.js'

/** What the fish bear, for tanks that have any. */
const fishLimit = given(['lowest for the fish', 'Cel'], celsius, (_plan, place) => {
  if (place.fish === null) return null
  const { label, temperatureLow } = speciesOf(place)
  return { value: temperatureLow.value, says: `${label}: ${temperatureLow.source}` }
})

/** Hours until the fish of a tank have it too cold, if all heat stops now. */
export const fishUntilTooCold = derivation(untilTooCold, {
  ...coldEquation,
  places: ['tank'],
  inputs: {
    ...{ tank: waterTemperature, air: houseTemperature, humidity: whereMeasured(houseHumidity) },
    ...{ limit: fishLimit, ...coldInputs },
  },
  compute: (known, at) => tellUntilTooCold('water', known, at, null),
  valid: '-20 to 60 degC',
})
