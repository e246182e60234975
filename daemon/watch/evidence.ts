import type { Evidence } from '../alarms/finding.js'
import type { Condition } from '../alarms/rule.js'
import type { SignalMemory } from '../quality/signal-memory.js'
import type { World } from './world.js'

type OfASignal = Exclude<Condition, { kind: 'unusable' | 'verdict' | 'own-trouble' }>

/** What an alarm's condition looks at now: the last usable values; null when there are none or they are stale. */
export function evidenceFor(world: World, condition: OfASignal): Evidence | null {
  if (condition.kind === 'discrepancy') {
    const commanded = fresh(world.signals.get(condition.commanded))
    const running = fresh(world.signals.get(condition.running))
    return commanded === null || running === null
      ? null
      : { value: running.value, ratePerMinute: null, other: commanded.value }
  }
  const memory = world.signals.get(condition.signal)
  const usable = fresh(memory)
  if (memory === undefined || usable === null) return null
  return {
    value: usable.value,
    ratePerMinute: condition.kind === 'rate' ? rateOf(memory, condition.over) : null,
    other: null,
  }
}

const fresh = (memory: SignalMemory | undefined): SignalMemory['usable'] =>
  memory === undefined || memory.stale ? null : memory.usable

/** Per minute: the newest point against the one before it, or against the oldest within `over`. */
function rateOf(memory: SignalMemory, over: number | null): number | null {
  const newest = memory.recent.at(-1)
  if (newest === undefined) return null
  const earlier =
    over === null
      ? memory.recent.at(-2)
      : memory.recent.find((point) => point.at < newest.at && newest.at - point.at <= over)
  if (earlier === undefined || earlier.at >= newest.at) return null
  return (newest.value - earlier.value) / ((newest.at - earlier.at) / 60_000)
}
