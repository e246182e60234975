import type { AlarmRule } from '../alarms/rule.js'
import type { Settings } from '../settings/schema.js'
import { didYouMean } from '../units/nearest-name.js'
import { globMatcher } from './globs.js'
import type { FarmPlan } from './plan.js'
import type { Report } from './report.js'

/** First-out groups (AL-21): an id stands for all alarms of that id, `oxygen-low@tank-*` for those that fit. */
export function resolveGroups(
  written: Settings['groups'],
  alarms: ReadonlyMap<string, AlarmRule>,
  report: Report,
): FarmPlan['groups'] {
  const rules = [...alarms.values()]
  return written.map((group, index) => {
    const members = group.alarms.flatMap((name, place) => {
      const fits = globMatcher(name)
      const found = rules.filter((rule) => fits(rule.rule) || fits(rule.id)).map((rule) => rule.id)
      if (found.length === 0) {
        const right = didYouMean(name, new Set([...rules.map((rule) => rule.rule), ...alarms.keys()]))
        report(['groups', index, 'alarms', place], `no alarm fits "${name}"`, right)
      }
      return found
    })
    return { id: group.id, alarms: [...new Set(members)] }
  })
}
