import { alarmId, type AlarmRule, type Condition, type Priority } from '../alarms/rule.js'
import { placeOf, quantityOf, signalParts, type SignalName } from '../readings/signal.js'
import { minutes, seconds } from '../units/time.js'
import { causesOf, serversIn, type Served } from './cause-tree.js'
import { didYouMean } from '../units/nearest-name.js'
import type {
  BadMeasurementWish,
  FarmPlan,
  Listening,
  OnDemandRule,
  ProbePattern,
  SignalPlan,
} from './plan.js'

/** AL-17's defaults: later than this is stored as history, further ahead is uncertain. */
export const lateLimitDefault = seconds(60)
export const futureLimitDefault = minutes(2)

/** How a signal without a probe of its own is listened to: it may come or not, silence means nothing. */
export const entered: Listening = {
  every: null,
  staleTime: null,
  lateLimit: lateLimitDefault,
  futureLimit: futureLimitDefault,
  responseTime: null,
  via: null,
}

/**
 * How a signal is to be listened to. Any declared place or equipment with any known quantity is acceptable (people
 * enter values, patterns deliver them); an undeclared place or an unknown quantity is not, and the reason says what
 * is near.
 */
export function signalPlanFor(plan: FarmPlan, signal: string): SignalPlan | { readonly unknown: string } {
  const parts = signalParts(signal)
  if (parts === null) return { unknown: `"${signal}" is no signal: it must read place/quantity` }
  const name = signal as SignalName
  const known = plan.signals.get(name)
  if (known !== undefined) return known
  if (!plan.places.has(parts.place) && !plan.equipment.has(parts.place)) {
    const names = [...plan.places.keys(), ...plan.equipment.keys()]
    return { unknown: `there is no place or equipment "${parts.place}": ${didYouMean(parts.place, names)}` }
  }
  const quantity = plan.quantities.get(parts.quantity)
  if (quantity === undefined) {
    const names = plan.quantities.keys()
    return { unknown: `there is no quantity "${parts.quantity}": ${didYouMean(parts.quantity, names)}` }
  }
  const pattern = patternOf(plan.onDemand.patterns, name)
  return {
    signal: name,
    quantity,
    ...(pattern?.listening ?? entered),
    plausible: pattern?.plausible ?? null,
    tests: pattern?.tests ?? null,
    origin: pattern === null ? 'entered' : 'probe',
  }
}

/** The first pattern of probes that can deliver this signal; null if none can. */
export function patternOf(patterns: readonly ProbePattern[], signal: SignalName): ProbePattern | null {
  const place = placeOf(signal)
  const quantity = quantityOf(signal)
  const fits = (fixed: string | null, name: string): boolean => fixed === null || fixed === name
  return patterns.find((one) => fits(one.place, place) && fits(one.quantity, quantity)) ?? null
}

/**
 * The bad-measurement alarm of a signal that a probe declares or a pattern has delivered (AL-36): its own from the
 * plan, or made now. Null when it is turned off, or when silence of this signal means nothing.
 */
export function badMeasurementRule(plan: FarmPlan, signal: SignalName): AlarmRule | null {
  const made = plan.alarms.get(alarmId('bad-measurement', signal))
  if (made !== undefined) return made
  // What a probe declares has its alarm in the plan, unless it was turned off there.
  if (plan.signals.get(signal)?.origin === 'probe') return null
  const listened = signalPlanFor(plan, signal)
  if ('unknown' in listened || listened.staleTime === null) return null
  const pattern = patternOf(plan.onDemand.patterns, signal)
  const wish = pattern === null ? noWish : pattern.badMeasurement
  if (wish === null) return null
  return badMeasurementOf(plan, signal, wish)
}

/** The bad-measurement alarm of a signal, with what the keeper said about it. Null when such alarms are turned off. */
export function badMeasurementOf(
  plan: PlanSoFar,
  signal: SignalName,
  wish: BadMeasurementWish,
): AlarmRule | null {
  const condition: Condition = { kind: 'unusable', signal }
  return finished(plan, 'bad-measurement', {
    about: signal,
    condition,
    priority: unseenPriority(plan, signal),
    wish,
  })
}

/** A probe's clock that runs ahead for long (AL-17, AL-45). */
export function probeClockRule(plan: FarmPlan, signal: SignalName): AlarmRule | null {
  const condition: Condition = { kind: 'verdict', of: signal, modes: ['clock'] }
  return finished(plan, 'probe-clock', { about: signal, condition, priority: 'low', wish: noWish })
}

/**
 * Trouble of our own (AL-32): of the broker, the store, the clock, the disk or a channel. Without broker or store
 * nothing is watched, so these two have `system.priority`, high unless the keeper says otherwise; the rest leaves the watch and other ways to call intact and waits for the
 * morning (contract 11: low for the rest). All of them are life support (AL-13).
 */
export function ownTroubleRule(plan: FarmPlan, of: string): AlarmRule | null {
  const priority: Priority = of === 'broker' || of === 'store' ? plan.rules.system.priority : 'low'
  return finished(plan, 'own-trouble', {
    about: of,
    condition: { kind: 'own-trouble', of },
    priority,
    wish: noWish,
  })
}

/** High when it leaves a stocked tank's oxygen unseen, else medium (contract 11). */
function unseenPriority(plan: Pick<FarmPlan, 'places'>, signal: SignalName): Priority {
  const place = plan.places.get(placeOf(signal))
  if (place === undefined || place.fish === null) return 'medium'
  return quantityOf(signal) === 'dissolved_oxygen' ? 'high' : 'medium'
}

const noWish: BadMeasurementWish = { priority: null, ladder: null, followUpDelay: null }

interface Made {
  readonly about: string
  readonly condition: Condition
  readonly priority: Priority
  readonly wish: BadMeasurementWish
}

type PlanSoFar = Pick<FarmPlan, 'places' | 'equipment' | 'signals' | 'alarms' | 'ladders' | 'onDemand'>

/** A rule from its template, with everything found out about what it is about. */
function finished(plan: PlanSoFar, kind: OnDemandRule, made: Made): AlarmRule | null {
  const template = plan.onDemand.rules[kind]
  if (template === null) return null
  const { about, condition, wish } = made
  const ladder = wish.ladder ?? template.ladder
  const rule: AlarmRule = {
    ...template,
    id: alarmId(kind, about),
    about,
    place: about.includes('/') ? placeOf(about as SignalName) : about,
    condition,
    priority: wish.priority ?? template.priority ?? made.priority,
    priorityFrom: wish.priority === null ? template.priorityFrom : { kind: 'by-hand' },
    ladder,
    followUpDelay: wish.followUpDelay ?? template.followUpDelay,
    reAlarm: template.reAlarm ?? plan.ladders.get(ladder ?? '')?.reAlarm ?? null,
    lifeSupport: condition.kind === 'own-trouble',
    lesserOf: null,
    suppressedWhile: [],
    causes: [],
  }
  return { ...rule, causes: causesOf(rule, servedIn(plan)) }
}

/** The tree of causes as a finished plan has it. */
export const servedIn = (plan: PlanSoFar): Served => ({
  places: plan.places,
  equipment: plan.equipment,
  serversOf: serversIn(plan.equipment),
  viaOf: (signal) =>
    plan.signals.get(signal)?.via ?? patternOf(plan.onDemand.patterns, signal)?.listening.via ?? null,
  has: (alarm) => plan.alarms.has(alarm),
})
