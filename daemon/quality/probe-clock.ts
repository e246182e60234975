import type { SignalPlan } from '../farm/plan.js'
import { between, minutes, seconds, type EpochMs, type Milliseconds } from '../units/time.js'
import type { ProbeClock } from './signal-memory.js'

/** A clock that leads for this long is a fault of its own (AL-45). */
export const lastingLead = minutes(10)
/** Smaller leads are the jitter of clocks that are right (common practice). */
const jitter = seconds(5)
/** So many readings in a row, each as long after the one before by its own clock as by ours, show a live stream. */
const paceNeeded = 2

/** When a reading counts as measured, and what its own time says about the probe's clock. */
export interface Timing {
  /** The time by which it is judged. */
  readonly at: EpochMs
  /** Delivered so late that it tells the past only (AL-17). */
  readonly historical: boolean
  /** Further ahead of our clock than the future limit. */
  readonly farAhead: boolean
  /** `at` is the time of receipt, because the probe gave none or one that cannot be used. */
  readonly byReceipt: boolean
  readonly clock: ProbeClock
}

/**
 * Places a reading in time (AL-17, AL-45, contract 11). `own` is the probe's time, null when it sends none.
 * Lateness is judged against the probe's usual lag, so that a slow clock does not silence a live probe; a stream that
 * lags or leads beyond the limits is judged by the time of receipt, and its clock is at fault.
 */
export function timingOf(
  plan: SignalPlan,
  clock: ProbeClock,
  own: EpochMs | null,
  received: EpochMs,
): Timing {
  if (own === null)
    return {
      at: received,
      historical: false,
      farAhead: false,
      byReceipt: true,
      clock: { ...clock, lastReceived: received, lastOwn: null },
    }
  const lag = between(own, received)
  if (lag < 0) return ahead(plan, clock, own, received)
  const next = learnLag(plan, clock, own, received)
  const slow = next.usualLag > plan.lateLimit
  const historical = lag - next.usualLag > plan.lateLimit
  return {
    at: slow && !historical ? received : own,
    historical,
    farAhead: false,
    byReceipt: false,
    clock: { ...next, aheadSince: null, fault: slow },
  }
}

function ahead(plan: SignalPlan, clock: ProbeClock, own: EpochMs, received: EpochMs): Timing {
  const since = between(received, own) > jitter ? (clock.aheadSince ?? received) : null
  return {
    at: received,
    historical: false,
    farAhead: between(received, own) > plan.futureLimit,
    byReceipt: true,
    clock: {
      ...clock,
      lastReceived: received,
      lastOwn: own,
      usualLag: 0 as Milliseconds,
      inPace: 0,
      aheadSince: since,
      fault: since !== null && (clock.fault || between(since, received) >= lastingLead),
    },
  }
}

/** A burst of stored readings comes faster than it was measured; a live stream keeps pace. Only the latter teaches. */
function learnLag(plan: SignalPlan, clock: ProbeClock, own: EpochMs, received: EpochMs): ProbeClock {
  const seen = { ...clock, lastReceived: received, lastOwn: own }
  const lag = between(own, received)
  // Within the limit nothing is learnt but that the clock is right: the usual lag is then none.
  if (lag <= plan.lateLimit) return { ...seen, usualLag: 0 as Milliseconds, inPace: 0 }
  if (clock.lastReceived === null || clock.lastOwn === null) return { ...seen, inPace: 0 }
  const byUs = between(clock.lastReceived, received)
  const byProbe = between(clock.lastOwn, own)
  const keepsPace = byUs > 0 && byProbe > 0 && byProbe <= 2 * byUs && byUs <= 2 * byProbe
  if (!keepsPace) return { ...seen, inPace: 0 }
  const inPace = clock.inPace + 1
  return inPace >= paceNeeded ? { ...seen, inPace, usualLag: lag } : { ...seen, inPace }
}
