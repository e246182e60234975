import { speaks, stateWordOf } from '../alarms/memory.js'
import type { AlarmId } from '../alarms/rule.js'
import { after, minutes, type Milliseconds } from '../units/time.js'
import { changeAlarm } from './alarm-changes.js'
import { speakForItself } from './announcing.js'
import { consequencesOf, priorityOf } from './causes.js'
import { alarmOf, appointFor, callingOf, keepCalling, ruleOf } from './remembering.js'
import type { World } from './world.js'

/** Water needs a while to follow once its cause is mended; so long a consequence keeps quiet at least (our choice). */
const shortestGrace = minutes(1)

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
    const grace = Math.max(shortestGrace, rule.releaseDelay) as Milliseconds
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

/** The grace after a cause's end is over. */
export function graceOver(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  if (rule !== undefined && callingOf(world, id).graceAt !== null) speakForItself(world, rule)
}
