import { readFileSync } from 'node:fs'
import { planFarm, type Planned } from '../../daemon/farm/plan-farm.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import type { AlarmRule } from '../../daemon/alarms/rule.js'
import { explainedAll } from '../../daemon/settings/explain.js'
import { loadSettings } from '../../daemon/settings/load.js'
import type { LocatedProblem } from '../../daemon/settings/problem.js'
import { expect } from 'vitest'

const fixtures = new URL('../fixtures/', import.meta.url)

export const fixture = (name: string): string => readFileSync(new URL(name, fixtures), 'utf8')

function outcome(yaml: string): { made: Planned; located: readonly LocatedProblem[] } {
  const loaded = loadSettings({
    text: yaml,
    file: 'farm.yaml',
    env: {},
    readFile: () => expect.fail('no file is needed'),
  })
  if (loaded.kind === 'refused')
    return expect.fail(`refused before planning:\n${explainedAll(loaded.problems)}`)
  const made = planFarm(loaded.settings)
  return { made, located: made.kind === 'refused' ? loaded.located(made.problems) : [] }
}

/** The plan of a valid configuration, and what was remarked. */
export function planned(yaml: string): { plan: FarmPlan; notes: readonly string[] } {
  const { made, located } = outcome(yaml)
  return made.kind === 'planned' ? made : expect.fail(explainedAll(located))
}

export const planOf = (yaml: string): FarmPlan => planned(yaml).plan

/** What is wrong with a configuration that only the plan refuses. */
export const problemsOf = (yaml: string): readonly LocatedProblem[] => outcome(yaml).located

export function alarmOf(plan: FarmPlan, id: string): AlarmRule {
  const rule = plan.alarms.get(id)
  return rule ?? expect.fail(`there is no ${id} among ${[...plan.alarms.keys()].join(', ')}`)
}

/** `mains-lost@mains suppressed` */
export const causesIn = (plan: FarmPlan, id: string): readonly string[] =>
  alarmOf(plan, id).causes.map(({ alarm, effect }) => `${alarm} ${effect}`)
