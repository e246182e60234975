import { unreachable } from '../errors.js'
import { after, type EpochMs } from '../units/time.js'
import type { Finding } from './finding.js'
import {
  isActive,
  isHeld,
  stateWordOf,
  type Acknowledgement,
  type AlarmMemory,
  type Occurrence,
} from './memory.js'
import type { AlarmRule } from './rule.js'

/** What can happen to one alarm. Rules AL-n: alarm-standards 6. */
export type AlarmEvent =
  /** A usable reading of its signal, judged against its limit. */
  | {
      readonly kind: 'sample'
      readonly finding: Finding
      readonly quality: 'good' | 'uncertain'
      readonly at: EpochMs
    }
  /** The clock has reached a due time of on-delay or off-delay. */
  | { readonly kind: 'due' }
  /** Its signal has become stale: pending delays are cancelled, the state stays (AL-16). */
  | { readonly kind: 'stale' }
  | { readonly kind: 'acknowledge'; readonly by: string }
  | {
      readonly kind: 'shelve'
      readonly by: string
      readonly why: string
      readonly until: EpochMs
      readonly oneShot: boolean
    }
  | { readonly kind: 'unshelve' }
  | { readonly kind: 'suppress'; readonly under: string; readonly asLesser: boolean }
  /** The reason for suppression is gone; the release delay begins. */
  | { readonly kind: 'unsuppress' }
  /** The release delay is over. `violating`: by the last usable value; `acknowledged`: of the more severe level. */
  | { readonly kind: 'release'; readonly violating: boolean; readonly acknowledged: Acknowledgement | null }
  | {
      readonly kind: 'out-of-service'
      readonly by: string
      readonly why: string
      readonly until: EpochMs | null
    }
  | { readonly kind: 'return-to-service'; readonly violating: boolean }
  | { readonly kind: 'reset' }
  | { readonly kind: 're-alarm' }
  /** The daemon was started again with this memory. */
  | { readonly kind: 'restart' }

export interface Moment {
  readonly now: EpochMs
  /** The farm-wide number that the next occurrence takes. */
  readonly nextNumber: number
}

/**
 * One step of an alarm's life (ANSI/ISA-18.2 and IEC 62682 state model, choices AL-1 to AL-52). Pure: the same
 * memory, event and moment give the same next memory. What people may not do is refused before (see `refusal.ts`);
 * here it changes nothing.
 */
export function advanceAlarm(
  rule: AlarmRule,
  memory: AlarmMemory,
  event: AlarmEvent,
  moment: Moment,
): AlarmMemory {
  switch (event.kind) {
    case 'sample':
      return sampled(rule, memory, event, moment)
    case 'due':
      return whenDue(rule, memory, moment)
    case 'stale':
      return withoutDelays(memory)
    case 'acknowledge':
      return acknowledged(rule, memory, event.by, moment)
    case 'shelve':
      return memory.shelf !== null ? memory : { ...memory, shelf: shelfOf(memory, event), reAlarmAt: null }
    case 'unshelve':
      return memory.shelf === null ? memory : releasedFromShelf(rule, { ...memory, shelf: null }, moment)
    case 'suppress':
      return {
        ...memory,
        suppression: { under: event.under, asLesser: event.asLesser, releaseAt: null },
        reAlarmAt: null,
      }
    case 'unsuppress':
      return memory.suppression === null || memory.suppression.releaseAt !== null
        ? memory
        : {
            ...memory,
            suppression: { ...memory.suppression, releaseAt: after(moment.now, rule.releaseDelay) },
          }
    case 'release':
      return released(rule, memory, event, moment)
    case 'out-of-service':
      return takenOut(memory, event, moment)
    case 'return-to-service':
      return memory.outOfService === null
        ? memory
        : afresh(rule, { ...memory, outOfService: null }, event.violating, moment)
    case 'reset':
      return stateWordOf(memory) === 'LATAK' ? { ...memory, latched: false, open: null } : memory
    case 're-alarm':
      return reAlarmed(rule, memory, moment)
    case 'restart':
      return memory.condition.kind === 'pending'
        ? { ...memory, condition: { ...memory.condition, confirmed: false } }
        : memory
    default:
      return unreachable(event)
  }
}

