import { isActive, speaks, stateWordOf } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import { after, minutes, type Milliseconds } from '../units/time.js'
import { trendOf } from './facts.js'
import { changeAlarm } from './alarm-changes.js'
import { speakForItself } from './announcing.js'
import { consequencesOf, priorityOf } from './causes.js'
import { alarmOf, appointFor, callingOf, keepCalling, ruleOf } from './remembering.js'
import type { World } from './world.js'

/** Water needs a while to follow once its cause is mended; so long a consequence keeps quiet at least (our choice). */
const graceOf = { critical: minutes(1), high: minutes(5), medium: minutes(5), low: minutes(5) }
/** While it recovers it is left alone for longer, up to this after its cause ended; a critical one not as long. */
const longestGrace = { critical: minutes(10), high: minutes(30), medium: minutes(30), low: minutes(30) }

/** A cause was acknowledged, returned or was held: what it told so far may have to speak for itself (AL-37). */
export function afterCauseChanged(world: World, id: AlarmId): void {
  const memory = alarmOf(world, id)
  acknowledgeGroup(world, id)
  for (const rule of consequencesOf(world, id)) {
    if (callingOf(world, rule.id).toldBy !== id || stateWordOf(alarmOf(world, rule.id)) !== 'UNACK') continue
    if (speaks(memory)) {
      if (stateWordOf(memory) === 'ACKED' && priorityOf(world, rule) === 'critical')
        speakForItself(world, rule)
      continue
    }
    const grace = Math.max(graceOf[priorityOf(world, rule)], rule.releaseDelay) as Milliseconds
    const at = after(world.now, grace)
    keepCalling(world, rule.id, { graceAt: at })
    appointFor(world, 'grace', rule.id, at)
  }
}

/** One acknowledgement covers all signals that were lost together (AL-49). */
function acknowledgeGroup(world: World, id: AlarmId): void {
  const acknowledged = alarmOf(world, id).open?.acknowledged
  if (ruleOf(world, id)?.condition.kind !== 'unusable' || acknowledged == null) return
  for (const [member, calling] of world.callings) {
    if (calling.toldBy !== id || ruleOf(world, member)?.condition.kind !== 'unusable') continue
    changeAlarm(world, member, { kind: 'acknowledge', by: acknowledged.by }, { by: acknowledged.by })
  }
}

/** The grace after a cause's end is over: it speaks, unless it is on its way back to normal. */
export function graceOver(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  const { graceAt, toldBy } = callingOf(world, id)
  if (rule === undefined || graceAt === null) return
  // Over already, perhaps in this very instant: its return is told with the cause's.
  if (!isActive(alarmOf(world, id))) return void keepCalling(world, id, { graceAt: null })
  const priority = priorityOf(world, rule)
  const ended = toldBy === null ? null : callingOf(world, toldBy).returnedAt
  const patient = ended !== null && world.now - ended < longestGrace[priority]
  if (!patient || !isRecovering(world, rule)) {
    speakForItself(world, rule)
    return
  }
  const at = after(world.now, graceOf[priority])
  keepCalling(world, id, { graceAt: at })
  appointFor(world, 'grace', id, at)
}

/** Within its limit again, or moving towards it. */
function isRecovering(world: World, rule: AlarmRule): boolean {
  const { condition } = alarmOf(world, rule.id)
  if (condition.kind === 'active' && condition.clearing !== null) return true
  if (rule.condition.kind === 'below') return trendOf(world, rule.condition.signal) === 'rising'
  return rule.condition.kind === 'above' && trendOf(world, rule.condition.signal) === 'falling'
}
