import { after, between, hours, type EpochMs, type Milliseconds } from '../units/time.js'
import type { BlowerId, MachineId, TankId, WaterId } from './larkfield.js'
import type { MachineOrders } from './machines.js'
import type { SkyOrders } from './weather.js'

interface Span {
  readonly at: EpochMs
  /** Over at `at` plus this; at that moment it is no longer so. */
  readonly for: Milliseconds
}

/** What befalls the farm itself. */
export type FarmMishap = Span &
  (
    | { readonly kind: 'mains-outage' | 'pump-stop' | 'heater-failure' }
    | { readonly kind: 'blower-stop'; readonly blower: BlowerId }
    /** `size` 0 to 1: how far the line is open. */
    | { readonly kind: 'air-line-open'; readonly blower: BlowerId; readonly size: number }
    /** `size` 0 to 1: how much of the flow is lost. */
    | { readonly kind: 'pump-blocked'; readonly size: number }
    /** `size`: K colder than it would have been, under a clear sky; comes and goes within two hours. */
    | { readonly kind: 'cold-night'; readonly size: number }
    /** `size`: usual days' feed thrown in evenly while it lasts, besides the meals. */
    | { readonly kind: 'overfeeding'; readonly tank: TankId; readonly size: number }
    /** `size`: L/min onto the floor. */
    | { readonly kind: 'leak'; readonly basin: WaterId; readonly size: number }
  )

/** What befalls a probe or what carries its word; the water knows nothing of it. */
export type ProbeMishap = Span &
  (
    | { readonly kind: 'probe-unplugged'; readonly signal: string; readonly shows: 'silence' | 'garbage' }
    | { readonly kind: 'probe-flat'; readonly signal: string }
    /** `size`: height of the spikes, in the probe's unit. */
    | { readonly kind: 'probe-spiking'; readonly signal: string; readonly size: number }
    /** `size`: share of the value lost per hour, at most four fifths in the end; it also answers more slowly. */
    | { readonly kind: 'probe-fouled'; readonly signal: string; readonly size: number }
    /** `size`: by how much its clock is ahead (ms; negative: behind). */
    | { readonly kind: 'probe-clock-wrong'; readonly signal: string; readonly size: Milliseconds }
    /** `keeps`: whether it hands over afterwards what it could not send. */
    | { readonly kind: 'gateway-lost'; readonly gateway: string; readonly keeps: boolean }
  )

export type Mishap = FarmMishap | ProbeMishap
export type MishapKind = Mishap['kind']

/** Mishaps as a list, or as a course that tells which are under way at a time (for farms that run for ever). */
export type MishapCourse = readonly Mishap[] | ((at: EpochMs) => readonly Mishap[])

const isUnderWay = (mishap: Mishap, at: EpochMs): boolean =>
  at >= mishap.at && at < after(mishap.at, mishap.for)

export function mishapsUnderWay(course: MishapCourse, at: EpochMs): readonly Mishap[] {
  const candidates = typeof course === 'function' ? course(at) : course
  return candidates.filter((mishap) => isUnderWay(mishap, at))
}

/** What the mishaps of a moment do to the farm. */
export interface FarmOrders {
  readonly machines: MachineOrders
  readonly sky: SkyOrders
  /** Usual days' feed per day, on top of the meals. */
  readonly extraFeed: Readonly<Record<TankId, number>>
  readonly leaks: Readonly<Partial<Record<WaterId, number>>>
}

export const quietOrders: FarmOrders = {
  machines: { mains: true, stopped: new Set(), openLine: { 'blower-a': 0, 'blower-b': 0 }, blockedPump: 0 },
  sky: { shift: 0, clearing: 0 },
  extraFeed: { 'tank-1': 0, 'tank-2': 0, 'tank-3': 0 },
  leaks: {},
}

/** The orders of all that is under way at `at`; several of one kind add up, or the worst of them counts. */
export function ordersOf(underWay: readonly Mishap[], at: EpochMs): FarmOrders {
  if (underWay.length === 0) return quietOrders
  const stopped = new Set<MachineId>()
  const openLine = { 'blower-a': 0, 'blower-b': 0 }
  const extraFeed = { 'tank-1': 0, 'tank-2': 0, 'tank-3': 0 }
  const leaks: Partial<Record<WaterId, number>> = {}
  let [mains, blockedPump, shift, clearing] = [true, 0, 0, 0]
  for (const mishap of underWay) {
    if (mishap.kind === 'mains-outage') mains = false
    else if (mishap.kind === 'pump-stop') stopped.add('main-pump')
    else if (mishap.kind === 'heater-failure') stopped.add('heater')
    else if (mishap.kind === 'blower-stop') stopped.add(mishap.blower)
    else if (mishap.kind === 'air-line-open')
      openLine[mishap.blower] = Math.max(openLine[mishap.blower], mishap.size)
    else if (mishap.kind === 'pump-blocked') blockedPump = Math.max(blockedPump, mishap.size)
    else if (mishap.kind === 'overfeeding') extraFeed[mishap.tank] += mishap.size / (mishap.for / 86_400_000)
    else if (mishap.kind === 'leak') leaks[mishap.basin] = (leaks[mishap.basin] ?? 0) + mishap.size
    else if (mishap.kind === 'cold-night') {
      const share = comingAndGoing(mishap, at)
      shift -= mishap.size * share
      clearing = Math.max(clearing, share)
    }
  }
  return { machines: { mains, stopped, openLine, blockedPump }, sky: { shift, clearing }, extraFeed, leaks }
}

function comingAndGoing(span: Span, at: EpochMs): number {
  const ramp = Math.min(hours(2), span.for / 2)
  return Math.min(1, between(span.at, at) / ramp, between(at, after(span.at, span.for)) / ramp)
}

/** What ails one probe, or the gateway that it speaks through, at a moment. */
export interface ProbeAils {
  readonly silent: boolean
  readonly kept: boolean
  readonly garbage: boolean
  readonly flat: boolean
  readonly spike: number
  /** Share of the value that is lost. */
  readonly fouled: number
  readonly clockAhead: number
}

export const wellProbe: ProbeAils = {
  silent: false,
  kept: false,
  garbage: false,
  flat: false,
  spike: 0,
  fouled: 0,
  clockAhead: 0,
}

export function ailsOf(
  probe: { readonly signal: string; readonly gateway: string },
  underWay: readonly Mishap[],
  at: EpochMs,
): ProbeAils {
  let ails = wellProbe
  for (const mishap of underWay) {
    if (mishap.kind === 'gateway-lost') {
      if (mishap.gateway === probe.gateway) ails = { ...ails, silent: true, kept: mishap.keeps }
    } else if (!('signal' in mishap) || mishap.signal !== probe.signal) continue
    else if (mishap.kind === 'probe-flat') ails = { ...ails, flat: true }
    else if (mishap.kind === 'probe-spiking') ails = { ...ails, spike: mishap.size }
    else if (mishap.kind === 'probe-clock-wrong') ails = { ...ails, clockAhead: mishap.size }
    else if (mishap.kind === 'probe-fouled') {
      const lost = Math.min(0.8, (mishap.size * between(mishap.at, at)) / hours(1))
      ails = { ...ails, fouled: lost }
    } else if (mishap.shows === 'silence') ails = { ...ails, silent: true, kept: false }
    else ails = { ...ails, garbage: true }
  }
  return ails
}
