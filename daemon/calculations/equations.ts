import type { Equation } from './calculation.js'
import { airEquations } from './equations-air.js'
import { waterEquations } from './equations-water.js'

/** Every equation that the catalogue uses, by its id. */
export const equations = { ...waterEquations, ...airEquations } as const

/** An equation that is a statement of one source, without a formula. */
export const stated = (where: string, source: string): Equation => ({
  id: 'stated',
  formula: 'a stated fact, not computed',
  valid: 'what it was said of, and no other',
  source: `${source}, ${where}`,
})
