import { lowestMeasuredPh, nitrificationCapacity, nitrifierPaces } from '../chemistry/nitrifiers.js'
import { derivation } from './derivation.js'
import { mediaArea, nitrifierInputs } from './loop-inputs.js'

/** Ammonia that the media of a biofilter can turn over in a day, if there is enough of it. */
export const nitrificationCapacityOfMedia = derivation('nitrification_capacity', {
  places: ['biofilter'],
  inputs: { media: mediaArea, ...nitrifierInputs },
  compute: ({ media, ...water }) => {
    const value = nitrificationCapacity(media, water, nitrifierPaces.usual)
    if (value === null) return null
    const doubtful = water.ph < lowestMeasuredPh
    return {
      value,
      low: nitrificationCapacity(media, water, nitrifierPaces.low),
      high: nitrificationCapacity(media, water, nitrifierPaces.high),
      limit: null,
      says: doubtful ? `nobody measured below pH ${lowestMeasuredPh}: carried on` : null,
      doubtful,
    }
  },
  equation: 'NIT-13',
  source: 'Rusten et al. 2006; interval: their figure 3, and Guerdat et al. 2010 (conditions from memory)',
  valid: '4-30 degC, pH 6-9, a filter that has grown in',
})
