import { isActive } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import type { AlarmFacts, MessageFacts, Trend } from '../callout/message-facts.js'
import { quantityOf, signalName, type SignalName } from '../readings/signal.js'
import { causeOf, priorityOf } from './causes.js'
import { alarmOf, callingOf, ruleOf } from './remembering.js'
import { placesFedBy, supplyOf } from './supplies.js'
import type { Purpose, World } from './world.js'

/** What a message has to say now: gathered anew for each try, so that a late text tells the present. */
export function factsOf(world: World, about: Purpose): MessageFacts {
  const farm = world.plan.farm.name
  switch (about.kind) {
    case 'activation': {
      const run = world.runs.get(about.alarm)
      const tried = (run?.tried ?? [])
        // Whom no message reached cannot have left it unanswered.
        .filter((person) => callingOf(world, about.alarm).called.includes(person))
        .map((person) => world.plan.people.get(person)?.name ?? person)
      return {
        kind: 'activation',
        farm,
        alarm: alarmFacts(world, about.alarm),
        also: many(world, about.also),
        chattering: run !== undefined && run.chattering !== 'no',
        step: about.shown,
        tried,
        again: run?.again ?? false,
      }
    }
    case 'follow-up':
      return {
        kind: 'follow-up',
        farm,
        alarm: alarmFacts(world, about.alarm),
        also: many(world, about.also),
        returnedAt: about.returnedAt,
      }
    case 'digest':
      return {
        kind: 'digest',
        farm,
        alarms: many(world, about.alarms),
        closing: about.closing,
        activations: about.activations,
      }
    case 'chattering':
      return {
        kind: 'chattering',
        farm,
        alarm: alarmFacts(world, about.alarm),
        activations: about.activations,
        over: true,
      }
    case 'test':
      return { kind: 'test', farm, number: about.number }
    case 'interruption':
      return { kind: 'interruption', farm, from: about.from, to: about.to, alarms: many(world, about.alarms) }
    case 'reminder':
      return {
        kind: 'out-of-service-reminder',
        farm,
        alarm: alarmFacts(world, about.alarm),
        until: about.until,
        by: world.plan.people.get(about.by)?.name ?? about.by,
      }
  }
}

const many = (world: World, ids: readonly AlarmId[]): AlarmFacts[] => ids.map((id) => alarmFacts(world, id))

/** One alarm as texts and pages tell it. */
export function alarmFacts(world: World, id: AlarmId): AlarmFacts {
  const rule = ruleOf(world, id)
  const memory = alarmOf(world, id)
  const open = memory.open
  const nothing = {
    measured: null,
    mode: null,
    minutesLeft: null,
    likely: null,
    response: null,
    consequence: null,
  }
  const common = {
    alarm: id,
    occurrence: memory.occurrences,
    number: memory.lastNumber ?? 0,
    since: open?.since ?? world.now,
  }
  if (rule === undefined) return { ...nothing, ...common, rule: id, priority: 'low', where: id }
  return {
    ...common,
    rule: rule.rule,
    priority: priorityOf(world, rule),
    where: whereOf(world, rule),
    measured: measuredOf(world, rule),
    mode: modeOf(world, rule),
    minutesLeft: minutesLeftOf(world, rule),
    likely: likelyOf(world, rule),
    response: rule.response,
    consequence: rule.consequence,
  }
}

/** The place or equipment as people call it; for a signal its place. */
export function whereOf(world: World, rule: AlarmRule): string {
  const of = rule.place
  return world.plan.places.get(of)?.label ?? world.plan.equipment.get(of)?.label ?? of
}

function measuredOf(world: World, rule: AlarmRule): AlarmFacts['measured'] {
  const { condition } = rule
  switch (condition.kind) {
    case 'above':
    case 'below':
      return { ...valueOf(world, condition.signal), limit: condition.limit, beyond: condition.kind }
    case 'rate':
      return { ...valueOf(world, condition.signal), limit: null, beyond: 'other' }
    case 'is':
      return { ...valueOf(world, condition.signal), limit: null, beyond: 'other' }
    case 'words':
      return { ...valueOf(world, condition.signal), limit: condition.all.join(' '), beyond: 'other' }
    case 'discrepancy':
      return { ...valueOf(world, condition.running), limit: null, beyond: 'other' }
    case 'unusable':
      return {
        ...valueOf(world, condition.signal),
        value: null,
        limit: null,
        beyond: 'other',
        trend: 'unknown',
      }
    case 'verdict':
    case 'own-trouble':
      return null
  }
}

