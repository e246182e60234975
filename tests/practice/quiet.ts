import { larkfieldSite, meals } from '../../daemon/practice/larkfield.js'
import { ordersOf, quietOrders, type FarmOrders, type Mishap } from '../../daemon/practice/mishaps.js'
import type { PlantInputs, PlantState } from '../../daemon/practice/plant-state.js'
import { settledPlant, step } from '../../daemon/practice/plant.js'
import { epochMs, hours, type EpochMs, type Milliseconds } from '../../daemon/units/time.js'

export const winterNight = epochMs(Date.parse('2027-01-10T00:00:00Z'))
export const summerNoon = epochMs(Date.parse('2027-07-10T12:00:00Z'))

/** Nothing happens but the given orders; no chance, no meal unless a minute of the day is given. */
export const inputs = (orders: Partial<FarmOrders> = {}, minuteOfDay = 0): PlantInputs => ({
  site: larkfieldSite,
  ...quietOrders,
  ...orders,
  minuteOfDay,
  noise: { sky: [0, 0], moods: { 'tank-1': 0, 'tank-2': 0, 'tank-3': 0 } },
})

/** Lets a plant live for `span` in steps of 5 s. */
export function live(from: PlantState, span: Milliseconds, orders: Partial<FarmOrders> = {}): PlantState {
  let state = from
  for (let passed = 0; passed < span; passed += 5000)
    state = step(state, inputs(orders, minuteOf(state.at)), 5)
  return state
}

/** The same, with mishaps. */
export function liveWith(from: PlantState, span: Milliseconds, mishaps: readonly Mishap[]): PlantState {
  let state = from
  for (let passed = 0; passed < span; passed += 5000) {
    const underWay = mishaps.filter(({ at, for: long }) => state.at >= at && state.at < at + long)
    state = step(state, inputs(ordersOf(underWay, state.at), minuteOf(state.at)), 5)
  }
  return state
}

const minuteOf = (at: EpochMs): number => (at / 60_000) % 1440

/** A farm that has found its balance: six hours after `settledPlant`, meals at their times. */
export function balancedPlant(at: EpochMs): PlantState {
  const begin = epochMs(at - hours(6))
  const sinceMeals = meals.at.map((meal) => (minuteOf(begin) - meal + 1440) % 1440)
  const begun = settledPlant({ at: begin, site: larkfieldSite, hoursSinceMeal: Math.min(...sinceMeals) / 60 })
  return live(begun, hours(6))
}
