import { isActive, speaks, stateWordOf } from '../alarms/memory.js'
import { atLeast, type AlarmId, type AlarmRule } from '../alarms/rule.js'
import { countActivation } from '../callout/chattering.js'
import { countAnnunciation, floodOverAt } from '../callout/flood.js'
import { runDue, stillCalls, type Run } from '../callout/ladder.js'
import { localMinuteOfDay } from '../callout/roster.js'
import { placeOf } from '../readings/signal.js'
import { after, seconds, type EpochMs } from '../units/time.js'
import { consequencesOf, priorityOf } from './causes.js'
import { consequenceReturned } from './follow-ups.js'
import {
  callingOf,
  alarmOf,
  appointFor,
  dropRun,
  keepCalling,
  keepHouse,
  keepRun,
  ruleOf,
} from './remembering.js'
import type { World } from './world.js'

/** Signals lost together are collected so long before their one text (AL-49). */
const collecting = seconds(10)
/** A critical alarm muted for chattering is told after all when it lasts this long (AL-39). */
const mutedFor = seconds(60)

/** A new, unacknowledged occurrence: who tells it, and how (AL-19, AL-20, AL-24, AL-36, AL-37). */
export function announce(world: World, rule: AlarmRule, { again }: { again: boolean }): void {
  const { id } = rule
  const chatter = countActivation(world.plan.rules.chattering, callingOf(world, id).chatter, world.now)
  const toldBefore = callingOf(world, id).toldBy
  keepCalling(world, id, { chatter: chatter.memory, toldBy: null, graceAt: null, mutedStepAt: null })
  appointFor(world, 'chattering-over', id, chatter.memory.since === null ? null : world.now)
  const teller = tellerOf(world, rule)
  if (teller !== null) {
    if (!teller.silent || priorityOf(world, rule) !== 'critical') {
      keepCalling(world, id, { toldBy: teller.by })
      return
    }
  }
  consequenceReturned(world, rule, toldBefore)
  takeOver(world, rule)
  if (chatter.verdict !== 'muted' && countInFlood(world, rule)) return
  begin(world, rule, { again, chattering: chatter.verdict })
}

/** It speaks for itself from now on: its cause is acknowledged or over and it still lasts. */
export function speakForItself(world: World, rule: AlarmRule): void {
  const { toldBy } = callingOf(world, rule.id)
  keepCalling(world, rule.id, { toldBy: null, graceAt: null })
  consequenceReturned(world, rule, toldBy)
  if (stateWordOf(alarmOf(world, rule.id)) !== 'UNACK' || world.runs.has(rule.id)) return
  if (!countInFlood(world, rule)) begin(world, rule, { again: false, chattering: 'no' })
}

/** A latched alarm that comes unacknowledged from a shelf calls from step 1 (AL-51). */
export function startRunAgain(world: World, rule: AlarmRule): void {
  begin(world, rule, { again: true, chattering: 'no' })
}

/** Ends the calling for an alarm; what was switched on for it goes off unless another still needs it. */
export function endRun(world: World, id: AlarmId): void {
  const run = world.runs.get(id)
  if (run === undefined) return
  dropRun(world, id)
  keepCalling(world, id, { mutedStepAt: null })
  for (const channel of run.switches) {
    const needed = [...world.runs.values()].some((other) => other.switches.includes(channel))
    if (!needed)
      world.effects.push({
        at: world.now,
        event: 'switch',
        channel,
        on: false,
        alarm: id,
        occurrence: run.occurrence,
      })
  }
}

interface Manner {
  readonly again: boolean
  readonly chattering: Run['chattering']
}

function begin(world: World, rule: AlarmRule, manner: Manner, base: EpochMs = world.now): void {
  const memory = alarmOf(world, rule.id)
  // Low waits for the morning; medium climbs its ladder by day only (AL-24, AL-38).
  if (memory.open === null || rule.ladder === null || priorityOf(world, rule) === 'low') return
  if (priorityOf(world, rule) === 'medium' && !isDay(world)) return
  const run: Run = {
    alarm: rule.id,
    occurrence: memory.open.index,
    number: memory.open.number,
    ladder: rule.ladder,
    base,
    next: 0,
    repeats: 0,
    collectUntil: rule.condition.kind === 'unusable' ? after(world.now, collecting) : null,
    steps: {},
    tried: [],
    switches: [],
    ...manner,
  }
  keepRun(world, run)
  if (manner.chattering === 'muted' && priorityOf(world, rule) === 'critical') {
    const at = after(world.now, mutedFor)
    keepCalling(world, rule.id, { mutedStepAt: at })
    appointFor(world, 'muted-step', rule.id, at)
  }
  const ladder = world.plan.ladders.get(rule.ladder)
  if (ladder !== undefined) appointFor(world, 'run', rule.id, runDue(ladder, run))
}

