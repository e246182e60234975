import { alarmId, type Condition } from '../alarms/rule.js'
import { signalName } from '../readings/signal.js'
import { minutes, seconds } from '../units/time.js'
import { builtIn, type BareRule, type BuiltInId, type Nature } from './built-in.js'
import type { Place } from './plan.js'
import type { Species } from './species.js'

const slow: Nature = { onDelay: minutes(10), offDelay: minutes(10) }
// Test kits give single results: a delay would only make these late.
const atOnce: Nature = {}

/** What a tank brings along by the kind of fish in it. */
export function alarmsOfFish(place: Place, kind: Species): readonly BareRule[] {
  const alarm = (id: BuiltInId, limit: Limit, nature: Nature): BareRule => {
    const { quantity, ...rest } = limit
    const condition: Condition = { ...rest, signal: signalName(place.id, quantity) }
    return builtIn(id, place.id, condition, nature)
  }
  const { oxygenLow, oxygenVeryLow, temperatureLow, temperatureHigh, phLow, phHigh } = kind
  const ammonia = kind.unionisedAmmonia.value
  const nitrite = kind.nitrite.value
  return [
    alarm('oxygen-low', below('dissolved_oxygen', oxygenLow.value, 0.4), {
      onDelay: minutes(2),
      offDelay: minutes(3),
      lesserOf: alarmId('oxygen-very-low', place.id),
    }),
    alarm('oxygen-very-low', below('dissolved_oxygen', oxygenVeryLow.value, 0.4), {
      onDelay: minutes(1),
      offDelay: minutes(3),
    }),
    // Without the volume nobody can say how long the oxygen lasts.
    ...(place.volume === null
      ? []
      : [alarm('oxygen-minutes-low', oxygenMinutes, { onDelay: minutes(1), offDelay: minutes(5) })]),
    alarm('temperature-low', below('water_temperature', temperatureLow.value, 0.5), slow),
    alarm('temperature-high', above('water_temperature', temperatureHigh.value, 0.5), slow),
    alarm('ph-low', below('ph', phLow.value, 0.1), slow),
    alarm('ph-high', above('ph', phHigh.value, 0.1), slow),
    alarm('ammonia-high', above('unionised_ammonia_nitrogen', ammonia, ammonia / 10), atOnce),
    alarm('nitrite-high', above('nitrite_nitrogen', nitrite, nitrite / 10), atOnce),
  ]
}

interface Limit {
  readonly kind: 'above' | 'below'
  readonly quantity: string
  readonly limit: number
  readonly deadband: number
}

const below = (quantity: string, limit: number, deadband: number): Limit => ({
  kind: 'below',
  quantity,
  limit,
  deadband,
})
const above = (quantity: string, limit: number, deadband: number): Limit => ({
  ...below(quantity, limit, deadband),
  kind: 'above',
})

/**
 * On the trend, not "if air stops": a dense tank has few minutes of reserve on its best day, and an alarm that always
 * stands says nothing. Half an hour is the time to wake, dress, drive and start an air pump (common practice).
 */
const oxygenMinutes = below('oxygen_minutes_on_trend', 30, 15)

/** The level alarms that the declared levels allow. Limits between the marks are common practice. */
export function alarmsOfLevels(place: Place): readonly BareRule[] {
  if (place.levels === null) return []
  const { normal, high, pumpDry } = place.levels
  const signal = signalName(place.id, 'water_level')
  const span = (high ?? normal ?? pumpDry ?? 0) - (high === null && normal === null ? 0 : (pumpDry ?? 0))
  const deadband = Math.abs(span) * 0.05
  const nature: Nature = { onDelay: seconds(60), offDelay: seconds(60) }
  // Halfway to running dry leaves time to look; with one mark only, the mark itself or a fifth of the water gone.
  const low = normal === null ? pumpDry : pumpDry === null ? normal * 0.8 : (normal + pumpDry) / 2
  return [
    ...(low === null
      ? []
      : [builtIn('level-low', place.id, { kind: 'below', signal, limit: low, deadband }, nature)]),
    ...(high === null
      ? []
      : [builtIn('level-high', place.id, { kind: 'above', signal, limit: high, deadband }, nature)]),
  ]
}
