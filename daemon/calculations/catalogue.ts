import { assert } from '../errors.js'
import { airCalculations } from './air.js'
import { ammoniaCalculations } from './ammonia.js'
import type { Calculation } from './calculation.js'
import { carbonateCalculations } from './carbonate.js'
import { conversions } from './conversions.js'
import { coolingCalculations } from './cooling.js'
import { factCalculations } from './fact-calculations.js'
import { heatCalculations } from './heat.js'
import { nitrogenCalculations } from './nitrogen.js'
import { nitrogenLoopCalculations } from './nitrogen-loop.js'
import { oxygenCalculations } from './oxygen.js'
import { plantCalculations } from './plants.js'
import { respirationCalculations } from './respiration.js'

const entries: readonly Calculation[] = [
  ...oxygenCalculations,
  ...ammoniaCalculations,
  ...carbonateCalculations,
  ...nitrogenCalculations,
  ...nitrogenLoopCalculations,
  ...respirationCalculations,
  ...plantCalculations,
  ...airCalculations,
  ...heatCalculations,
  ...coolingCalculations,
  ...conversions,
  ...factCalculations,
]

/** Everything that can be computed or looked up, by quantity. */
export const catalogue: ReadonlyMap<string, Calculation> = new Map(
  entries.map((entry) => [entry.quantity, entry]),
)

assert(catalogue.size === entries.length, 'a quantity is in the catalogue twice')
