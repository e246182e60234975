import { expect } from 'vitest'
import { planFarm } from '../../daemon/farm/plan-farm.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import { explainedAll } from '../../daemon/settings/explain.js'
import { loadSettings } from '../../daemon/settings/load.js'

const places = `
farm: { name: Larkfield, altitude: 80 m }
places:
  - { id: tank-1, kind: tank, fish: { species: nile_tilapia, count: 40, mean_mass: 200 g } }
  - { id: sump, kind: sump }
  - { id: house, kind: air }
  - { id: outdoors, kind: outdoors }
ladders:
  night: { steps: [{ call: everyone, by: [text] }] }
`

/** One probe a signal, every half minute unless said otherwise. */
export const probe = (signal: string, unit: string, more = 'every: 30 s'): string =>
  `  - { signal: ${signal}, topic: larkfield/${signal}, unit: "${unit}", ${more} }\n`

/** The plan of Larkfield with these probes. */
export function larkfield(...probes: readonly string[]): FarmPlan {
  const text = `${places}probes:${probes.length === 0 ? ' []' : `\n${probes.join('')}`}`
  const readFile = () => expect.fail('no file is needed')
  const loaded = loadSettings({ text, file: 'farm.yaml', env: {}, readFile })
  if (loaded.kind === 'refused') return expect.fail(explainedAll(loaded.problems))
  const planned = planFarm(loaded.settings)
  return planned.kind === 'planned'
    ? planned.plan
    : expect.fail(explainedAll(loaded.located(planned.problems)))
}
