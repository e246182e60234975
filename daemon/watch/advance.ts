import { unreachable } from '../errors.js'
import type { EpochMs } from '../units/time.js'
import { act } from './acts.js'
import { arrive } from './arrivals.js'
import { stepClock } from './clock-step.js'
import { nextDue, takeNext } from './dues.js'
import type { Effect, WatchEvent } from './event.js'
import { markFirstOut } from './first-out.js'
import { fallsDue } from './falls-due.js'
import { tellTrouble } from './own-trouble.js'
import { delivered } from './sending.js'
import type { World } from './world.js'

/**
 * The watch's one step: what is due before `now`, then what people did, then readings in their order, then what is due
 * at `now` (AL-5, AL-41). Deterministic; touches nothing but the world; gives what is to be recorded and done.
 */
export function advance(world: World, events: readonly WatchEvent[], now: EpochMs): readonly Effect[] {
  runUntil(world, (now - 1) as EpochMs)
  world.now = now
  for (const event of events) if (event.kind !== 'arrival') take(world, event)
  for (const event of events) if (event.kind === 'arrival') take(world, event)
  runUntil(world, now)
  markFirstOut(world)
  const { effects } = world
  world.effects = []
  return effects
}

/** When the watch must be called again even if nothing arrives; null when nothing is due. */
export const wakeAt = (world: World): EpochMs | null => nextDue(world.dues)

function take(world: World, event: WatchEvent): void {
  switch (event.kind) {
    case 'arrival':
      return arrive(world, event.arrival)
    case 'act':
      return act(world, event.act)
    case 'delivery':
      return delivered(world, event.attempt, event.outcome, event.detail)
    case 'own-trouble':
      return tellTrouble(world, event.of, event.broken ? event.why : null)
    case 'clock-step':
      return stepClock(world, event.by)
    default:
      return unreachable(event)
  }
}

/** Lets everything due until then happen, each at its own moment. */
function runUntil(world: World, until: EpochMs): void {
  for (let next = takeNext(world.dues, until); next !== undefined; next = takeNext(world.dues, until)) {
    // A moment that lies behind us (an overdue step after a stop) happens now.
    if (next.at > world.now) {
      markFirstOut(world)
      world.now = next.at
    }
    fallsDue(world, next.kind, next.key)
  }
}