/** What waited for the day climbs its ladder from 07:00; the digest was its first word (AL-50). */
export function beginAfterDigest(world: World, rule: AlarmRule): void {
  begin(world, rule, { again: false, chattering: 'no' })
  const run = world.runs.get(rule.id)
  const ladder = rule.ladder === null ? undefined : world.plan.ladders.get(rule.ladder)
  if (run === undefined || ladder === undefined) return
  const next = ladder.steps.findIndex((step) => step.after > 0)
  const later = { ...run, next: next < 0 ? ladder.steps.length : next, collectUntil: null }
  keepRun(world, later)
  appointFor(world, 'run', rule.id, runDue(ladder, later))
}

export function isDay(world: World): boolean {
  const minute = localMinuteOfDay(world.plan.farm.timeZone, world.now)
  const { from, to } = world.plan.rules.day
  return from <= to ? minute >= from && minute < to : minute >= from || minute < to
}

/** Whose messages tell this alarm; `silent` when that cause is acknowledged already (AL-37). */
function tellerOf(world: World, rule: AlarmRule): { by: AlarmId; silent: boolean } | null {
  let silent: AlarmId | null = null
  for (const cause of rule.causes) {
    if (cause.effect !== 'told' || !speaks(alarmOf(world, cause.alarm))) continue
    if (willStillTell(world, cause.alarm)) return { by: cause.alarm, silent: false }
    if (stateWordOf(alarmOf(world, cause.alarm)) === 'ACKED') silent ??= cause.alarm
  }
  if (silent !== null) return { by: silent, silent: true }
  const together = lostTogether(world, rule)
  return together === null ? null : { by: together, silent: false }
}

/** Its ladder runs and has calls left; one that has run out unanswered tells nothing any more (AL-37). */
function willStillTell(world: World, id: AlarmId): boolean {
  const run = world.runs.get(id)
  const ladder = run === undefined ? undefined : world.plan.ladders.get(run.ladder)
  return run !== undefined && ladder !== undefined && stillCalls(ladder, run)
}

/** The alarm in whose text a lost signal is told: same node or same place, within one stale time (AL-36, AL-49). */
function lostTogether(world: World, rule: AlarmRule): AlarmId | null {
  if (rule.condition.kind !== 'unusable') return null
  const signal = world.plan.signals.get(rule.condition.signal)
  for (const id of world.runs.keys()) {
    const other = ruleOf(world, id)
    if (other === undefined || id === rule.id || other.condition.kind !== 'unusable') continue
    if (!atLeast(priorityOf(world, other), priorityOf(world, rule))) continue
    const theirs = world.plan.signals.get(other.condition.signal)
    const sameNode = signal?.via != null && signal.via === theirs?.via
    const samePlace = placeOf(rule.condition.signal) === placeOf(other.condition.signal)
    const since = alarmOf(world, id).open?.activatedAt
    const within = signal?.staleTime ?? seconds(120)
    if ((sameNode || samePlace) && since !== undefined && world.now - since <= within) return id
  }
  return null
}

/** A cause that begins to call takes over the consequences that were calling by themselves (AL-37). */
function takeOver(world: World, rule: AlarmRule): void {
  if (
    rule.ladder === null ||
    priorityOf(world, rule) === 'low' ||
    (priorityOf(world, rule) === 'medium' && !isDay(world))
  )
    return
  for (const consequence of consequencesOf(world, rule.id)) {
    if (!isActive(alarmOf(world, consequence.id)) || !world.runs.has(consequence.id)) continue
    // A cause that matters less does not take the word from a worse consequence.
    if (!atLeast(priorityOf(world, rule), priorityOf(world, consequence))) continue
    endRun(world, consequence.id)
    keepCalling(world, consequence.id, { toldBy: rule.id })
  }
}

/** True when the flood's digest will tell it instead of a ladder (AL-20, AL-38). */
function countInFlood(world: World, rule: AlarmRule): boolean {
  const flood = world.plan.rules.flood
  const priority = priorityOf(world, rule)
  // What waits for the morning is not announced now: it neither makes a flood nor belongs into its digest.
  if (flood === null || priority === 'low' || (priority === 'medium' && !isDay(world))) return false
  const { memory, began } = countAnnunciation(flood, world.house.flood, world.now)
  const inDigest = memory.since !== null && !atLeast(priority, 'high')
  keepHouse(world, { flood: inDigest ? { ...memory, held: [...memory.held, rule.id] } : memory })
  if (began)
    world.effects.push({ at: world.now, event: 'flood', phase: 'begin', activations: memory.recent.length })
  appointFor(world, 'flood-digest', 'house', world.house.flood.digestAt)
  appointFor(world, 'flood-over', 'house', floodOverAt(flood, world.house.flood))
  return inDigest
}
