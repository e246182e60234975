import { speciesOf } from '../farm/resolve-places.js'
import { celsius } from '../units/brands.js'
import { derivation, given } from './derivation.js'
import { feedLoad, loopTemperature } from './loop-inputs.js'
import { watersOf } from './house-figures.js'

const feedsFrom = given(['lowest at which they feed', 'Cel'], celsius, (plan, place) => {
  const [choosiest] = (place.kind === 'biofilter' ? watersOf(plan, place) : [place])
    .filter(({ fish }) => fish !== null)
    .map(speciesOf)
    .toSorted((a, b) => b.temperatureLow.value - a.temperatureLow.value)
  if (choosiest === undefined) return null
  return {
    value: choosiest.temperatureLow.value,
    says: `${choosiest.label}: ${choosiest.temperatureLow.source}`,
  }
})

/** Ammonia that the fish of a tank give off, or those of all tanks whose water a biofilter cleans. */
export const ammoniaLoad = derivation('ammonia_load', {
  places: ['tank', 'biofilter'],
  inputs: { load: feedLoad, temperature: loopTemperature, feedsFrom },
  compute: ({ load, temperature, feedsFrom: lowest }) => {
    const doubtful = temperature < lowest
    const says = doubtful ? 'so cold that fish leave their feed' : null
    return { value: load, low: null, high: null, limit: null, says, doubtful }
  },
  equation: 'NIT-1',
  source: 'Timmons & Ebeling 2010; Ebeling et al. 2006',
  valid: 'fish in tanks that eat all their feed',
})
