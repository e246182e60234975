import { exponentialRespiration, respirationOf, respirationToOptimum } from '../chemistry/fish-respiration.js'
import { grams, type Celsius } from '../units/brands.js'

/** A stocked tank as the configuration has it. */
export interface StockedTank {
  readonly species: string
  readonly count: number
  /** kg each */
  readonly meanMass: number
  /** kg a day for all of them; null when not said */
  readonly feedPerDay: number | null
  /** m3 */
  readonly volume: number
}

/** Fed, swimming fish over resting metabolism: 1.1 to 2.4 for tilapia (OX-1 against OX-2), the geometric mean. */
const fedOverResting = 1.6
/** Bacteria on walls, droppings and leftovers on top of the fish: a quarter (common practice). */
const withSolids = 1.25
/**
 * kg O2 for 1 kg of feed. Fish alone take 0.25 at least, with bacteria it is 0.5 and more, of which part is taken in the
 * biofilter. @source Timmons & Ebeling 2010, Recirculating Aquaculture, from memory
 */
const oxygenPerFeed = 0.4
/** Temperature at which fish of a house are usually kept warm or cool: what the feed figure is meant for. Cel */
const usualTemperature = { warm: 27, cool: 15 } as const

/** Our species by the parameters that stand for them; relatives where there are none of their own. */
const parametersOf: Readonly<Record<string, string>> = {
  nile_tilapia: 'tilapia',
  rainbow_trout: 'rainbow trout',
  cold_water: 'rainbow trout',
  yellow_perch: 'yellow perch',
  common_carp: 'bighead carp',
}
/** Warm-water fish without parameters breathe like bluegill, within the range of the guess. */
const anyFish = 'bluegill'

/**
 * What a tank is to be expected to breathe, by species, mass, number and, where it is said, feed: the geometric mean of
 * both ways. Good to a factor of 1.5; what was learnt of the tank corrects it. Null where neither way holds (temperature beyond
 * the species' lethal one, nothing in the tank). Unit: mg/(L.h).
 * @source OX-1, OX-2, OX-3; Timmons & Ebeling 2010 (from memory)
 */
export function expectedDemand(tank: StockedTank, temperature: Celsius): number | null {
  const litres = tank.volume * 1000
  const biomass = tank.count * tank.meanMass
  const parameters = parametersOf[tank.species] ?? anyFish
  const resting = restingOf(parameters, tank.meanMass * 1000, temperature)
  if (resting === null || !(biomass > 0) || !(litres > 0)) return null
  const byMass = (resting * biomass * fedOverResting * withSolids) / litres
  if (tank.feedPerDay === null || tank.feedPerDay <= 0) return byMass
  const usual = parameters === 'rainbow trout' ? usualTemperature.cool : usualTemperature.warm
  const warmth = resting / (restingOf(parameters, tank.meanMass * 1000, usual as Celsius) ?? resting)
  const byFeed = (((tank.feedPerDay * 1e6 * oxygenPerFeed) / 24) * warmth) / litres
  return Math.sqrt(byMass * byFeed)
}

function restingOf(parameters: string, mass: number, temperature: Celsius): number | null {
  const fish = respirationOf[parameters]
  if (fish === undefined) return null
  return fish.kind === 'optimum'
    ? respirationToOptimum(fish, grams(mass), temperature)
    : exponentialRespiration(fish, grams(mass), temperature)
}
