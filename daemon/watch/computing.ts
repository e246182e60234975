import { recompute, type Derived } from '../derive/recompute.js'
import { signalPlanFor } from '../farm/on-demand.js'
import { recentPoints, type SignalMemory } from '../quality/signal-memory.js'
import type { Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { minutes, type EpochMs } from '../units/time.js'
import { judgeComputed } from './arrivals.js'
import { signalOf } from './remembering.js'
import type { World } from './world.js'

/** Computed values are kept once a minute, and whenever their quality changes: they can be computed again at will. */
const keepEvery = minutes(1)

/** A signal changed: every value computed from it is computed anew, and judged like a reading. */
export function computeFrom(world: World, signal: SignalName, at: EpochMs): void {
  const derived = recompute(world.wiring.graph, signal, at, (of) => {
    const memory = world.signals.get(of)
    if (memory === undefined || memory.usable === null) return null
    return {
      value: memory.usable.value,
      quality: memory.stale ? 'bad' : memory.usable.quality,
      at: memory.usable.at,
    }
  })
  for (const one of derived) take(world, one, at)
}

function take(world: World, derived: Derived, at: EpochMs): void {
  const plan = signalPlanFor(world.plan, derived.signal)
  if ('unknown' in plan) return
  const before = signalOf(world, derived.signal)
  const after = remembered(before, derived, at)
  const keep =
    before.newestQuality !== derived.quality || before.keptAt == null || at - before.keptAt >= keepEvery
  world.signals.set(derived.signal, keep ? { ...after, keptAt: at } : after)
  const reading: Reading = {
    signal: derived.signal,
    at,
    received: world.now,
    value: derived.value,
    quality: derived.quality,
    reasons: after.newestReasons,
    source: 'computed',
    historical: false,
  }
  if (keep) world.effects.push({ event: 'reading', reading })
  if (world.tellValues?.(derived.signal) === true) {
    world.effects.push({
      at: world.now,
      event: 'value',
      signal: derived.signal,
      value: derived.value,
      unit: plan.quantity.unit,
      quality: derived.quality,
      ...(derived.reasons.length === 0 ? {} : { why: derived.reasons.join('; ') }),
    })
  }
  judgeComputed(world, derived.signal, reading)
}

function remembered(before: SignalMemory, derived: Derived, at: EpochMs): SignalMemory {
  const { value, quality, reasons } = derived
  const known = {
    ...before,
    heard: true,
    newestAt: at,
    newestQuality: quality,
    newestReasons: reasons,
  }
  if (value === null || quality === 'bad') return { ...known, stale: true }
  const recent =
    typeof value === 'number' ? [...before.recent.slice(1 - recentPoints), { at, value }] : before.recent
  return { ...known, stale: false, usable: { at, value, quality }, recent }
}
