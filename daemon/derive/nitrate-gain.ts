import { nitrateGain as gainOf, plantUptake } from '../chemistry/nitrogen-balance.js'
import { gramsPerDay, gramsPerSquareMetreDay, squareMetres } from '../units/brands.js'
import { nitrifiedInputs, nitrifiedOf } from './alkalinity-consumption.js'
import { derivation, given } from './derivation.js'
import { watersOf } from './house-figures.js'
import { loopVolume } from './loop-inputs.js'

/** By all beds of the loop; none is an answer, too. */
const uptake = given(['nitrogen that plants take up', 'g/d'], gramsPerDay, (plan, place) => {
  const beds = watersOf(plan, place).flatMap(({ plants }) => plants ?? [])
  const each = beds.map(({ crop, area }) => {
    return plantUptake(squareMetres(area), gramsPerSquareMetreDay(crop.feedRatio.value)) ?? 0
  })
  return {
    value: each.reduce<number>((sum, one) => sum + one, 0),
    says: beds.length === 0 ? 'no plants are written' : 'by the feed rate ratio of each crop',
  }
})

/** Nitrate that the loop gains in a day: above zero more is fed than the plants eat. */
export const nitrateGained = derivation('nitrate_gain', {
  places: ['biofilter'],
  inputs: { ...nitrifiedInputs, uptake, volume: loopVolume },
  compute: ({ load, capacity, uptake: taken, volume }) => {
    const nitrified = nitrifiedOf(load, capacity)
    const value = gainOf(nitrified, taken, volume)
    if (value === null) return null
    // A growing or a hungry crop takes half as much or half as much again (common practice).
    const low = gainOf(nitrified, gramsPerDay(1.5 * taken), volume)
    const high = gainOf(nitrified, gramsPerDay(0.5 * taken), volume)
    return { value, low, high, limit: null, says: null, doubtful: false }
  },
  equation: 'NB-2',
  source: 'mass balance; uptake by the feed rate ratio of FAO 589, chapter 8',
  valid: 'steady feeding, crops of all ages, nothing denitrified and no water changed',
})
