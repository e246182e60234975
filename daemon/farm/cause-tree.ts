import { alarmId, type AlarmId, type AlarmRule } from '../alarms/rule.js'
import { placeOf, quantityOf, type SignalName } from '../readings/signal.js'
import { equipmentPresets } from './equipment-presets.js'
import type { Equipment, Place } from './plan.js'

type Cause = AlarmRule['causes'][number]

/** What the tree of causes is read from. */
export interface Served {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  /** Equipment that serves a place or other equipment directly. */
  readonly serversOf: (id: string) => readonly Equipment[]
  /** The radio node or gateway that a signal comes through. */
  readonly viaOf: (signal: SignalName) => string | null
  /** Whether such an alarm exists at all: one that is turned off explains nothing. */
  readonly has: (alarm: AlarmId) => boolean
}

/** Looks up who serves what; made at the first question, since most alarms made on demand ask none. */
export function serversIn(equipment: ReadonlyMap<string, Equipment>): Served['serversOf'] {
  let servers: Map<string, Equipment[]> | null = null
  return (id) => {
    if (servers === null) {
      servers = new Map()
      for (const one of equipment.values()) {
        for (const target of one.serves) servers.set(target, [...(servers.get(target) ?? []), one])
      }
    }
    return servers.get(id) ?? []
  }
}

/** Quantities of a place that go wrong when what serves it stops (AL-37; flow because a stopped pump is its cause). */
const consequences: ReadonlySet<string> = new Set([
  'dissolved_oxygen',
  'oxygen_saturation',
  'oxygen_minutes_if_air_stops',
  'oxygen_minutes_on_trend',
  'water_level',
  'water_temperature',
  'air_temperature',
  'heater_margin',
  'flow',
])

/**
 * The alarms that may name the cause of this one, from `serves` alone (AL-37, AL-49).
 *
 * - Equipment under the one supply that feeds it: suppressed, only the supply speaks. With a second supply (battery,
 *   generator) the loss of one does not explain a standstill, so the fault is told inside the supply's messages.
 * - Oxygen, level, temperature and the like of a place under everything that serves it, however far up: told.
 * - A signal without readings under the node it comes through: suppressed.
 */
export function causesOf(rule: AlarmRule, served: Served): readonly Cause[] {
  const found =
    rule.condition.kind === 'unusable' ? node(rule.condition.signal, served) : upstream(rule, served)
  return found.filter((cause) => cause.alarm !== rule.id && served.has(cause.alarm))
}

function node(signal: SignalName, served: Served): readonly Cause[] {
  const via = served.viaOf(signal)
  return via === null ? [] : [{ alarm: alarmId('node-lost', via), effect: 'suppressed' }]
}

function upstream(rule: AlarmRule, served: Served): readonly Cause[] {
  const equipment = served.equipment.get(equipmentOf(rule, served) ?? '')
  if (equipment !== undefined) return causesOfEquipment(equipment, served)
  const place = served.places.get(rule.about)
  if (place === undefined || !isConsequence(rule)) return []
  return above(place.id, served).map((cause) => ({ alarm: faultOf(cause), effect: 'told' }))
}

/** The equipment that an alarm is about: by its name, or by the evidence it looks at (a pump's flow in the pipe run). */
export function equipmentOf(rule: AlarmRule, served: Pick<Served, 'equipment'>): string | null {
  if (served.equipment.has(rule.about)) return rule.about
  const { condition } = rule
  if (!('signal' in condition)) return null
  const place = placeOf(condition.signal)
  return served.equipment.has(place) ? place : null
}

function causesOfEquipment(equipment: Equipment, served: Served): readonly Cause[] {
  // Low charge and a generator that fails to start are the news of an outage, never its mere consequence.
  if (isSupply(equipment)) return []
  const direct = served.serversOf(equipment.id)
  const onlySupply = direct.filter(isSupply).length === 1
  return direct.map((other) => ({
    alarm: faultOf(other),
    effect: isSupply(other) && onlySupply ? 'suppressed' : 'told',
  }))
}

function isConsequence(rule: AlarmRule): boolean {
  const { condition } = rule
  // A verdict about a place (its air is lost, it leaks) may be the pump's or blower's doing.
  if (condition.kind === 'verdict') return true
  return 'signal' in condition && consequences.has(quantityOf(condition.signal))
}

/** Everything that serves this place or equipment, directly or through other equipment; each once, nearest first. */
function above(id: string, served: Served): readonly Equipment[] {
  const found = new Map<string, Equipment>()
  let frontier = [id]
  while (frontier.length > 0) {
    const next = new Set(
      frontier.flatMap((one) => served.serversOf(one)).filter(({ id: other }) => !found.has(other)),
    )
    for (const other of next) found.set(other.id, other)
    frontier = [...next].map((other) => other.id)
  }
  return [...found.values()]
}

const isSupply = (equipment: Equipment): boolean => equipmentPresets[equipment.kind].isSupply

/** The alarm that speaks when this equipment is gone. */
const faultOf = (equipment: Equipment): AlarmId =>
  alarmId(equipment.kind === 'mains_supply' ? 'mains-lost' : 'equipment-fault', equipment.id)
