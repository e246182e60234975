import { alarmId, type Condition } from '../alarms/rule.js'
import { signalName } from '../readings/signal.js'
import { minutes, seconds } from '../units/time.js'
import { builtIn, type BareRule, type Nature } from './built-in.js'
import type { Place } from './plan.js'
import type { Species } from './species.js'

/** What a tank brings along by the kind of fish in it. Null limits of the species do not exist: every row is whole. */
export function alarmsOfFish(place: Place, kind: Species): readonly BareRule[] {
  const limit = (quantity: string, beyond: 'above' | 'below', at: number, deadband: number): Condition => ({
    kind: beyond,
    signal: signalName(place.id, quantity),
    limit: at,
    deadband,
  })
  const slow = { onDelay: minutes(10), offDelay: minutes(10) }
  const rules: BareRule[] = [
    builtIn('oxygen-low', place.id, limit('dissolved_oxygen', 'below', kind.oxygenLow.value, 0.4), {
      priority: 'high',
      onDelay: minutes(2),
      offDelay: minutes(3),
      lesserOf: alarmId('oxygen-very-low', place.id),
    }),
    builtIn('oxygen-very-low', place.id, limit('dissolved_oxygen', 'below', kind.oxygenVeryLow.value, 0.4), {
      priority: 'critical',
      onDelay: minutes(1),
      offDelay: minutes(3),
    }),
    builtIn(
      'temperature-low',
      place.id,
      limit('water_temperature', 'below', kind.temperatureLow.value, 0.5),
      {
        priority: 'high',
        ...slow,
      },
    ),
    builtIn(
      'temperature-high',
      place.id,
      limit('water_temperature', 'above', kind.temperatureHigh.value, 0.5),
      {
        priority: 'high',
        ...slow,
      },
    ),
    builtIn('ph-low', place.id, limit('ph', 'below', kind.phLow.value, 0.1), { priority: 'low', ...slow }),
    builtIn('ph-high', place.id, limit('ph', 'above', kind.phHigh.value, 0.1), { priority: 'low', ...slow }),
    // Test kits give single results: a delay would only make these late. A tenth of the limit is the kits' own step.
    ammonia(place, kind),
    nitrite(place, kind),
  ]
  // Without the volume nobody can say how long the oxygen lasts.
  return place.volume === null ? rules : [...rules, oxygenMinutes(place)]
}

function ammonia(place: Place, kind: Species): BareRule {
  const limit = kind.unionisedAmmonia.value
  const signal = signalName(place.id, 'unionised_ammonia_nitrogen')
  return builtIn(
    'ammonia-high',
    place.id,
    { kind: 'above', signal, limit, deadband: limit / 10 },
    { priority: 'low' },
  )
}

function nitrite(place: Place, kind: Species): BareRule {
  const limit = kind.nitrite.value
  const signal = signalName(place.id, 'nitrite_nitrogen')
  return builtIn(
    'nitrite-high',
    place.id,
    { kind: 'above', signal, limit, deadband: limit / 10 },
    { priority: 'low' },
  )
}

/**
 * On the trend, not "if air stops": a dense tank has few minutes of reserve on its best day, and an alarm that always
 * stands says nothing. Half an hour is the time to wake, dress, drive and start an air pump (common practice).
 */
function oxygenMinutes(place: Place): BareRule {
  const signal = signalName(place.id, 'oxygen_minutes_on_trend')
  return builtIn(
    'oxygen-minutes-low',
    place.id,
    { kind: 'below', signal, limit: 30, deadband: 15 },
    { priority: 'critical', onDelay: minutes(1), offDelay: minutes(5) },
  )
}

/** The level alarms that the declared levels allow. Limits between the marks are common practice. */
export function alarmsOfLevels(place: Place): readonly BareRule[] {
  if (place.levels === null) return []
  const { normal, high, pumpDry } = place.levels
  const signal = signalName(place.id, 'water_level')
  const span = (high ?? normal ?? pumpDry ?? 0) - (high === null && normal === null ? 0 : (pumpDry ?? 0))
  const deadband = Math.abs(span) * 0.05
  const nature: Nature = { priority: 'high', onDelay: seconds(60), offDelay: seconds(60) }
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
