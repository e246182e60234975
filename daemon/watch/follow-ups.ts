import { isActive } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import { after, between, minutes, type EpochMs } from '../units/time.js'
import { alarmOf, appointFor, callingOf, keepCalling, keepHouse, ruleOf } from './remembering.js'
import { send } from './sending.js'
import type { World } from './world.js'

/** A cause's one follow-up waits so long for its consequences to be over too; then it goes without them (our choice). */
const longestWait = minutes(30)

/** The alarm has returned to normal: whoever was called hears of it once it has stayed so (AL-8). */
export function scheduleFollowUp(world: World, rule: AlarmRule, at: EpochMs): void {
  const calling = callingOf(world, rule.id)
  if (calling.inDigest && calling.called.length === 0) {
    keepHouse(world, { returned: [...world.house.returned, rule.id] })
    return
  }
  keepCalling(world, rule.id, { followUpAt: at, returnedAt: world.now })
  appointFor(world, 'follow-up', rule.id, at)
}

/** A consequence that a cause's follow-up waits for is over or speaks for itself: with the last one the wait ends. */
export function consequenceReturned(
  world: World,
  rule: AlarmRule,
  toldBy = callingOf(world, rule.id).toldBy,
): void {
  if (toldBy === null) return
  const teller = callingOf(world, toldBy)
  if (teller.followUpAt === null || teller.returnedAt === null || lasting(world, toldBy).length > 0) return
  const at = after(world.now, rule.followUpDelay)
  if (at >= teller.followUpAt) return
  keepCalling(world, toldBy, { followUpAt: at })
  appointFor(world, 'follow-up', toldBy, at)
}

/** The follow-up is due: sent, or made to wait for consequences that still last, or left to the cause's. */
export function followUpDue(world: World, id: AlarmId): void {
  const rule = ruleOf(world, id)
  const calling = callingOf(world, id)
  const { returnedAt } = calling
  if (rule === undefined || returnedAt === null) return
  if (calling.chatter.since !== null) {
    // The summary at the end of the chattering stands for it (AL-19).
    keepCalling(world, id, { followUpAt: null })
    return
  }
  if (calling.toldBy !== null && stillTells(world, calling.toldBy)) {
    keepCalling(world, id, { followUpAt: null, called: [] })
    return
  }
  if (lasting(world, id).length > 0 && between(returnedAt, world.now) < longestWait) {
    const at = after(returnedAt, longestWait)
    keepCalling(world, id, { followUpAt: at })
    appointFor(world, 'follow-up', id, at)
    return
  }
  tellReturn(world, rule, returnedAt)
}

function tellReturn(world: World, rule: AlarmRule, returnedAt: EpochMs): void {
  const { id } = rule
  const memory = alarmOf(world, id)
  const also = toldIn(world, id)
  for (const person of callingOf(world, id).called) {
    send(world, person, { kind: 'follow-up', alarm: id, occurrence: memory.occurrences, also, returnedAt })
  }
  const over = memory.open === null
  keepCalling(world, id, { followUpAt: null, returnedAt: null, ...(over ? { called: [] } : {}) })
  // Consequences that are over were told with it; those that last will speak for themselves.
  for (const consequence of also) {
    if (!isActive(alarmOf(world, consequence)))
      keepCalling(world, consequence, { called: [], followUpAt: null, toldBy: null })
  }
}

/** Whether the cause's own follow-up, still to come, will tell this return as well. */
function stillTells(world: World, cause: AlarmId): boolean {
  const calling = callingOf(world, cause)
  return calling.called.length > 0 && (isActive(alarmOf(world, cause)) || calling.followUpAt !== null)
}

const toldIn = (world: World, id: AlarmId): AlarmId[] =>
  [...world.callings].filter(([, calling]) => calling.toldBy === id).map(([consequence]) => consequence)

const lasting = (world: World, id: AlarmId): AlarmId[] =>
  toldIn(world, id).filter((consequence) => isActive(alarmOf(world, consequence)))
