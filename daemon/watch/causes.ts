import { wordsIn } from '../alarms/finding.js'
import { quantityOf, type SignalName } from '../readings/signal.js'
import { speaks } from '../alarms/memory.js'
import type { AlarmId, AlarmRule, Priority } from '../alarms/rule.js'
import { alarmOf, ruleOf } from './remembering.js'
import type { World } from './world.js'

/** What a detector names as the reason of an alarm: its own verdict, or that of a cause that speaks (contract 11). */
export function causeOf(world: World, rule: AlarmRule): { of: string; mode: string } | null {
  const own = verdictBehind(world, rule)
  if (own !== null) return own
  for (const { alarm } of rule.causes) {
    const above = ruleOf(world, alarm)
    if (above === undefined || !speaks(alarmOf(world, alarm))) continue
    const verdict = verdictBehind(world, above)
    if (verdict !== null) return verdict
  }
  return null
}

function verdictBehind(world: World, rule: AlarmRule): { of: string; mode: string } | null {
  if (rule.condition.kind !== 'verdict') return null
  const verdict = world.verdicts.get(rule.condition.of)
  return verdict === undefined || verdict.mode === 'normal' ? null : { of: verdict.of, mode: verdict.mode }
}

/** Alarms that this one may explain: those whose rule names it as a cause told inside its messages (AL-37). */
export function consequencesOf(world: World, cause: AlarmId): AlarmRule[] {
  const found: AlarmRule[] = []
  for (const id of world.wiring.dependents.get(cause) ?? []) {
    const rule = ruleOf(world, id)
    if (rule?.causes.some((one) => one.alarm === cause && one.effect === 'told') === true) found.push(rule)
  }
  return found
}

/** The priority now: of the verdict's mode, and raised while another verdict holds as well. */
export function priorityOf(world: World, rule: AlarmRule): Priority {
  const raised = rule.priorityWhile
  if (raised !== undefined) {
    const holds = raised.of.some((of) => raised.modes.includes(world.verdicts.get(of)?.mode ?? 'normal'))
    if (holds) return raised.priority
  }
  if (rule.condition.kind === 'unusable' && lastSaidOnBattery(world, rule.condition.signal)) return 'critical'
  if (rule.condition.kind !== 'verdict' || rule.priorityByMode === undefined) return rule.priority
  const mode = world.verdicts.get(rule.condition.of)?.mode
  return (mode === undefined ? undefined : rule.priorityByMode[mode]) ?? rule.priority
}

/** A power supply that was last heard on battery and is heard no more: the worst case (AL-31). Calibrating is none. */
function lastSaidOnBattery(world: World, signal: SignalName): boolean {
  if (quantityOf(signal) !== 'status') return false
  const said = wordsIn(world.signals.get(signal)?.usable?.value ?? '')
  return said.has('OB') && !said.has('CAL')
}
