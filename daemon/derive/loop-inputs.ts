import { ammoniaFromFeed } from '../chemistry/feed-nitrogen.js'
import { usualProtein } from '../chemistry/nitrogen-balance.js'
import { holdsWater } from '../farm/labels.js'
import type { FarmPlan, Place } from '../farm/plan.js'
import {
  cubicMetres,
  fraction,
  gramsPerDay,
  kilogramsPerDay,
  milligramsPerLitre,
  ph,
  squareMetres,
  type GramsPerDay,
} from '../units/brands.js'
import { hours } from '../units/time.js'
import { acidity, waterTemperature } from './common-inputs.js'
import { given, measured, type SignalInput, type StandIn } from './derivation.js'
import { watersOf } from './house-figures.js'

// A biofilter works on the water of all that flows through it. What it lives in is measured at the filter, or elsewhere
// in its loop: the pump mixes that within hours.

const inLoop = <Value extends number>(input: SignalInput<Value>): SignalInput<Value> => ({
  ...input,
  place: 'loop',
})

/** Fish tanks are aerated to more than this; a filter gets what they leave. @source Rusten et al. 2006: planned with 5 */
const usualOxygen: StandIn = { value: 5, says: 'usual of aerated tanks' }
/** Common practice: where fish, plants and bacteria meet, and where grown-in systems end up. */
const usualPh: StandIn = { value: 7, says: 'usual where fish, plants and bacteria meet' }

/** What the bacteria of a filter live in. */
export const nitrifierInputs = {
  temperature: inLoop(waterTemperature),
  oxygen: inLoop({
    ...measured('dissolved_oxygen', milligramsPerLitre, hours(1)),
    standIn: () => usualOxygen,
  }),
  ph: inLoop({ ...acidity, standIn: () => usualPh, brand: ph }),
}

export const loopTemperature = nitrifierInputs.temperature
export { inLoop }

const stocked = (plan: FarmPlan, place: Place): readonly Place[] =>
  (place.kind === 'biofilter' ? watersOf(plan, place) : [place]).filter(({ fish }) => fish !== null)

/** Of the tank, or of all tanks whose water the filter cleans. Null where one of them has fish and no feed is written. */
export function loadOf(plan: FarmPlan, place: Place): StandIn | null {
  const tanks = stocked(plan, place)
  const loads = tanks.map(loadOfTank)
  const known = loads.flatMap((load) => load ?? [])
  if (known.length === 0 || known.length < loads.length) return null
  const guessed = tanks.some(({ fish }) => fish?.feedProtein === null)
  return {
    value: known.reduce((sum, load) => sum + load, 0),
    says: guessed
      ? `feed_per_day; where no protein is written ${100 * usualProtein} %, as FAO 589 takes it`
      : 'feed_per_day and feed_protein',
  }
}

function loadOfTank({ fish }: Place): GramsPerDay | null {
  if (fish === null || fish.feedPerDay === null) return null
  return ammoniaFromFeed(kilogramsPerDay(fish.feedPerDay), fraction(fish.feedProtein ?? usualProtein))
}

export const feedLoad = given(['ammonia from the feed', 'g/d'], gramsPerDay, loadOf)

export const mediaArea = given(['surface of the media', 'm2'], squareMetres, (_plan, { media }) =>
  media === null
    ? null
    : { value: (media.volumeL / 1000) * media.specificSurface, says: 'volume times specific_surface' },
)

/** Of all filters whose water is the same. */
export const mediaOfLoop = given(['surface of all media', 'm2'], squareMetres, (plan, place) => {
  const filters = watersOf(plan, place).flatMap(({ media }) => media ?? [])
  if (place.media === null) return null
  const area = filters.reduce((sum, one) => sum + (one.volumeL / 1000) * one.specificSurface, 0)
  return { value: area, says: 'volume times specific_surface' }
})

/** Null where not a single volume is written. */
export const loopVolume = given(['water of the loop', 'm3'], cubicMetres, (plan, place) => {
  if (!holdsWater(place.kind)) return null
  const waters = watersOf(plan, place)
  const known = waters.flatMap(({ volume }) => (volume === null || volume <= 0 ? [] : [volume]))
  if (known.length === 0) return null
  const lacking = waters.length - known.length
  const says = lacking === 0 ? 'all volumes together' : `${lacking} of ${waters.length} volumes not written`
  return { value: known.reduce((sum, volume) => sum + volume, 0), says }
})
