import { readFileSync } from 'node:fs'
import { decoderFor } from '../../daemon/assembly/ears.js'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import { createGreenhouse } from '../../daemon/practice/greenhouse.js'
import { tankIds, type TankId } from '../../daemon/practice/larkfield.js'
import type { Mishap } from '../../daemon/practice/mishaps.js'
import { evenNoise } from '../../daemon/practice/noise.js'
import { signalName } from '../../daemon/readings/signal.js'
import {
  after,
  days,
  epochMs,
  hours,
  minutes,
  seconds,
  type EpochMs,
  type Milliseconds,
} from '../../daemon/units/time.js'
import { advance } from '../../daemon/watch/advance.js'
import { newWorld } from '../../daemon/watch/docs.js'
import type { WatchEvent } from '../../daemon/watch/event.js'
import type { World } from '../../daemon/watch/world.js'

// Nights of the practice greenhouse in which the air stops. The whole core watches through the probes' messages and the
// example configuration; what it foresaw is compared with what became of the water.

export const forecasts = ['oxygen_minutes_if_air_stops', 'oxygen_minutes_on_trend'] as const
export type Forecast = (typeof forecasts)[number]

/** A forecast at the moment when truly `left` minutes were left. Minutes. */
export interface DrawDownCase {
  readonly night: number
  readonly tank: TankId
  readonly kind: Mishap['kind']
  /** Whether the watch had seen a shorter draw-down before. */
  readonly learnt: boolean
  readonly forecast: Forecast
  /** 'before': a minute before the air stopped, when what is asked is how long it would last. */
  readonly asked: (typeof askedAt)[number] | 'before' | `gone ${(typeof goneFor)[number]}`
  /** What was truly left. */
  readonly left: number
  /** How long the air had been gone. */
  readonly gone: number
  readonly value: number | null
  readonly low: number | null
  readonly high: number | null
}

export const askedAt = [30, 15, 5] as const
/** Minutes after the air stopped: the first ones, when the probe has hardly moved. */
export const goneFor = [1, 2, 3, 5, 8] as const

/** The example configuration, with nobody to call. */
export function larkfieldFarm() {
  const text = readFileSync(new URL('../../config/bellwater.yaml', import.meta.url), 'utf8')
  return farmFromText({ text, file: 'bellwater.yaml', env: {}, readFile: () => '' })
}

type Told = Pick<DrawDownCase, 'value' | 'low' | 'high'>

/** What stood where at a moment. */
interface Moment {
  readonly at: EpochMs
  readonly oxygen: Readonly<Record<TankId, number>>
  readonly told: Readonly<Record<TankId, Readonly<Record<Forecast, Told | null>>>>
}

/** Watches one seeded night; `learnt` puts a stop of ten minutes some hours before. */
export function watchNight(farm: ReturnType<typeof larkfieldFarm>, night: number, learnt: boolean): Watched {
  const draw = (index: number): number => evenNoise({ seed: 77, stream: 5 }, 100 * night + index)
  const start = after(
    epochMs(Date.UTC(2026, 8, 1)),
    (days(1) * Math.floor(200 * draw(0)) + minutes(Math.floor(1440 * draw(1)))) as Milliseconds,
  )
  const stops = after(start, learnt ? hours(3) : minutes(25))
  const kind = draw(2) < 0.6 ? 'mains-outage' : 'blower-stop'
  const lasts = { at: stops, for: hours(3) }
  const mishaps: Mishap[] =
    kind === 'mains-outage'
      ? [{ kind, ...lasts }]
      : [
          { kind, ...lasts, blower: 'blower-a' },
          { kind, ...lasts, blower: 'blower-b' },
        ]
  if (learnt) mishaps.unshift({ kind: 'mains-outage', at: after(start, minutes(30)), for: minutes(12) })
  const greenhouse = createGreenhouse({
    seed: 1000 + night,
    start,
    mishaps,
    options: { stepSeconds: 10, warmUpHours: 3 },
  })
  const decoder = decoderFor(farm)
  const world = newWorld(farm.plan, start)
  const moments: Moment[] = []
  const end = after(stops, lasts.for)
  for (let at = start; at < end; at = after(at, seconds(10))) {
    for (const message of greenhouse.advanceTo(at)) {
      const decoded = decoder.decode(message.topic, Buffer.from(message.payload), message.at, {
        retained: message.retain,
      })
      const arrivals = decoded.kind === 'arrivals' ? decoded.arrivals : []
      const events = arrivals.map((arrival): WatchEvent => ({ kind: 'arrival', arrival }))
      advance(world, events, message.at)
    }
    world.changed.clear()
    const { water } = greenhouse.truth()
    const oxygen = Object.fromEntries(tankIds.map((id) => [id, water[id].oxygen])) as Moment['oxygen']
    const told = Object.fromEntries(tankIds.map((id) => [id, toldAt(world, id)])) as Moment['told']
    moments.push({ at, oxygen, told })
    if (at > stops && tankIds.every((id) => oxygen[id] < 1.9)) break
  }
  const quiet = moments.filter(
    ({ at }) =>
      at < (learnt ? after(start, minutes(30)) : stops) ||
      (learnt && at > after(start, minutes(90)) && at < stops),
  )
  return {
    cases: casesOf(moments, { night, kind, learnt }, stops),
    quietHours: (quiet.length * tankIds.length * 10) / 3600,
    falseHours:
      (quiet.flatMap(({ told }) => tankIds.filter((id) => isLow(told[id].oxygen_minutes_on_trend))).length *
        10) /
      3600,
  }
}

