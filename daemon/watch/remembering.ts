import { atRest, type AlarmMemory } from '../alarms/memory.js'
import type { AlarmId, AlarmRule } from '../alarms/rule.js'
import { quiet } from '../callout/chattering.js'
import type { Run } from '../callout/ladder.js'
import { unheard, type SignalMemory } from '../quality/signal-memory.js'
import type { SignalName } from '../readings/signal.js'
import type { EpochMs } from '../units/time.js'
import { appoint, type DueKind } from './dues.js'
import { rankOf } from './wiring.js'
import { noCalling, type Attempt, type Calling, type House, type World } from './world.js'

/** Reading and writing the world's memories, so that every change is noted for the commit. */

export const alarmOf = (world: World, id: AlarmId): AlarmMemory => world.alarms.get(id) ?? atRest
export const ruleOf = (world: World, id: AlarmId): AlarmRule | undefined => world.wiring.rules.get(id)
export const callingOf = (world: World, id: AlarmId): Calling =>
  world.callings.get(id) ?? { ...noCalling, chatter: quiet }
export const signalOf = (world: World, signal: SignalName): SignalMemory =>
  world.signals.get(signal) ?? unheard(world.now)

export function keepAlarm(world: World, id: AlarmId, memory: AlarmMemory): void {
  world.alarms.set(id, memory)
  world.changed.add(`alarm ${id}`)
}

export function keepCalling(world: World, id: AlarmId, change: Partial<Calling>): Calling {
  const calling = { ...callingOf(world, id), ...change }
  world.callings.set(id, calling)
  world.changed.add(`calling ${id}`)
  return calling
}

export function keepRun(world: World, run: Run): void {
  world.runs.set(run.alarm, run)
  world.changed.add(`run ${run.alarm}`)
}

export function dropRun(world: World, id: AlarmId): void {
  if (world.runs.delete(id)) world.changed.add(`run ${id}`)
}

export function keepAttempt(world: World, attempt: Attempt): void {
  world.attempts.set(attempt.id, attempt)
  world.changed.add(`attempt ${attempt.id}`)
}

export function dropAttempt(world: World, id: number): void {
  if (world.attempts.delete(id)) world.changed.add(`attempt ${id}`)
}

export function keepHouse(world: World, change: Partial<House>): void {
  world.house = { ...world.house, ...change }
  world.changed.add('house house')
}

/** Makes an appointment of this kind for an alarm, if there is a time for it. */
export function appointFor(world: World, kind: DueKind, key: string, at: EpochMs | null): void {
  if (at === null) return
  const rank =
    kind === 'delay' || kind === 'run' || kind === 'release' ? rankOf(world.wiring, key as AlarmId) : 0
  appoint(world.dues, kind, key, { at, rank })
}
