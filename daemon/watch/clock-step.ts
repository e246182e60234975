import type { AlarmMemory } from '../alarms/memory.js'
import type { SignalMemory } from '../quality/signal-memory.js'
import { after, type EpochMs, type Milliseconds } from '../units/time.js'
import { appointMorning } from './digests.js'
import { appointAll } from './docs.js'
import { keepAlarm, keepAttempt, keepCalling, keepHouse, keepRun } from './remembering.js'
import type { World } from './world.js'

/**
 * The machine's clock was set by so much: no time has passed, so every moment that a wait counts from moves along.
 * Delays, ladders and shelves then last as long as they were meant to, and no probe seems silent or late.
 */
export function stepClock(world: World, by: Milliseconds): void {
  const move = <T extends EpochMs | null>(at: T): T => (at === null ? at : after(at, by)) as T
  for (const [signal, memory] of world.signals) world.signals.set(signal, movedSignal(memory, move))
  for (const [id, memory] of world.alarms) keepAlarm(world, id, movedAlarm(memory, move))
  for (const [id, calling] of world.callings) {
    keepCalling(world, id, {
      followUpAt: move(calling.followUpAt),
      returnedAt: move(calling.returnedAt),
      graceAt: move(calling.graceAt),
      mutedStepAt: move(calling.mutedStepAt),
      chatter: {
        ...calling.chatter,
        activations: calling.chatter.activations.map((at) => move(at)),
        since: move(calling.chatter.since),
        last: move(calling.chatter.last),
      },
    })
  }
  for (const run of world.runs.values())
    keepRun(world, { ...run, base: move(run.base), collectUntil: move(run.collectUntil) })
  for (const attempt of world.attempts.values())
    keepAttempt(world, { ...attempt, retryAt: move(attempt.retryAt), sentAt: move(attempt.sentAt) })
  const { flood, tests } = world.house
  keepHouse(world, {
    flood: {
      ...flood,
      recent: flood.recent.map((at) => move(at)),
      since: move(flood.since),
      digestAt: move(flood.digestAt),
    },
    tests: Object.fromEntries(
      Object.entries(tests).map(([person, test]) => [person, { ...test, sentAt: move(test.sentAt) }]),
    ),
    quietSince: move(world.house.quietSince),
  })
  world.dues.heap.length = 0
  world.dues.earliest.clear()
  appointAll(world)
  appointMorning(world)
}

type Move = <T extends EpochMs | null>(at: T) => T

function movedSignal(memory: SignalMemory, move: Move): SignalMemory {
  return {
    ...memory,
    watchedSince: move(memory.watchedSince),
    newestAt: move(memory.newestAt),
    receiptAt: move(memory.receiptAt),
    usable: memory.usable === null ? null : { ...memory.usable, at: move(memory.usable.at) },
    recent: memory.recent.map((point) => ({ ...point, at: move(point.at) })),
    clock: {
      ...memory.clock,
      lastReceived: move(memory.clock.lastReceived),
      aheadSince: move(memory.clock.aheadSince),
    },
  }
}

function movedAlarm(memory: AlarmMemory, move: Move): AlarmMemory {
  const { condition, open, shelf, outOfService, suppression } = memory
  return {
    ...memory,
    condition:
      condition.kind === 'clear'
        ? condition
        : condition.kind === 'pending'
          ? { ...condition, since: move(condition.since) }
          : { ...condition, since: move(condition.since), clearing: move(condition.clearing) },
    open: open === null ? null : { ...open, since: move(open.since), activatedAt: move(open.activatedAt) },
    shelf: shelf === null ? null : { ...shelf, until: move(shelf.until) },
    outOfService: outOfService === null ? null : { ...outOfService, until: move(outOfService.until) },
    suppression: suppression === null ? null : { ...suppression, releaseAt: move(suppression.releaseAt) },
    reAlarmAt: move(memory.reAlarmAt),
  }
}
