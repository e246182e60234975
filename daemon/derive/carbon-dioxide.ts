import { freeCarbonDioxide } from '../chemistry/carbonate.js'
import { milligramsPerLitreAsCaCO3 } from '../units/brands.js'
import { acidity, testKit, waterTemperature } from './common-inputs.js'
import { derivation, measuredOrEntered, waterPlaces } from './derivation.js'

export const carbonDioxide = derivation('carbon_dioxide', {
  places: waterPlaces,
  inputs: {
    ph: acidity,
    temperature: waterTemperature,
    alkalinity: measuredOrEntered('alkalinity', milligramsPerLitreAsCaCO3, testKit),
  },
  compute: ({ alkalinity, ...water }) => freeCarbonDioxide(water, alkalinity),
  equation: 'CO2-1',
  source: 'Plummer & Busenberg 1982',
  valid: 'pH 6-8.3, 0-90 degC, bicarbonate waters',
})
