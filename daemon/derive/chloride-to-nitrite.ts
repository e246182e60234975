import { chlorideForNitrite } from '../chemistry/nitrogen-balance.js'
import { chlorideToNitriteRatio } from '../chemistry/nitrite-chloride.js'
import { milligramsPerLitre, milligramsPerLitreAsN } from '../units/brands.js'
import { days } from '../units/time.js'
import { testKit } from './common-inputs.js'
import { derivation, measuredOrEntered, waterPlaces } from './derivation.js'

/** Chloride goes only with water that is changed: an entry counts for a month (common practice). */
const chloride = measuredOrEntered('chloride', milligramsPerLitre, {
  maxAge: days(30),
  uncertainAfter: days(14),
})

/** How much chloride there is for each nitrite (as NO2): it keeps nitrite out of the blood of fish. */
export const chlorideToNitrite = derivation('chloride_to_nitrite_ratio', {
  places: waterPlaces,
  inputs: { chloride, nitrite: measuredOrEntered('nitrite_nitrogen', milligramsPerLitreAsN, testKit) },
  compute: ({ chloride: there, nitrite }) => {
    const told = { low: null, high: null, limit: chlorideToNitriteRatio, doubtful: false }
    if (nitrite === 0) return { ...told, value: null, says: 'there is no nitrite' }
    const value = chlorideForNitrite(there, nitrite)
    return value === null ? null : { ...told, value, says: null }
  },
  equation: 'NC-2',
  source: 'Durborow, Crosby & Brunson 1997, SRAC Publication 462: at least 10 for channel catfish',
  valid: 'fresh water; nitrite counted as NO2',
})
