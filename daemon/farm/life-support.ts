import type { AlarmRule } from '../alarms/rule.js'
import { placeOf, quantityOf } from '../readings/signal.js'
import type { Equipment, Place } from './plan.js'

interface Farmyard {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
}

const ofTanks: ReadonlySet<string> = new Set([
  'dissolved_oxygen',
  'oxygen_minutes_if_air_stops',
  'oxygen_minutes_on_trend',
  'water_level',
])

/**
 * Life support without being told so (AL-13, AL-52): oxygen and level of tanks, mains supplies, blowers, the air of a
 * tank, and the alarm system itself. A bad-measurement alarm is about an instrument and is not, or AL-37 could not keep
 * it under its node. Made once for a farm, then asked for each of its alarms.
 */
export function lifeSupportOn(farm: Farmyard): (rule: Pick<AlarmRule, 'condition' | 'about'>) => boolean {
  const vital = [...farm.equipment.values()].filter(
    ({ kind }) => kind === 'blower' || kind === 'mains_supply',
  )
  const vitalIds = new Set(vital.map(({ id }) => id))
  const vitalSignals = new Set(vital.flatMap(({ evidence }) => Object.values(evidence)))
  return ({ condition, about }) => {
    if (condition.kind === 'own-trouble') return true
    if (condition.kind === 'unusable') return false
    if (vitalIds.has(about)) return true
    if (condition.kind === 'verdict') return (farm.places.get(condition.of)?.fish ?? null) !== null
    const signal = condition.kind === 'discrepancy' ? condition.running : condition.signal
    if (vitalIds.has(placeOf(signal)) || vitalSignals.has(signal)) return true
    return farm.places.get(placeOf(signal))?.kind === 'tank' && ofTanks.has(quantityOf(signal))
  }
}

/** Why a keeper's `suppressed_while` cannot be had for this alarm; null when it can. */
export function whyNeverSuppressed(
  rule: Pick<AlarmRule, 'condition' | 'lifeSupport'>,
  by: 'alarm' | 'signal',
): string | null {
  const { condition } = rule
  const quantity = 'signal' in condition && condition.kind !== 'unusable' ? quantityOf(condition.signal) : ''
  const ofWater = ['dissolved_oxygen', 'water_level', 'water_temperature'].includes(quantity)
  if (by === 'alarm' && (rule.lifeSupport || ofWater)) {
    return 'life support, oxygen, level and temperature are never suppressed by another alarm (AL-13, AL-37)'
  }
  // A blower that is switched off by its timer may rest; a tank's oxygen and level may not, whatever a switch says.
  if (by === 'signal' && rule.lifeSupport && ofTanks.has(quantity)) {
    return "a tank's oxygen and level are never suppressed by design; take the alarm out of service for the time of the work"
  }
  return null
}
