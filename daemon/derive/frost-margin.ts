import { frostMargin as marginOf } from '../heat/cover.js'
import { celsius } from '../units/brands.js'
import { minutes } from '../units/time.js'
import { airTemperature } from './common-inputs.js'
import { derivation, measured } from './derivation.js'

/** Below zero leaves under the cover freeze, though the air may not. */
export const frostMargin = derivation('frost_margin', {
  places: ['air'],
  inputs: { air: airTemperature, cover: measured('cover_temperature', celsius, minutes(30)) },
  compute: ({ air, cover }) => marginOf(air, cover),
  equation: 'HT-22',
  source: 'linear heat balance of a dry leaf (first principles; films of common practice)',
  valid: '-60 to 60 degC, no sun',
})
