import type { AlarmRule } from '../alarms/rule.js'
import { ownTroubleRule } from '../farm/on-demand.js'
import { alarmId } from '../alarms/rule.js'
import { changeAlarm } from './alarm-changes.js'
import type { World } from './world.js'
import { addRule } from './wiring.js'

/** Something of our own broke (`why`) or works again (null): its alarm follows (AL-26, AL-32). */
export function tellTrouble(world: World, of: string, why: string | null): void {
  const known = world.troubles.get(of)
  if (why === null) {
    if (known === undefined) return
    world.troubles.delete(of)
  } else {
    if (known !== undefined) return
    world.troubles.set(of, { since: world.now, why })
  }
  world.changed.add(`trouble ${of}`)
  const rule = ruleFor(world, of)
  if (rule === null) return
  changeAlarm(world, rule.id, {
    kind: 'sample',
    finding: why === null ? 'clear' : 'violating',
    quality: 'good',
    at: world.now,
  })
}

function ruleFor(world: World, of: string): AlarmRule | null {
  const made = world.wiring.rules.get(alarmId('own-trouble', of))
  if (made !== undefined) return made
  const rule = ownTroubleRule(world.plan, of)
  if (rule !== null) addRule(world.wiring, rule)
  return rule
}
