import { priorities, type AlarmRule, type Priority } from '../alarms/rule.js'
import type { Ladder, LadderStep } from '../callout/people.js'
import { onDuty } from '../callout/roster.js'
import { blindSpots, unwatchedTanks, type BlindSpot } from '../farm/blind-spots.js'
import { patternOf } from '../farm/on-demand.js'
import type { FarmPlan, SignalPlan } from '../farm/plan.js'
import { placeOf, quantityOf } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'
import { conditionInWords, priorityExceptions, priorityInWords } from './alarm-in-words.js'
import { remarksOn, withoutReason } from './check-remarks.js'
import type { LoadedFarm } from './load-farm.js'
import { spanInWords } from './span-in-words.js'

/** Everything that `check` found out, ready to be printed as text or JSON. */
export interface CheckReport {
  readonly farm: string
  readonly timeZone: string
  readonly watched: readonly WatchedThing[]
  /** Topics that may bring more: `larkfield/{place}/{quantity}, every 1 min`. */
  readonly patterns: readonly string[]
  readonly alarms: readonly AlarmSummary[]
  readonly ladders: readonly LadderSummary[]
  readonly onDuty: readonly string[]
  readonly blindSpots: readonly BlindSpot[]
  readonly remarks: readonly string[]
  /** Stocked tanks of which nothing shows the oxygen: the farm cannot be watched like this. */
  readonly unwatched: readonly string[]
}

export interface WatchedThing {
  readonly id: string
  /** `tank 1, 160 Nile tilapia` */
  readonly what: string
  readonly signals: readonly { readonly quantity: string; readonly how: string }[]
}

export interface AlarmSummary {
  readonly id: string
  readonly priority: Priority
  /** `usual`, `set by hand`, or the consequence and the time to respond (AL-23). */
  readonly why: string
  /** `low if weak`; empty where the priority never changes. */
  readonly except: string
  readonly when: string
  readonly ladder: string | null
  readonly lifeSupport: boolean
  readonly lesserOf: string | null
  /** No probe publishes what it watches: it speaks to what people enter. */
  readonly enteredOnly: boolean
}

export interface LadderSummary {
  readonly name: string
  /** `after 5 min: First keeper by text, then email` */
  readonly steps: readonly string[]
  readonly then: string
}

/** What there is to say about a valid configuration at this moment (who is on duty changes with it). */
export function checkReport({ settings, plan, notes }: LoadedFarm, now: EpochMs): CheckReport {
  const duty = onDuty(plan.roster, plan.farm.timeZone, now)
  const missing = withoutReason(plan).map(
    (rule) => `${rule.id}: its priority was set by hand; cause, consequence and response must say why`,
  )
  return {
    farm: plan.farm.name,
    timeZone: plan.farm.timeZone,
    watched: watchedThings(plan),
    patterns: plan.onDemand.patterns.map(({ topic, listening }) =>
      listening.every === null ? topic : `${topic}, every ${spanInWords(listening.every)}`,
    ),
    alarms: worstFirst(plan).map((rule) => summaryOf(rule, plan)),
    ladders: [...plan.ladders.values()].map((ladder) => ladderSummary(ladder, plan, duty)),
    onDuty: duty.map((id) => nameOf(plan, id)),
    blindSpots: blindSpots(plan),
    remarks: [...missing, ...notes, ...remarksOn(settings, plan)],
    unwatched: unwatchedTanks(plan).map((tank) => tank.id),
  }
}

function watchedThings(plan: FarmPlan): readonly WatchedThing[] {
  const places = [...plan.places.values()].map((place) => {
    const stock = place.fish === null ? '' : `, ${place.fish.count} ${place.fish.species.label}`
    return { id: place.id, what: `${place.label}${stock}` }
  })
  const machines = [...plan.equipment.values()].map(({ id, label }) => ({ id, what: label }))
  return [...places, ...machines].map((thing) => ({ ...thing, signals: signalsAt(thing.id, plan) }))
}

const signalsAt = (place: string, plan: FarmPlan): WatchedThing['signals'] =>
  [...plan.signals.values()]
    .filter(({ signal }) => placeOf(signal) === place)
    .map((one) => ({ quantity: quantityOf(one.signal), how: howHeard(one, plan) }))

function howHeard(one: SignalPlan, plan: FarmPlan): string {
  if (one.origin === 'computed') return 'computed'
  const isPublished = one.origin === 'probe' || patternOf(plan.onDemand.patterns, one.signal) !== null
  if (!isPublished) return 'evidence, but no probe publishes it'
  const rate = one.every === null ? 'on change' : `every ${spanInWords(one.every)}`
  return one.staleTime === null ? rate : `${rate}, stale after ${spanInWords(one.staleTime)}`
}

const worstFirst = (plan: FarmPlan): readonly AlarmRule[] =>
  [...plan.alarms.values()].sort((a, b) => priorities.indexOf(b.priority) - priorities.indexOf(a.priority))

function summaryOf(rule: AlarmRule, plan: FarmPlan): AlarmSummary {
  const { condition } = rule
  const signal = 'signal' in condition ? condition.signal : null
  return {
    id: rule.id,
    priority: rule.priority,
    why: priorityInWords(rule),
    except: priorityExceptions(rule),
    when: conditionInWords(rule, { quantities: plan.quantities, system: plan.farm.showUnits }),
    ladder: rule.ladder,
    lifeSupport: rule.lifeSupport,
    lesserOf: rule.lesserOf,
    enteredOnly:
      signal !== null &&
      plan.signals.get(signal) === undefined &&
      patternOf(plan.onDemand.patterns, signal) === null,
  }
}

const nameOf = (plan: FarmPlan, id: string): string => plan.people.get(id)?.name ?? id

function ladderSummary(ladder: Ladder, plan: FarmPlan, duty: readonly string[]): LadderSummary {
  const { every, times } = ladder.repeat
  const again =
    times === 0 ? 'then nobody again' : `then everyone of these every ${spanInWords(every)}, ${times} times`
  const back =
    ladder.reAlarm === null ? '' : `; acknowledged and still so after ${spanInWords(ladder.reAlarm)}: again`
  return {
    name: ladder.name,
    steps: ladder.steps.map((step) => stepInWords(step, plan, duty)),
    then: `${again}${back}`,
  }
}

function stepInWords(step: LadderStep, plan: FarmPlan, duty: readonly string[]): string {
  const when = step.after === 0 ? 'at once' : `after ${spanInWords(step.after)}`
  if (step.kind === 'switch-on') return `${when}: ${step.channel} on`
  const called =
    step.target.kind === 'on-duty'
      ? duty
      : step.target.kind === 'everyone'
        ? [...plan.people.keys()]
        : [step.target.person]
  const names = called.map((id) => wayTo(id, step.by, plan))
  return `${when}: ${names.length === 0 ? 'nobody (no one is on duty now)' : names.join('; ')}`
}

/** Channels of the step on which the person has an address, in their order (AL-43). */
function wayTo(id: string, by: readonly string[], plan: FarmPlan): string {
  const reach = plan.people.get(id)?.reach ?? {}
  // Push has no address in the file: phones are enrolled one by one.
  const ways = by.filter((channel) => channel === 'push' || reach[channel] !== undefined)
  return `${nameOf(plan, id)} by ${ways.length === 0 ? 'no way: no address' : ways.join(', then ')}`
}
