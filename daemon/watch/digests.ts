import { isHeld, stateWordOf } from '../alarms/memory.js'
import { atLeast, type AlarmId } from '../alarms/rule.js'
import { chatteringOverAt, quiet } from '../callout/chattering.js'
import { floodOverAt, noFlood } from '../callout/flood.js'
import { nextLocalMinute } from '../callout/roster.js'
import { after } from '../units/time.js'
import { beginAfterDigest, isDay } from './announcing.js'
import { priorityOf } from './causes.js'
import { appoint } from './dues.js'
import { alarmOf, appointFor, callingOf, keepCalling, keepHouse, ruleOf } from './remembering.js'
import { peopleFor } from './running.js'
import { send } from './sending.js'
import type { World } from './world.js'

/** 07:00: what waited for the day, in one message to whoever is on duty (AL-24, AL-38, AL-50). Never empty (AL-52). */
export function morningIsDue(world: World): void {
  const waiting: AlarmId[] = []
  for (const [id, memory] of world.alarms) {
    const rule = ruleOf(world, id)
    if (rule === undefined || isHeld(memory) || stateWordOf(memory) === 'NORM') continue
    if (!atLeast(priorityOf(world, rule), 'high') && callingOf(world, id).toldBy === null) waiting.push(id)
  }
  const returned = world.house.returned.filter((id) => !waiting.includes(id))
  if (waiting.length + returned.length > 0) {
    const alarms = worstFirst(world, [...waiting, ...returned])
    for (const person of peopleFor(world, { kind: 'on-duty' })) {
      send(world, person, { kind: 'digest', alarms, closing: false, activations: alarms.length })
    }
  }
  if (returned.length > 0) for (const id of returned) keepCalling(world, id, { inDigest: false })
  if (world.house.returned.length > 0) keepHouse(world, { returned: [] })
  for (const id of waiting) {
    const rule = ruleOf(world, id)
    if (rule !== undefined && stateWordOf(alarmOf(world, id)) === 'UNACK' && !world.runs.has(id))
      beginAfterDigest(world, rule)
  }
  appointMorning(world)
}

export function appointMorning(world: World): void {
  const { timeZone } = world.plan.farm
  appoint(world.dues, 'morning', 'house', {
    at: nextLocalMinute(timeZone, world.now, world.plan.rules.day.from),
    rank: 0,
  })
}

/** In a flood the lesser ones are told together every so often (AL-20); by day only, as they are medium (AL-38). */
export function floodDigestIsDue(world: World): void {
  const rule = world.plan.rules.flood
  const { flood } = world.house
  if (rule === null || flood.digestAt === null) return
  tellHeld(world, false)
  keepHouse(world, { flood: { ...world.house.flood, digestAt: after(flood.digestAt, rule.digestEvery) } })
  appointFor(world, 'flood-digest', 'house', world.house.flood.digestAt)
}

export function floodIsOver(world: World): void {
  const rule = world.plan.rules.flood
  const { flood } = world.house
  if (rule === null) return
  const over = floodOverAt(rule, flood)
  if (over === null || over > world.now) {
    appointFor(world, 'flood-over', 'house', over)
    return
  }
  world.effects.push({ at: world.now, event: 'flood', phase: 'end', activations: flood.count })
  tellHeld(world, true)
  const recent = flood.recent.filter((at) => world.now - at < rule.window)
  keepHouse(world, { flood: { ...noFlood, recent } })
}

/** What came since the last digest; the closing one sums up all that was told in this way (AL-20). Never empty (AL-52). */
function tellHeld(world: World, closing: boolean): void {
  const { held, told, count } = world.house.flood
  const listed = new Set(closing ? [...told, ...held] : held)
  if (listed.size === 0 || !isDay(world)) return
  const alarms = worstFirst(world, [...listed])
  for (const [person, channels] of stepOnePeople(world, alarms)) {
    send(world, person, { kind: 'digest', alarms, closing, activations: count }, channels)
  }
  for (const id of alarms) keepCalling(world, id, { inDigest: true })
  keepHouse(world, { flood: { ...world.house.flood, held: [], told: [...new Set([...told, ...held])] } })
}

/** A digest goes to the step-1 people of what it lists (AL-52). */
function stepOnePeople(world: World, alarms: readonly AlarmId[]): ReadonlyMap<string, readonly string[]> {
  const people = new Map<string, readonly string[]>()
  for (const id of alarms) {
    const ladder = world.plan.ladders.get(ruleOf(world, id)?.ladder ?? '')
    const first = ladder?.steps.find((step) => step.kind === 'call')
    if (first?.kind !== 'call') continue
    for (const person of peopleFor(world, first.target)) if (!people.has(person)) people.set(person, first.by)
  }
  return people
}

/** Ten minutes without an activation: one summary to all who were called, for every follow-up withheld (AL-19). */
export function chatteringMayBeOver(world: World, id: AlarmId): void {
  const calling = callingOf(world, id)
  const over = chatteringOverAt(world.plan.rules.chattering, calling.chatter)
  if (over === null) return
  if (over > world.now) {
    appointFor(world, 'chattering-over', id, over)
    return
  }
  const active = stateWordOf(alarmOf(world, id)) === 'UNACK'
  for (const person of calling.called)
    send(world, person, { kind: 'chattering', alarm: id, activations: calling.chatter.count })
  keepCalling(world, id, {
    chatter: quiet,
    followUpAt: null,
    returnedAt: null,
    ...(active ? {} : { called: [] }),
  })
}

const worstFirst = (world: World, ids: readonly AlarmId[]): AlarmId[] =>
  [...ids].sort((a, b) => rankIn(world, b) - rankIn(world, a) || (a < b ? -1 : 1))

function rankIn(world: World, id: AlarmId): number {
  const rule = ruleOf(world, id)
  return rule === undefined ? 0 : ['low', 'medium', 'high', 'critical'].indexOf(priorityOf(world, rule))
}
