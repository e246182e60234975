import { after, between, type EpochMs, type Milliseconds } from '../units/time.js'

/** What one alarm remembers to tell whether it chatters (AL-19). */
export interface ChatterMemory {
  /** Activations within the window, oldest first. */
  readonly activations: readonly EpochMs[]
  /** Since when it chatters; null when it does not. */
  readonly since: EpochMs | null
  readonly last: EpochMs | null
  /** Activations since it began, those that tipped it included. */
  readonly count: number
}

export const quiet: ChatterMemory = { activations: [], since: null, last: null, count: 0 }

export interface ChatterRule {
  readonly activations: number
  readonly within: Milliseconds
  readonly overAfter: Milliseconds
}

/** Counts an activation. 'tipping': this one makes it chattering and is still sent; 'muted': it chattered already. */
export function countActivation(
  rule: ChatterRule | null,
  memory: ChatterMemory,
  now: EpochMs,
): { readonly memory: ChatterMemory; readonly verdict: 'no' | 'tipping' | 'muted' } {
  if (rule === null) return { memory, verdict: 'no' }
  // Exactly the window's length apart is inside it (AL-39).
  const activations = [...memory.activations.filter((at) => between(at, now) <= rule.within), now]
  if (memory.since !== null) {
    return { memory: { ...memory, activations, last: now, count: memory.count + 1 }, verdict: 'muted' }
  }
  const tips = activations.length >= rule.activations
  return {
    memory: { activations, since: tips ? now : null, last: now, count: activations.length },
    verdict: tips ? 'tipping' : 'no',
  }
}

/** When the chattering is over if nothing more comes. */
export const chatteringOverAt = (rule: ChatterRule | null, memory: ChatterMemory): EpochMs | null =>
  rule === null || memory.since === null || memory.last === null ? null : after(memory.last, rule.overAfter)
