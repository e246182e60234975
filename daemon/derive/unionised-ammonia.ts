import { unionisedAmmoniaNitrogen } from '../chemistry/ammonia.js'
import { milligramsPerLitreAsN } from '../units/brands.js'
import { acidity, salinity, testKit, waterTemperature } from './common-inputs.js'
import { derivation, measuredOrEntered, waterPlaces } from './derivation.js'

export const unionisedAmmonia = derivation('unionised_ammonia_nitrogen', {
  places: waterPlaces,
  inputs: {
    total: measuredOrEntered('total_ammonia_nitrogen', milligramsPerLitreAsN, testKit),
    ph: acidity,
    temperature: waterTemperature,
    salinity,
  },
  compute: ({ total, ...water }) => unionisedAmmoniaNitrogen(total, water),
  equation: 'NH-3',
  source: 'Emerson, Russo, Lund & Thurston 1975; salt water: form of US EPA 1989, from memory',
  valid: '0-50 degC, pH 0-14, salinity 0-40 g/kg',
})
