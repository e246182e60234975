import type { EpochMs, Milliseconds, MonotonicMs } from '../units/time.js'

/** The one clock. Only system/ (real) and tests or practice (simulated) implement it. */
export interface Clock {
  /** Wall time. Never runs backwards: a step of the machine's clock is reported by `onStep` instead. */
  now(): EpochMs
  monotonic(): MonotonicMs
  /** Calls `wake` once when `now()` has reached `at`; a later call replaces the earlier one of the same alarm clock. */
  alarmClock(wake: () => void): AlarmClock
  /** Tells when the machine's wall clock was set by more than a correction: by how much. */
  onStep(told: (by: Milliseconds) => void): void
}

export interface AlarmClock {
  setFor(at: EpochMs | null): void
  close(): void
}
