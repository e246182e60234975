import { after, epochMs, rfc3339, type EpochMs, type Milliseconds } from '../units/time.js'
import type { ProbeAils } from './mishaps.js'
import { chosen, evenNoise, normalNoise, type NoiseSource } from './noise.js'
import type { Scene } from './scene.js'

/** What one cheap probe is like. Figures in the unit that it reports. */
export interface ProbeSpec {
  readonly signal: string
  readonly topic: string
  readonly form: ProbeForm
  /** Radio node that it speaks through. */
  readonly gateway: string
  readonly every: Milliseconds
  /** Speaks at once, besides, when the value changes. */
  readonly onChange: boolean
  readonly retain: boolean
  /** s until 63 % of a change is seen (first order) */
  readonly lag: number
  /** Standard deviation of its trembling. */
  readonly noise: number
  readonly decimals: number
  /** How far it wanders in a day, in the same direction all the time; 0 for none. */
  readonly driftPerDay: number
  /** Share of messages that get lost. */
  readonly dropouts: number
  /** By how much its clock is ahead. */
  readonly clockAhead: Milliseconds
  /** Nothing below is ever shown. */
  readonly lowest: number
  readonly senses: (scene: Scene) => number
}

/** JSON with value and time, a bare number, or SenML (RFC 8428) under that name and unit. */
export type ProbeForm =
  | { readonly kind: 'json' | 'bare' }
  | { readonly kind: 'senml'; readonly name: string; readonly unit: string }

/** What a probe keeps between two messages. */
export interface ProbeMemory {
  /** What it feels by now; null before the first time. */
  readonly felt: number | null
  readonly feltAt: EpochMs
  /** What it showed last. */
  readonly shown: number | null
  /** Running number of the next message, lost ones included. */
  readonly turn: number
}

export const newProbeMemory: ProbeMemory = { felt: null, feltAt: epochMs(0), shown: null, turn: 0 }

export interface ProbeMessage {
  readonly topic: string
  readonly payload: string
}

/**
 * When a probe speaks for the n-th time: at its interval from `start` on, somewhere within the first one, and trembling by
 * a fiftieth of it, never out of order.
 */
export function turnAt(spec: ProbeSpec, source: NoiseSource, start: EpochMs, turn: number): EpochMs {
  const phase = evenNoise(source, 0) * spec.every
  const tremble = evenNoise(source, 4 * turn + 1) * 0.02 * spec.every
  return epochMs(Math.floor(start + phase + turn * spec.every + tremble))
}

/**
 * Lets a probe feel what is there at `scene.at` and say it. The message is null when the probe is silent or the message is
 * lost on the way. The same source and turn give the same bytes.
 */
export function speak(
  spec: ProbeSpec,
  memory: ProbeMemory,
  scene: Scene,
  { source, ails }: { source: NoiseSource; ails: ProbeAils },
): [ProbeMemory, ProbeMessage | null] {
  const { turn } = memory
  const felt = feel(spec, memory, scene, ails)
  const value =
    ails.flat && memory.shown !== null ? memory.shown : show(spec, felt, scene, { source, ails, turn })
  const next: ProbeMemory = { felt, feltAt: scene.at, shown: value, turn: turn + 1 }
  const unheard = (ails.silent && !ails.kept) || evenNoise(source, 4 * turn + 3) < spec.dropouts
  if (unheard) return [next, null]
  const measuredAt = after(scene.at, (spec.clockAhead + ails.clockAhead) as Milliseconds)
  const text = ails.garbage ? garbage(spec, evenNoise(source, 4 * turn + 2)) : value.toFixed(spec.decimals)
  return [next, { topic: spec.topic, payload: payloadOf(spec.form, text, measuredAt) }]
}

/** Whether there is something new to say: another whole value than the probe showed last. */
export const hasNews = (spec: ProbeSpec, memory: ProbeMemory, scene: Scene): boolean =>
  memory.shown !== null && Math.round(spec.senses(scene)) !== Math.round(memory.shown)

/** A fouled membrane answers three times as slowly (common practice). */
function feel(spec: ProbeSpec, memory: ProbeMemory, scene: Scene, ails: ProbeAils): number {
  const there = spec.senses(scene)
  if (memory.felt === null || spec.lag === 0) return there
  const lag = ails.fouled > 0 ? 3 * spec.lag : spec.lag
  const share = 1 - Math.exp(-(scene.at - memory.feltAt) / (1000 * lag))
  return memory.felt + share * (there - memory.felt)
}

/** Numbers of noise that no other use of the stream reaches within a century. */
const apartFromTurns = 1_000_000_000

/** Every eighth message or so of a spiking probe jumps, up or down. */
function show(
  spec: ProbeSpec,
  felt: number,
  scene: Scene,
  { source, ails, turn }: { source: NoiseSource; ails: ProbeAils; turn: number },
): number {
  const drift = (spec.driftPerDay * (scene.at - scene.startedAt)) / 86_400_000
  const tremble = spec.noise * normalNoise(source, apartFromTurns + turn)
  const jump =
    ails.spike === 0 ? 0 : chosen([0, 0, 0, 0, 0, 0, 1, -1], evenNoise(source, 4 * turn + 2)) * ails.spike
  return Math.max(spec.lowest, felt * (1 - ails.fouled) + drift + tremble + jump)
}

/** What an input with nothing on it may say: no number, nothing, or the word of a one-wire bus for nobody there (-127). */
const garbage = (spec: ProbeSpec, even: number): string =>
  spec.form.kind === 'bare' ? chosen(['nan', '-127'], even) : chosen(['null', '"nan"', '-127'], even)

function payloadOf(form: ProbeForm, value: string, at: EpochMs): string {
  if (form.kind === 'senml') return `[{"n":"${form.name}","u":"${form.unit}","t":${at / 1000},"v":${value}}]`
  return form.kind === 'bare' ? value : `{"v":${value},"ts":"${rfc3339(at)}"}`
}
