import { condensationMargin as marginOf } from '../heat/cover.js'
import { celsius } from '../units/brands.js'
import { minutes } from '../units/time.js'
import { derivation, measured } from './derivation.js'

/** Below zero the cover gets wet inside, and drips. */
export const condensationMargin = derivation('condensation_margin', {
  places: ['air'],
  inputs: {
    cover: measured('cover_temperature', celsius, minutes(30)),
    dewPoint: measured('dew_point', celsius, minutes(30)),
  },
  compute: ({ cover, dewPoint }) => marginOf(cover, dewPoint),
  equation: 'HT-20',
  source: 'definition: inner face of the cover less the dew point',
  valid: '-60 to 60 degC, no sun',
})