function takenOut(
  memory: AlarmMemory,
  { by, why, until }: Extract<AlarmEvent, { kind: 'out-of-service' }>,
  { now }: Moment,
): AlarmMemory {
  return { ...memory, outOfService: { by, why, since: now, until, remindedAt: null }, reAlarmAt: null }
}

/** When the clock alone will change this alarm: end of on-delay or off-delay. */
export function delayDue(rule: AlarmRule, memory: AlarmMemory): EpochMs | null {
  const { condition } = memory
  if (condition.kind === 'pending') return condition.confirmed ? after(condition.since, rule.onDelay) : null
  if (condition.kind === 'active' && condition.clearing !== null)
    return after(condition.clearing, rule.offDelay)
  return null
}

type Sampled = Extract<AlarmEvent, { kind: 'sample' }>

function sampled(rule: AlarmRule, memory: AlarmMemory, event: Sampled, moment: Moment): AlarmMemory {
  const { condition } = memory
  if (condition.kind === 'active') {
    // Uncertain data may keep an alarm and may not begin to clear it (AL-16); it does not stop a clearing that good data began (AL-42).
    if (event.finding !== 'clear')
      return condition.clearing === null ? memory : { ...memory, condition: { ...condition, clearing: null } }
    if (condition.clearing !== null || event.quality === 'uncertain') return whenDue(rule, memory, moment)
    return whenDue(rule, { ...memory, condition: { ...condition, clearing: event.at } }, moment)
  }
  if (event.finding === 'violating') {
    const since = condition.kind === 'pending' ? condition.since : event.at
    return whenDue(rule, { ...memory, condition: { kind: 'pending', since, confirmed: true } }, moment)
  }
  // Before activation any good sample that does not violate cancels, the deadband plays no part (AL-3).
  return condition.kind === 'pending' && event.quality === 'good'
    ? { ...memory, condition: { kind: 'clear' } }
    : memory
}

function whenDue(rule: AlarmRule, memory: AlarmMemory, moment: Moment): AlarmMemory {
  const due = delayDue(rule, memory)
  if (due === null || due > moment.now) return memory
  const { condition } = memory
  if (condition.kind === 'pending') return activated(rule, memory, condition.since, moment)
  return cleared(rule, memory, moment)
}

function activated(rule: AlarmRule, memory: AlarmMemory, since: EpochMs, moment: Moment): AlarmMemory {
  const active: AlarmMemory = { ...memory, condition: { kind: 'active', since, clearing: null } }
  if (isHeld(active))
    return active.shelf === null ? active : { ...active, shelf: { ...active.shelf, sawActive: true } }
  return occurs(rule, active, { since, by: null }, moment)
}

/** A change into UNACK (or, for a lesser level coming back, into ACKED) is a new occurrence (AL-6). */
function occurs(
  rule: AlarmRule,
  memory: AlarmMemory,
  { since, by }: { since: EpochMs; by: Acknowledgement | null },
  moment: Moment,
): AlarmMemory {
  const open: Occurrence = {
    index: memory.occurrences + 1,
    number: moment.nextNumber,
    since,
    activatedAt: moment.now,
    acknowledged: by,
  }
  return {
    ...memory,
    open,
    latched: rule.latching,
    occurrences: open.index,
    lastNumber: open.number,
    reAlarmAt: null,
    lastAcknowledged: by === null ? memory.lastAcknowledged : { ...by, index: open.index },
  }
}

function cleared(rule: AlarmRule, memory: AlarmMemory, moment: Moment): AlarmMemory {
  const clear: AlarmMemory = { ...memory, condition: { kind: 'clear' }, reAlarmAt: null }
  if (clear.shelf?.oneShot === true && clear.shelf.sawActive)
    return releasedFromShelf(rule, { ...clear, shelf: null }, moment)
  if (isHeld(clear)) return clear
  return settledInactive(clear)
}

