import { milliseconds, type Milliseconds, type MonotonicMs } from '../../units/time.js'

/** How long a failed try makes the next one wait: nothing at first, then doubling up to a ceiling. Common practice. */
export interface TryPolicy {
  readonly free: number
  readonly first: Milliseconds
  readonly ceiling: Milliseconds
}

/** How many askers are remembered; beyond it the longest unheard is forgotten. */
const askersMax = 1000

export interface Tries {
  /** How long this asker must still wait; 0 when a try is free. */
  waitOf(asker: string, now: MonotonicMs): Milliseconds
  failed(asker: string, now: MonotonicMs): void
  succeeded(asker: string): void
}

/** Slows down those who guess. Kept in memory: a restart forgives. */
export function countTries(policy: TryPolicy): Tries {
  const kept = new Map<string, { failures: number; until: number }>()
  return {
    waitOf: (asker, now) => milliseconds(Math.max(0, (kept.get(asker)?.until ?? 0) - now)),
    failed(asker, now) {
      const failures = (kept.get(asker)?.failures ?? 0) + 1
      const wait =
        failures <= policy.free
          ? 0
          : Math.min(policy.first * 2 ** (failures - policy.free - 1), policy.ceiling)
      kept.delete(asker)
      kept.set(asker, { failures, until: now + wait })
      const [oldest] = kept.keys()
      if (kept.size > askersMax && oldest !== undefined) kept.delete(oldest)
    },
    succeeded: (asker) => void kept.delete(asker),
  }
}
