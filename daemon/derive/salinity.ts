import { salinityFromConductivity } from '../chemistry/salinity.js'
import { microsiemensPerCentimetre } from '../units/brands.js'
import { testKit } from './common-inputs.js'
import { derivation, measuredOrEntered, waterPlaces } from './derivation.js'

/** The conductivity must be referred to 25 degC, as probes with automatic compensation report it. */
export const salinityOfWater = derivation('salinity', {
  places: waterPlaces,
  inputs: { conductivity: measuredOrEntered('conductivity', microsiemensPerCentimetre, testKit) },
  compute: ({ conductivity }) => salinityFromConductivity(conductivity),
  equation: 'DO-6',
  source: 'USGS Office of Water Quality Technical Memorandum 2011.03',
  valid: '0-60 000 uS/cm at 25 degC, salts like those of the sea',
})
