import { oxygenSaturationPercent } from '../chemistry/oxygen-saturation.js'
import { atmospheres, milligramsPerLitre } from '../units/brands.js'
import { hours, minutes } from '../units/time.js'
import { kilopascalsPerAtmosphere, pressure, salinity, waterTemperature } from './common-inputs.js'
import { derivation, measuredOrEntered, waterPlaces } from './derivation.js'

export const oxygenSaturation = derivation('oxygen_saturation', {
  places: waterPlaces,
  inputs: {
    oxygen: measuredOrEntered('dissolved_oxygen', milligramsPerLitre, {
      maxAge: hours(1),
      uncertainAfter: minutes(10),
    }),
    temperature: waterTemperature,
    salinity,
    pressure,
  },
  compute: ({ oxygen, temperature, salinity: salt, pressure: air }) =>
    oxygenSaturationPercent(oxygen, {
      temperature,
      salinity: salt,
      pressure: atmospheres(air / kilopascalsPerAtmosphere),
    }),
  equation: 'DO-4',
  source: 'Benson & Krause 1984; USGS Office of Water Quality Technical Memorandum 2011.03',
  valid: '0-40 degC, salinity 0-40 g/kg, 0.5-1.1 atm',
})
