import { nitrificationDemand, printedAlkalinityPerNitrogen } from '../chemistry/nitrification.js'
import { gramsPerDay } from '../units/brands.js'
import { hours } from '../units/time.js'
import { derivation, measured, whereMeasured } from './derivation.js'

const computedHere = (quantity: string) => measured(quantity, gramsPerDay, hours(12))

/** What becomes nitrate at a filter: all that the fish give off, or as much as the media can turn over. */
export const nitrifiedInputs = {
  load: computedHere('ammonia_load'),
  capacity: whereMeasured(computedHere('nitrification_capacity')),
}
export const nitrifiedOf = (load: number, capacity: number | null) =>
  gramsPerDay(Math.min(load, capacity ?? load))

/** Alkalinity, as CaCO3, that the bacteria of a filter use up: what a keeper has to give back. */
export const alkalinityConsumption = derivation('alkalinity_consumption', {
  places: ['biofilter'],
  inputs: nitrifiedInputs,
  compute: ({ load, capacity }) =>
    nitrificationDemand(nitrifiedOf(load, capacity), printedAlkalinityPerNitrogen),
  equation: 'NIT-8',
  source: 'Timmons & Ebeling 2010; plants that take up nitrate give some of it back',
  valid: 'without growth of the bacteria',
})