/** What one night gave. */
export interface Watched {
  readonly cases: readonly DrawDownCase[]
  /** Tank-hours in which nothing was wrong, and those of them in which the trend foresaw under half an hour. */
  readonly quietHours: number
  readonly falseHours: number
}

const isLow = (told: Told | null): boolean => told?.value != null && told.value < 30

function toldAt(world: World, tank: TankId): Record<Forecast, Told | null> {
  const of = (forecast: Forecast): Told | null => {
    const memory = world.signals.get(signalName(tank, forecast))
    if (memory === undefined || memory.stale) return null
    const value = memory.usable?.value
    return {
      value: typeof value === 'number' ? value : null,
      low: memory.bounds?.low ?? null,
      high: memory.bounds?.high ?? null,
    }
  }
  return {
    oxygen_minutes_if_air_stops: of('oxygen_minutes_if_air_stops'),
    oxygen_minutes_on_trend: of('oxygen_minutes_on_trend'),
  }
}

const critical = 2

function casesOf(
  moments: readonly Moment[],
  night: Pick<DrawDownCase, 'night' | 'kind' | 'learnt'>,
  stops: EpochMs,
): DrawDownCase[] {
  return tankIds.flatMap((tank) => {
    const reached = moments.find(({ at, oxygen }) => at > stops && oxygen[tank] < critical)
    if (reached === undefined) return []
    const casesAt = (at: EpochMs, asked: DrawDownCase['asked'], left: number): DrawDownCase[] => {
      const moment = moments.find((one) => one.at >= at)
      if (moment === undefined) return []
      return forecasts
        .filter((forecast) => asked !== 'before' || forecast === 'oxygen_minutes_if_air_stops')
        .map((forecast) => ({
          ...{ ...night, tank, forecast, asked, left, gone: (at - stops) / 60_000 },
          ...(moment.told[tank][forecast] ?? { value: null, low: null, high: null }),
        }))
    }
    const before = casesAt(after(stops, minutes(-1)), 'before', (reached.at - stops) / 60_000)
    const early = goneFor.flatMap((minutesGone) => {
      const at = after(stops, minutes(minutesGone))
      return casesAt(at, `gone ${minutesGone}`, (reached.at - at) / 60_000)
    })
    const during = askedAt.flatMap((left) => {
      const at = after(reached.at, minutes(-left))
      return at < after(stops, minutes(2)) ? [] : casesAt(at, left, left)
    })
    return [...before, ...early, ...during]
  })
}

/** One row of the account: errors in minutes, and how often the truth lay in the interval. */
export interface Account {
  readonly cases: number
  /** Forecasts that gave no number although the level was reached. */
  readonly silent: number
  readonly median: number
  readonly p90: number
  readonly bias: number
  readonly inside: number
}

export function accountOf(cases: readonly DrawDownCase[]): Account {
  const numbers = cases.filter((one): one is DrawDownCase & { value: number } => one.value !== null)
  const errors = numbers.map(({ value, left }) => value - left)
  const sizes = errors.map(Math.abs).toSorted((a, b) => a - b)
  const at = (share: number): number =>
    sizes[Math.min(sizes.length - 1, Math.floor(share * sizes.length))] ?? NaN
  const inside = cases.filter(
    ({ left, low, high }) => low !== null && low <= left && (high ?? Infinity) >= left,
  )
  return {
    cases: cases.length,
    silent: cases.length - numbers.length,
    median: at(0.5),
    p90: at(0.9),
    bias: errors.reduce((sum, one) => sum + one, 0) / errors.length,
    inside: inside.length / cases.length,
  }
}