function valueOf(
  world: World,
  signal: SignalName,
): { quantity: string; value: number | string | null; unit: string; trend: Trend } {
  const quantity = quantityOf(signal)
  const unit = world.plan.quantities.get(quantity)?.unit ?? ''
  return {
    quantity,
    value: world.signals.get(signal)?.usable?.value ?? null,
    unit,
    trend: trendOf(world, signal),
  }
}

/** Compares the newer half of the last points with the older: noise of a single reading does not turn it. */
export function trendOf(world: World, signal: SignalName): Trend {
  const points = (world.signals.get(signal)?.recent ?? []).slice(-8)
  if (points.length < 3) return 'unknown'
  const half = Math.floor(points.length / 2)
  const mean = (some: readonly { value: number }[]) =>
    some.reduce((sum, one) => sum + one.value, 0) / some.length
  const older = mean(points.slice(0, half))
  const change = mean(points.slice(-half)) - older
  // Under half a percent nobody would call it a direction (our choice).
  if (Math.abs(change) <= 0.005 * Math.max(Math.abs(older), 1)) return 'steady'
  return change < 0 ? 'falling' : 'rising'
}

function modeOf(world: World, rule: AlarmRule): string | null {
  const { condition } = rule
  switch (condition.kind) {
    case 'verdict':
      return world.verdicts.get(condition.of)?.mode ?? 'normal'
    case 'unusable':
      return 'no_reading'
    case 'own-trouble':
      return condition.of === 'broker' ? 'lost' : 'failing'
    case 'discrepancy':
      return 'not_as_commanded'
    case 'rate':
      return 'changing_fast'
    case 'above':
    case 'below':
    case 'is':
    case 'words':
      return null
  }
}

/** How long the oxygen lasts: of the alarm's own tank, or of the one that has the least where a machine fails. */
function minutesLeftOf(world: World, rule: AlarmRule): AlarmFacts['minutesLeft'] {
  if (isOxygen(rule)) return timeLeftAt(world, rule.place, null)
  if (rule.condition.kind !== 'verdict' || !world.plan.equipment.has(rule.about)) return null
  const left = [...placesFedBy(world, rule.about)]
    .filter((place) => supplyOf(world, place).air === 'lost')
    .map((place) => timeLeftAt(world, place, world.plan.places.get(place)?.label ?? place))
    .filter((one) => one !== null)
  return left.toSorted((one, other) => one.minutes - other.minutes)[0] ?? null
}

/** On the trend; where that foresees nothing and the air is known to be lost, by what the tank breathes. */
function timeLeftAt(world: World, place: string, where: string | null): AlarmFacts['minutesLeft'] {
  const fish = world.plan.places.get(place)?.fish
  if (fish == null) return null
  const lost = supplyOf(world, place).air === 'lost'
  for (const quantity of ['oxygen_minutes_on_trend', ...(lost ? ['oxygen_minutes_if_air_stops'] : [])]) {
    const memory = world.signals.get(signalName(place, quantity))
    const value = memory?.stale === false ? memory.usable?.value : undefined
    if (typeof value === 'number') return { minutes: value, limit: fish.criticalOxygen, where }
  }
  return null
}

function isOxygen(rule: AlarmRule): boolean {
  const { condition } = rule
  return (
    (condition.kind === 'below' || condition.kind === 'rate') &&
    condition.signal.endsWith('/dissolved_oxygen')
  )
}

/** The cause in the farm's words, when it is not what the alarm itself is about. */
function likelyOf(world: World, rule: AlarmRule): AlarmFacts['likely'] {
  const cause = causeOf(world, rule)
  if (cause === null || cause.of === rule.about) return null
  const label =
    world.plan.equipment.get(cause.of)?.label ?? world.plan.places.get(cause.of)?.label ?? cause.of
  return { of: label, mode: cause.mode }
}

/** In one line, for pages and terminals: `oxygen 3.8 mg/L, limit 4.5`. */
export function saysOf(world: World, rule: AlarmRule): string {
  const { measured, mode } = alarmFacts(world, rule.id)
  const label =
    measured === null ? '' : (world.plan.quantities.get(measured.quantity)?.label ?? measured.quantity)
  if (measured === null || measured.value === null)
    return [label, (mode ?? '').replaceAll('_', ' ')].filter((one) => one !== '').join(': ')
  const decimals = world.plan.quantities.get(measured.quantity)?.decimals ?? 1
  const value = typeof measured.value === 'number' ? measured.value.toFixed(decimals) : measured.value
  const limit = measured.limit === null ? '' : `, limit ${measured.limit}`
  return `${label} ${value} ${measured.unit}${limit}`.trimEnd()
}

export const anyActive = (world: World): boolean =>
  [...world.alarms.values()].some((memory) => isActive(memory))
