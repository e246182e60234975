import { coverTemperature as coverTemperatureOf } from '../heat/cover.js'
import { airTemperature } from './common-inputs.js'
import { derivation } from './derivation.js'
import { uValue } from './house-figures.js'
import { outsideTemperature } from './house-inputs.js'

/** Inner face of the cover, without the sky's pull on clear nights. */
export const coverTemperature = derivation('cover_temperature', {
  places: ['air'],
  inputs: { inside: airTemperature, outside: outsideTemperature, uValue },
  compute: ({ uValue: transfer, ...air }) => coverTemperatureOf(transfer, air),
  equation: 'HT-19',
  source: 'steady state with the internal surface resistance of ISO 6946 (from memory)',
  valid: '-60 to 60 degC, no sun',
})
