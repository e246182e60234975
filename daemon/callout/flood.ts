import type { AlarmId } from '../alarms/rule.js'
import { after, between, type EpochMs, type Milliseconds } from '../units/time.js'

export interface FloodRule {
  readonly startAbove: number
  readonly endBelow: number
  readonly window: Milliseconds
  readonly digestEvery: Milliseconds
}

/** The farm's flood state (AL-20). Plain data. */
export interface FloodMemory {
  /** Annunciated activations of the trailing window, oldest first. */
  readonly recent: readonly EpochMs[]
  readonly since: EpochMs | null
  /** Every activation of the window that tipped it and since (AL-52). */
  readonly count: number
  /** What the next digest tells. */
  readonly held: readonly AlarmId[]
  /** What its digests have told so far: the closing one lists them all (AL-20). */
  readonly told: readonly AlarmId[]
  readonly digestAt: EpochMs | null
}

export const noFlood: FloodMemory = { recent: [], since: null, count: 0, held: [], told: [], digestAt: null }

/** Counts an annunciated activation; `began` when this one tips it. */
export function countAnnunciation(
  rule: FloodRule,
  memory: FloodMemory,
  now: EpochMs,
): { readonly memory: FloodMemory; readonly began: boolean } {
  const recent = [...memory.recent.filter((at) => between(at, now) < rule.window), now]
  if (memory.since !== null) return { memory: { ...memory, recent, count: memory.count + 1 }, began: false }
  if (recent.length <= rule.startAbove) return { memory: { ...memory, recent }, began: false }
  return {
    memory: { ...memory, recent, since: now, count: recent.length, digestAt: after(now, rule.digestEvery) },
    began: true,
  }
}

/** The first moment at which fewer than the end number lie in the trailing window, if nothing more comes. */
export function floodOverAt(rule: FloodRule, memory: FloodMemory): EpochMs | null {
  if (memory.since === null) return null
  const decisive = memory.recent.at(-rule.endBelow)
  return decisive === undefined ? memory.since : after(decisive, rule.window)
}
