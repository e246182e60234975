import { after, hours, minutes, seconds, type EpochMs, type Milliseconds } from '../units/time.js'
import { blowerIds, tankIds } from './larkfield.js'
import type { Mishap, MishapKind } from './mishaps.js'
import { chosen, evenNoise } from './noise.js'

export interface NightOptions {
  readonly at: EpochMs
  readonly length: Milliseconds
  /** At most so many mishaps; none in about a quarter of all nights. */
  readonly most: number
  /** Which may happen. */
  readonly kinds: readonly [MishapKind, ...MishapKind[]]
}

// prettier-ignore
export const everyKind = [
  'mains-outage', 'blower-stop', 'air-line-open', 'pump-stop', 'pump-blocked', 'heater-failure', 'cold-night',
  'overfeeding', 'leak', 'probe-unplugged', 'probe-flat', 'probe-spiking', 'probe-fouled', 'probe-clock-wrong', 'gateway-lost',
] as const satisfies readonly MishapKind[]

const gateways = ['wet-side', 'plant-room', 'house'] as const
const probes = [
  'tank-1/dissolved_oxygen',
  'tank-2/dissolved_oxygen',
  'tank-3/dissolved_oxygen',
  'tank-1/water_temperature',
  'tank-3/water_temperature',
  'sump/ph',
  'house/air_temperature',
] as const

/** Stream of the noise that plans nights; the farm itself uses others. */
const planning = 9000

/**
 * What goes wrong in one night, the same for the same seed. Mishaps begin in the first four fifths and last from minutes
 * to hours; they may overlap, as real ones do.
 */
export function randomNight(
  seed: number,
  options: Partial<NightOptions> & { readonly at: EpochMs },
): readonly Mishap[] {
  const night: NightOptions = { length: hours(12), most: 3, kinds: everyKind, ...options }
  let drawn = 0
  const draw = (): number => evenNoise({ seed, stream: planning }, drawn++)
  if (draw() < 0.25) return []
  const count = 1 + Math.floor(draw() * night.most)
  return Array.from({ length: count }, () => drawMishap(chosen(night.kinds, draw()), night, draw)).sort(
    (a, b) => a.at - b.at,
  )
}

/** One mishap of `kind` somewhere in the night. */
export function drawMishap(
  kind: MishapKind,
  night: { readonly at: EpochMs; readonly length: Milliseconds },
  draw: () => number,
): Mishap {
  const at = after(night.at, (0.8 * draw() * night.length) as Milliseconds)
  const lasting = (from: number, to: number) => ({
    at,
    for: minutes(Math.round(from + draw() * (to - from))),
  })
  const probe = () => ({ ...lasting(20, 180), signal: chosen(probes, draw()) })
  switch (kind) {
    case 'mains-outage':
      return { kind, ...lasting(3, 90) }
    case 'pump-stop':
    case 'heater-failure':
      return { kind, ...lasting(20, 240) }
    case 'blower-stop':
      return { kind, ...lasting(10, 60), blower: chosen(blowerIds, draw()) }
    case 'air-line-open':
      return { kind, ...lasting(10, 90), blower: chosen(blowerIds, draw()), size: 0.5 + 0.5 * draw() }
    case 'pump-blocked':
      return { kind, ...lasting(60, 300), size: 0.3 + 0.6 * draw() }
    case 'cold-night':
      return { kind, at: night.at, for: night.length, size: 4 + 8 * draw() }
    case 'overfeeding':
      return { kind, ...lasting(15, 45), tank: chosen(tankIds, draw()), size: 0.5 + 1.5 * draw() }
    case 'leak':
      return {
        kind,
        ...lasting(30, 120),
        basin: chosen(['tank-1', 'tank-2', 'sump'], draw()),
        size: 4 + 16 * draw(),
      }
    case 'probe-unplugged':
      return { kind, ...probe(), shows: chosen(['silence', 'garbage'], draw()) }
    case 'probe-flat':
      return { kind, ...probe() }
    case 'probe-spiking':
      return { kind, ...probe(), size: 1 + 4 * draw() }
    case 'probe-fouled':
      return { kind, ...probe(), size: 0.1 + 0.3 * draw() }
    case 'probe-clock-wrong':
      return { kind, ...probe(), size: seconds(Math.round(chosen([-1, 1], draw()) * (60 + 3600 * draw()))) }
    case 'gateway-lost':
      return { kind, ...lasting(5, 60), gateway: chosen(gateways, draw()), keeps: draw() < 0.5 }
  }
}