/** Not active and not held: over, unless it still waits for an acknowledgement or a reset. */
function settledInactive(memory: AlarmMemory): AlarmMemory {
  if (memory.latched || memory.open === null) return memory
  return memory.open.acknowledged === null ? memory : { ...memory, open: null }
}

function withoutDelays(memory: AlarmMemory): AlarmMemory {
  const { condition } = memory
  if (condition.kind === 'pending') return { ...memory, condition: { kind: 'clear' } }
  if (condition.kind === 'active' && condition.clearing !== null)
    return { ...memory, condition: { ...condition, clearing: null } }
  return memory
}

function acknowledged(rule: AlarmRule, memory: AlarmMemory, by: string, moment: Moment): AlarmMemory {
  if (memory.open === null || memory.open.acknowledged !== null) return memory
  const acknowledgement = { by, at: moment.now }
  const next: AlarmMemory = {
    ...memory,
    open: { ...memory.open, acknowledged: acknowledgement },
    lastAcknowledged: { ...acknowledgement, index: memory.open.index },
    reAlarmAt:
      isActive(memory) && !isHeld(memory) && rule.reAlarm !== null ? after(moment.now, rule.reAlarm) : null,
  }
  return isActive(next) || isHeld(next) ? next : settledInactive(next)
}

function shelfOf(memory: AlarmMemory, event: Extract<AlarmEvent, { kind: 'shelve' }>): AlarmMemory['shelf'] {
  return {
    by: event.by,
    why: event.why,
    until: event.until,
    oneShot: event.oneShot,
    sawActive: isActive(memory),
  }
}

/** The end of a shelf: violating now makes a new occurrence, else normal without a message; a latch survives (AL-12, AL-40). */
function releasedFromShelf(rule: AlarmRule, memory: AlarmMemory, moment: Moment): AlarmMemory {
  if (isHeld(memory)) return memory
  if (memory.condition.kind === 'active')
    return occurs(rule, memory, { since: memory.condition.since, by: null }, moment)
  return memory.latched ? memory : { ...memory, open: null }
}

function released(
  rule: AlarmRule,
  memory: AlarmMemory,
  event: Extract<AlarmEvent, { kind: 'release' }>,
  moment: Moment,
): AlarmMemory {
  if (memory.suppression === null) return memory
  // Its own off-delay may run out at this very instant, after the severe level's (AL-41): then it is over, too.
  const free: AlarmMemory = { ...whenDue(rule, memory, moment), suppression: null }
  if (!memory.suppression.asLesser) return afresh(rule, free, event.violating, moment)
  if (isHeld(free)) return free
  if (free.condition.kind !== 'active') return free.latched ? free : { ...free, open: null }
  const back = occurs(rule, free, { since: free.condition.since, by: event.acknowledged }, moment)
  const again = event.acknowledged !== null && rule.reAlarm !== null
  return again ? { ...back, reAlarmAt: after(moment.now, rule.reAlarm) } : back
}

/** After suppression and out of service the on-delay starts from nothing (AL-14, AL-15); a latch survives (AL-40). */
function afresh(rule: AlarmRule, memory: AlarmMemory, violating: boolean, moment: Moment): AlarmMemory {
  const fresh: AlarmMemory = {
    ...memory,
    condition: violating ? { kind: 'pending', since: moment.now, confirmed: true } : { kind: 'clear' },
  }
  if (isHeld(fresh)) return fresh
  return whenDue(rule, fresh.latched ? fresh : { ...fresh, open: null }, moment)
}

function reAlarmed(rule: AlarmRule, memory: AlarmMemory, moment: Moment): AlarmMemory {
  if (stateWordOf(memory) !== 'ACKED' || memory.condition.kind !== 'active')
    return { ...memory, reAlarmAt: null }
  return occurs(rule, memory, { since: memory.condition.since, by: null }, moment)
}
