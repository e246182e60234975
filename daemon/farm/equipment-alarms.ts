import { signalName } from '../readings/signal.js'
import { minutes, seconds } from '../units/time.js'
import { builtIn, type BareRule, type BuiltInInputs, type Nature } from './built-in.js'
import type { Equipment, Place } from './plan.js'

/** Water can leak from it, run over, or stand still. */
export const mayFail = (place: Place): boolean => place.kind !== 'air' && place.kind !== 'outdoors'

/** Verdicts about a place: it leaks, its air is lost. */
export function faultOfPlace(place: Place): BareRule {
  const stocked = place.fish !== null
  return builtIn(
    'equipment-fault',
    place.id,
    { kind: 'verdict', of: place.id, modes: 'any' },
    {
      // Of fish that lose their air; what is lost of water or flow is as a level or a pump that stands still.
      priority: stocked ? 'critical' : 'high',
      priorityByMode: {
        ...(stocked ? { leak: 'high', overflow: 'high', circulation_lost: 'high' } : {}),
        ...(place.kind === 'biofilter' ? { biofilter_failing: 'low' } : {}),
      },
    },
  )
}

/** After the supply is back, a machine gets this long to start before its own fault speaks (common practice). */
const startUp = minutes(2)

/** Verdicts about a machine or a supply. */
export function alarmsOfEquipment(equipment: Equipment, inputs: BuiltInInputs): readonly BareRule[] {
  const { id } = equipment
  switch (equipment.kind) {
    case 'mains_supply':
      return [mainsLost(equipment, inputs), fault(id, ['unstable', 'low'], { priority: 'low' })]
    case 'battery_supply':
      return [
        builtIn('battery-low', id, { kind: 'verdict', of: id, modes: ['low'] }, {}),
        fault(id, ['lost', 'unstable', 'not_restored'], { priority: 'low' }),
      ]
    case 'generator':
      // A generator at rest gives nothing: that is no fault.
      return [fault(id, ['unstable', 'low', 'not_restored'], { priority: 'low' })]
    case 'pump':
      return [fault(id, 'any', highBut(['worn']))]
    case 'blower':
      return [fault(id, 'any', highBut(['clogged', 'weak']))]
    case 'heater':
      return [fault(id, 'any', highBut(['stuck_on', 'weak']))]
    case 'fan':
    case 'vent':
    case 'valve':
    case 'feeder':
      return [fault(id, 'any', { priority: 'low', releaseDelay: startUp })]
  }
}

const fault = (id: string, modes: readonly string[] | 'any', nature: Nature): BareRule =>
  builtIn('equipment-fault', id, { kind: 'verdict', of: id, modes }, nature)

/** What does no work any more is high: stopped, off, dry, blocked, running backwards. What works badly is low. */
const highBut = (low: readonly string[]): Nature => ({
  priority: 'high',
  releaseDelay: startUp,
  priorityByMode: Object.fromEntries(low.map((mode) => [mode, 'low' as const])),
})

function mainsLost(mains: Equipment, inputs: BuiltInInputs): BareRule {
  const batteries = [...inputs.equipment.values()].filter((other) => other.kind === 'battery_supply')
  return builtIn(
    'mains-lost',
    mains.id,
    { kind: 'verdict', of: mains.id, modes: ['lost', 'not_restored'] },
    {
      // Mains that comes back for seconds has not come back (common practice).
      offDelay: seconds(60),
      ...(batteries.length === 0
        ? {}
        : {
            priorityWhile: {
              of: batteries.map((battery) => battery.id),
              modes: ['low', 'lost'],
              priority: 'critical' as const,
            },
          }),
    },
  )
}

type EquipmentById = BuiltInInputs['equipment']

/** Heaters of known power that serve a place. */
const heatersOf = (place: Place, equipment: EquipmentById): readonly Equipment[] =>
  [...equipment.values()].filter(
    (one) => one.kind === 'heater' && one.ratedPower !== null && one.serves.includes(place.id),
  )

/** A margin can be computed where the envelope and the heater's power are known. */
export const isHeated = (place: Place, equipment: EquipmentById): boolean =>
  place.envelope !== null && heatersOf(place, equipment).length > 0

/** Below zero the heater gives less than the house loses. A twentieth of its power as deadband (common practice). */
export function heatMargin(place: Place, equipment: EquipmentById): BareRule {
  const power = heatersOf(place, equipment).reduce((sum, heater) => sum + (heater.ratedPower ?? 0), 0)
  const signal = signalName(place.id, 'heater_margin')
  return builtIn(
    'heat-margin-low',
    place.id,
    { kind: 'below', signal, limit: 0, deadband: power / 20 },
    { onDelay: minutes(15), offDelay: minutes(15) },
  )
}

/**
 * Contract 11 has node-lost low; but a node's loss silences the bad-measurement alarms of its probes (AL-37), so it
 * takes over the loudest of theirs. Otherwise a tank could go unseen until the morning's digest.
 */
export const nodeLost = (node: string, carriesOxygen: boolean): BareRule =>
  builtIn(
    'node-lost',
    node,
    { kind: 'verdict', of: node, modes: ['lost'] },
    { priority: carriesOxygen ? 'high' : 'medium' },
  )
