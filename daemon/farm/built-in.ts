import { builtInAlarms } from '../alarms/settings.js'
import { alarmId, type AlarmRule, type Condition, type Priority } from '../alarms/rule.js'
import { placeOf } from '../readings/signal.js'
import { milliseconds, type Milliseconds } from '../units/time.js'
import { texts } from './built-in-texts.js'
import type { Equipment, Place } from './plan.js'
import type { Species } from './species.js'

/** The closed list of contract 11. A keeper's alarm of the same id takes its place; `off: true` removes it. */
export const builtInIds = builtInAlarms
export type BuiltInId = (typeof builtInIds)[number]

export const isBuiltIn = (id: string): id is BuiltInId => (builtInIds as readonly string[]).includes(id)

/** Contract 11's priorities, for a keeper's alarm of the same id that names none. Those by verdict: of the worst mode. */
export const usualPriorities: Readonly<Record<BuiltInId, Priority>> = {
  'oxygen-low': 'high',
  'oxygen-very-low': 'critical',
  'oxygen-minutes-low': 'critical',
  'temperature-low': 'high',
  'temperature-high': 'high',
  'ph-low': 'low',
  'ph-high': 'low',
  'ammonia-high': 'low',
  'nitrite-high': 'low',
  'level-low': 'high',
  'level-high': 'high',
  'equipment-fault': 'high',
  'mains-lost': 'high',
  'battery-low': 'low',
  'bad-measurement': 'medium',
  'node-lost': 'medium',
  'heat-margin-low': 'low',
  'own-trouble': 'low',
  'probe-clock': 'low',
}

/** What built-in alarms are made from. */
export interface BuiltInInputs {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  readonly speciesOf: (place: Place) => Species
  /** Radio nodes and gateways; true for those that carry a stocked tank's oxygen. */
  readonly nodes: ReadonlyMap<string, boolean>
}

/** Everything about an alarm that the closed list decides. Ladder, causes and life support are found afterwards. */
export type BareRule = Omit<AlarmRule, 'ladder' | 'causes' | 'lifeSupport' | 'followUpDelay'> & {
  readonly ladder: string | null
}

export interface Nature {
  /** Contract 11's for this id, unless it depends on what the alarm is about. */
  readonly priority?: Priority
  readonly onDelay?: Milliseconds
  readonly offDelay?: Milliseconds
  readonly lesserOf?: AlarmRule['lesserOf']
  readonly releaseDelay?: Milliseconds
  readonly priorityByMode?: Readonly<Record<string, Priority>>
  readonly priorityWhile?: AlarmRule['priorityWhile']
}

const none = milliseconds(0)

/** A built-in rule about one thing. */
export function builtIn(rule: BuiltInId, about: string, condition: Condition, nature: Nature): BareRule {
  return {
    id: alarmId(rule, about),
    rule,
    about,
    place: 'signal' in condition ? placeOf(condition.signal) : about,
    condition,
    onDelay: nature.onDelay ?? none,
    offDelay: nature.offDelay ?? none,
    priority: nature.priority ?? usualPriorities[rule],
    ...(nature.priorityByMode === undefined ? {} : { priorityByMode: nature.priorityByMode }),
    ...(nature.priorityWhile === undefined ? {} : { priorityWhile: nature.priorityWhile }),
    priorityFrom: { kind: 'built-in' },
    ladder: null,
    latching: false,
    reAlarm: null,
    lesserOf: nature.lesserOf ?? null,
    suppressedWhile: [],
    releaseDelay: nature.releaseDelay ?? none,
    ...texts[rule],
    origin: 'built-in',
  }
}
