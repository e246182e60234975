import { isActive } from '../alarms/memory.js'
import type { FarmPlan } from '../farm/plan.js'
import type { StateDoc } from '../ports/recorder.js'
import type { Reading } from '../readings/reading.js'
import { between, type EpochMs } from '../units/time.js'
import { changeAlarm } from './alarm-changes.js'
import { judgeAgain } from './arrivals.js'
import { allDocs, newWorld, recall } from './docs.js'
import { reconsiderHolds } from './holds.js'
import { peopleFor } from './running.js'
import { send } from './sending.js'
import type { World } from './world.js'

/** What a start begins from. */
export interface Kept {
  readonly docs: readonly StateDoc[]
  readonly newest: readonly Reading[]
  /** When the watch last did anything; null on a first start. */
  readonly until: EpochMs | null
}

/**
 * Goes on from what was kept (AL-27, AL-44): occurrences, acknowledgements, shelves and ladders by their due times,
 * pending on-delays only when a usable reading confirms them, signals silent from now. The interruption is told when
 * it lasted. Messages that were on their way are the shell's to send again.
 */
export function resume(plan: FarmPlan, kept: Kept, now: EpochMs): World {
  const world = newWorld(plan, now)
  recall(world, kept.docs, kept.newest)
  for (const id of [...world.alarms.keys()]) changeAlarm(world, id, { kind: 'restart' })
  const { until } = kept
  if (until === null || between(until, now) <= plan.rules.system.interruptionToldAfter) return world
  const alarms = [...world.alarms].filter(([, memory]) => isActive(memory)).map(([id]) => id)
  for (const person of peopleFor(world, { kind: 'on-duty' })) {
    send(world, person, { kind: 'interruption', from: until, to: now, alarms })
  }
  return world
}

/** A message whose fate is unknown after a stop is to be made again under the same id (at least once). */
export function unfinished(world: World): readonly number[] {
  return [...world.attempts.values()]
    .filter((attempt) => attempt.retryAt === null)
    .map((attempt) => attempt.id)
}

/**
 * Another plan takes effect at once on the last usable values (AL-28): conditions that become true begin now, changed
 * delays count from their start. Memories of alarms that are gone go with them.
 */
export function reconfigure(world: World, plan: FarmPlan, now: EpochMs): World {
  const next = newWorld(plan, now)
  for (const [signal, memory] of world.signals) next.signals.set(signal, memory)
  recall(next, allDocs(world), [])
  next.tellValues = world.tellValues
  for (const id of world.alarms.keys()) if (!next.wiring.rules.has(id)) next.changed.add(`alarm ${id}`)
  for (const id of next.wiring.rules.keys()) {
    judgeAgain(next, id)
    reconsiderHolds(next, id)
    changeAlarm(next, id, { kind: 'due' })
  }
  return next
}
