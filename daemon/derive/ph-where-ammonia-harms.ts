import { headroomPh } from '../chemistry/ammonia.js'
import { speciesOf } from '../farm/resolve-places.js'
import { milligramsPerLitreAsN } from '../units/brands.js'
import { salinity, testKit, waterTemperature } from './common-inputs.js'
import { derivation, given, measuredOrEntered } from './derivation.js'

const ammoniaLimit = given(['un-ionised the fish bear', 'mg/L'], milligramsPerLitreAsN, (_plan, place) => {
  if (place.fish === null) return null
  const { label, unionisedAmmonia } = speciesOf(place)
  return { value: unionisedAmmonia.value, says: `${label}: ${unionisedAmmonia.source}` }
})

/** The pH at which the ammonia that is there now reaches what the fish bear: look at it before raising the pH. */
export const phWhereAmmoniaHarms = derivation('ph_where_ammonia_harms', {
  places: ['tank'],
  inputs: {
    total: measuredOrEntered('total_ammonia_nitrogen', milligramsPerLitreAsN, testKit),
    temperature: waterTemperature,
    ...{ salinity, limit: ammoniaLimit },
  },
  compute: ({ total, limit, ...water }) => {
    if (total > limit) return headroomPh(total, limit, water)
    const says = 'there is less ammonia than would harm at any pH'
    return total < 0 ? null : { value: null, low: null, high: null, limit: null, says, doubtful: false }
  },
  equation: 'NH-7',
  source: 'Emerson, Russo, Lund & Thurston 1975, solved for pH',
  valid: '0-50 degC, salinity 0-40 g/kg',
})
