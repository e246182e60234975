import { signalName, type SignalName } from '../readings/signal.js'
import type { Quantity } from '../units/quantities.js'
import { isHeated } from './equipment-alarms.js'
import { holdsWater } from './labels.js'
import { entered } from './on-demand.js'
import type { Equipment, Place, ProbePattern, SignalPlan } from './plan.js'

interface Known {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  readonly quantities: ReadonlyMap<string, Quantity>
}

/**
 * The values that Bellwater computes. A tank with fish gets all of them, whatever its probes: what is missing may be
 * entered from a test kit. Other places get those whose inputs have probes.
 */
export function computedSignals(
  known: Known,
  declared: ReadonlyMap<SignalName, SignalPlan>,
  patterns: readonly ProbePattern[],
): readonly SignalPlan[] {
  const may = (place: Place, quantity: string): boolean =>
    declared.has(signalName(place.id, quantity)) ||
    patterns.some((one) => (one.place ?? place.id) === place.id && one.quantity === quantity)
  return [...known.places.values()].flatMap((place) =>
    computedAt(place, (quantity) => may(place, quantity), known).flatMap((name) => {
      const quantity = known.quantities.get(name)
      const signal = signalName(place.id, name)
      return quantity === undefined
        ? []
        : [{ signal, quantity, ...entered, plausible: null, tests: null, origin: 'computed' as const }]
    }),
  )
}

function computedAt(place: Place, has: (quantity: string) => boolean, known: Known): readonly string[] {
  const names: string[] = []
  const stocked = place.fish !== null
  if (holdsWater(place.kind)) {
    if (stocked || (has('dissolved_oxygen') && has('water_temperature'))) names.push('oxygen_saturation')
    if (stocked || (has('total_ammonia_nitrogen') && has('ph'))) names.push('unionised_ammonia_nitrogen')
    if (stocked && place.volume !== null) names.push('oxygen_minutes_if_air_stops', 'oxygen_minutes_on_trend')
    return names
  }
  if (has('air_temperature') && has('relative_humidity')) names.push('vapour_pressure_deficit', 'dew_point')
  if (isHeated(place, known.equipment)) names.push('heater_margin')
  return names
}
