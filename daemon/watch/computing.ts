import type { EstimateNode } from '../derive/compile-graph.js'
import { keepEvery } from '../derive/recompute-span.js'
import { estimate, evaluate, recompute, type Newest } from '../derive/recompute.js'
import type { Computed } from '../readings/computed.js'
import { signalPlanFor } from '../farm/on-demand.js'
import { recentPoints, type SignalMemory } from '../quality/signal-memory.js'
import type { Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { after, milliseconds, type EpochMs } from '../units/time.js'
import { judgeComputed } from './arrivals.js'
import { appointFor, signalOf } from './remembering.js'
import { supplyOf } from './supplies.js'
import type { World } from './world.js'

/** A signal changed: every value computed from it is computed anew, and judged like a reading. */
export function computeFrom(world: World, signal: SignalName, at: EpochMs): void {
  const { graph } = world.wiring
  const read = readFrom(world)
  for (const one of recompute(graph, signal, at, read)) take(world, one, at)
  for (const node of graph.estimatesOn.get(signal) ?? []) runEstimate(world, node, at, true)
}

const readFrom =
  (world: World) =>
  (of: SignalName): Newest | null => {
    const memory = world.signals.get(of)
    if (memory === undefined || memory.usable === null) return null
    return {
      value: memory.usable.value,
      quality: memory.stale ? 'bad' : memory.usable.quality,
      at: memory.usable.at,
    }
  }

/** What serves these places has changed: what is estimated there follows at once. */
export function estimateAt(world: World, places: ReadonlySet<string>): void {
  for (const node of world.wiring.graph.estimates.values())
    if (places.has(node.place)) runEstimate(world, node, world.now, false)
}

function runEstimate(world: World, node: EstimateNode, at: EpochMs, heard: boolean): void {
  const known = world.estimates.get(node.key)
  if (known === undefined && !node.expected && !heard) return
  const memory = known ?? node.estimator.begin(at, null)
  const seen = { at, supply: supplyOf(world, node.place), heard }
  const done = estimate(node, memory, seen, readFrom(world))
  world.estimates.set(node.key, done.memory)
  if (done.learnt) world.changed.add(`estimate ${node.key}`)
  for (const one of done.derived) take(world, one, at)
}

/** An input may have become too old for what was made of it. */
export function hasAged(world: World, signal: SignalName): void {
  const node = world.wiring.graph.nodes.get(signal)
  if (node !== undefined) take(world, evaluate(node, world.now, readFrom(world)), world.now)
}

export const agesAt = (world: World, key: string): EpochMs | null =>
  world.signals.get(key as SignalName)?.agesAt ?? null

/** How a computed signal stands now, and from what it was made; null for what is not computed. */
export function howComputed(world: World, signal: SignalName, now: EpochMs): Computed | null {
  const node = world.wiring.graph.nodes.get(signal)
  if (node !== undefined) return evaluate(node, now, readFrom(world))
  for (const one of world.wiring.graph.estimates.values()) {
    if (!one.gives.some((given) => given.signal === signal)) continue
    const seen = { at: now, supply: supplyOf(world, one.place), heard: false }
    const memory = world.estimates.get(one.key) ?? one.estimator.begin(now, null)
    return (
      estimate(one, memory, seen, readFrom(world)).derived.find((given) => given.signal === signal) ?? null
    )
  }
  return null
}

function take(world: World, derived: Computed, at: EpochMs): void {
  const plan = signalPlanFor(world.plan, derived.signal)
  if ('unknown' in plan) return
  const before = signalOf(world, derived.signal)
  const then = remembered(before, derived, at)
  const keep =
    before.newestQuality !== derived.quality || before.keptAt == null || at - before.keptAt >= keepEvery
  world.signals.set(derived.signal, keep ? { ...then, keptAt: at } : then)
  appointFor(world, 'aging', derived.signal, then.agesAt ?? null)
  const reading: Reading = {
    signal: derived.signal,
    at,
    received: world.now,
    value: derived.value,
    quality: derived.quality,
    reasons: derived.reasons,
    source: 'computed',
    historical: false,
  }
  if (keep) world.effects.push({ event: 'reading', reading })
  if (world.tellValues?.(derived.signal) === true) tell(world, derived, plan.quantity.unit)
  judgeComputed(world, derived.signal, reading)
}

function tell(world: World, derived: Computed, unit: string): void {
  const { signal, value, quality, reasons } = derived
  world.effects.push({
    ...{ at: world.now, event: 'value', signal, value, unit, quality },
    ...(reasons.length === 0 ? {} : { why: reasons.join('; ') }),
    ...boundsOf(derived),
  })
}

/** The interval and the level counted down to, where there are any. */
export const boundsOf = ({
  low,
  high,
  limit,
}: Pick<Computed, 'low' | 'high' | 'limit'>): { low?: number; high?: number; limit?: number } => ({
  ...(low === null ? {} : { low }),
  ...(high === null ? {} : { high }),
  ...(limit === null ? {} : { limit }),
})

function remembered(before: SignalMemory, derived: Computed, at: EpochMs): SignalMemory {
  const { value, quality, reasons, low, high, limit, until } = derived
  const known = {
    ...before,
    heard: true,
    newestAt: at,
    newestQuality: quality,
    newestReasons: reasons,
    bounds: low === null && high === null && limit === null ? null : { low, high, limit },
    // It changes right after the age is reached, not at it.
    agesAt: until === null ? null : after(until, milliseconds(1)),
  }
  if (quality === 'bad') return { ...known, stale: true }
  // Nothing foreseen: an answer without a number.
  if (value === null) return { ...known, stale: false, usable: null, recent: [] }
  const recent = [...before.recent.slice(1 - recentPoints), { at, value }]
  return { ...known, stale: false, usable: { at, value, quality }, recent }
}
