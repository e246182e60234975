import { advanceAlarm, delayDue, type AlarmEvent } from '../alarms/life-cycle.js'
import { isActive, isHeld, speaks, stateWordOf, type AlarmMemory, type StateWord } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import type { StateLine } from '../journal/line.js'
import { after } from '../units/time.js'
import { announce, endRun, startRunAgain } from './announcing.js'
import { causeOf, priorityOf } from './causes.js'
import { afterCauseChanged } from './consequences.js'
import { consequenceReturned, scheduleFollowUp } from './follow-ups.js'
import { reconsiderHolds } from './holds.js'
import { alarmOf, appointFor, keepAlarm, keepCalling, keepHouse } from './remembering.js'
import type { World } from './world.js'

/** Who did it and why, for the line. */
export interface Doing {
  readonly by?: string
  readonly why?: string
}

interface Step {
  readonly rule: AlarmRule
  readonly before: AlarmMemory
  readonly next: AlarmMemory
  readonly from: StateWord
  readonly to: StateWord
  readonly isNew: boolean
}

/** Takes one alarm one step on, tells it, and lets everything that hangs on it follow. True if anything changed. */
export function changeAlarm(world: World, id: AlarmId, event: AlarmEvent, doing: Doing = {}): boolean {
  const rule = world.wiring.rules.get(id)
  if (rule === undefined) return false
  const before = alarmOf(world, id)
  const next = advanceAlarm(rule, before, event, { now: world.now, nextNumber: world.house.nextNumber })
  if (next === before) return false
  keepAlarm(world, id, next)
  appointFor(world, 'delay', id, delayDue(rule, next))
  appointFor(world, 'shelf-end', id, next.shelf?.until ?? null)
  appointFor(world, 'release', id, next.suppression?.releaseAt ?? null)
  appointFor(world, 're-alarm', id, next.reAlarmAt)
  const step: Step = {
    rule,
    before,
    next,
    from: stateWordOf(before),
    to: stateWordOf(next),
    isNew: next.occurrences > before.occurrences,
  }
  if (step.isNew) keepHouse(world, { nextNumber: world.house.nextNumber + 1 })
  if (step.from !== step.to || step.isNew) {
    world.touched.add(id)
    tell(world, step, doing)
  }
  follow(world, step)
  return true
}

function tell(world: World, step: Step, doing: Doing): void {
  const { rule, before, next, isNew } = step
  if (isNew && before.open !== null && before.open.acknowledged === null) {
    world.effects.push({
      ...line(world, step, before.open),
      from: stateWordOf({ ...before, shelf: null, outOfService: null, suppression: null }),
      to: 'NORM',
      superseded: true,
    })
  }
  const cause = causeOf(world, rule)
  world.effects.push({
    ...line(world, step, next.open ?? before.open),
    ...(step.to === 'UNACK' && next.open !== null ? { condition_since: next.open.since } : {}),
    ...(doing.by === undefined ? {} : { by: doing.by }),
    ...(doing.why === undefined || doing.why === '' ? {} : { why: doing.why }),
    ...(cause === null ? {} : { cause }),
  })
}

function line(world: World, step: Step, occurrence: AlarmMemory['open']): StateLine {
  return {
    at: world.now,
    event: 'state',
    alarm: step.rule.id,
    occurrence: occurrence?.index ?? step.next.occurrences,
    number: occurrence?.number ?? null,
    from: step.from,
    to: step.to,
    priority: priorityOf(world, step.rule),
    place: step.rule.place,
    about: step.rule.about,
  }
}

function follow(world: World, step: Step): void {
  const { rule, before, next, from, to, isNew } = step
  const { id } = rule
  if (isNew && to === 'UNACK') {
    keepCalling(world, id, { followUpAt: null, returnedAt: null })
    announce(world, rule, { again: before.open?.acknowledged != null && isActive(before) && !isHeld(before) })
  } else if (to !== from || isNew) {
    if (to === 'LATUN' && (from === 'SHLVD' || from === 'DSUPR' || from === 'OOSRV'))
      startRunAgain(world, rule)
    else if (to !== 'UNACK' && to !== 'LATUN') endRun(world, id)
    returnOrHold(world, step)
  }
  if (speaks(before) !== speaks(next) || before.open?.acknowledged !== next.open?.acknowledged) {
    reconsiderHolds(world, id)
    afterCauseChanged(world, id)
  }
  noteQuiet(world, before, next)
}

/** A return to normal owes a follow-up to whoever was called (AL-8, AL-9, AL-42); a shelf takes it back (AL-12). */
function returnOrHold(world: World, step: Step): void {
  const { rule, from, to, next } = step
  if (to === 'SHLVD' || to === 'OOSRV') {
    keepCalling(world, rule.id, { followUpAt: null, returnedAt: null, graceAt: null })
    return
  }
  if (to !== 'NORM' && to !== 'RTNUN') return
  if (from === 'SHLVD' || from === 'OOSRV') {
    keepCalling(world, rule.id, {
      called: [],
      followUpAt: null,
      returnedAt: null,
      toldBy: null,
      inDigest: false,
    })
    return
  }
  // RTNUN to NORM is an acknowledgement of what has returned already: its follow-up is on its way or sent.
  if (from === 'RTNUN') return
  if (next.condition.kind === 'clear') {
    const wait = from === 'LATAK' ? world.now : after(world.now, rule.followUpDelay)
    scheduleFollowUp(world, rule, wait)
    consequenceReturned(world, rule)
  }
}

/** Since when nothing at all has been active: for the sentence on top of the page. */
function noteQuiet(world: World, before: AlarmMemory, next: AlarmMemory): void {
  if (isActive(before) && !isActive(next)) keepHouse(world, { quietSince: world.now })
}
