import type { SignalPlan } from '../farm/plan.js'
import { worse, type Arrival, type Quality, type Reading } from '../readings/reading.js'
import { after, milliseconds, type EpochMs } from '../units/time.js'
import { timingOf } from './probe-clock.js'
import { recentPoints, type Point, type SignalMemory } from './signal-memory.js'
import { runTests } from './tests.js'

/** A reading with its quality, and whether it may move anything now. */
export interface Judged {
  readonly memory: SignalMemory
  /** null: the same measurement again, dropped (AL-17). */
  readonly reading: Reading | null
  /** Good or uncertain, newest, not historical: may be evaluated. */
  readonly usable: boolean
}

/**
 * Judges one arrival (AL-16 to AL-18): its time, then syntax, gross range and the tests asked for. Entered values are
 * judged when entered, however old (contract 11). Never throws: whatever a probe sends is a reading of some quality.
 */
export function judgeArrival(
  plan: SignalPlan,
  memory: SignalMemory,
  arrival: Arrival,
  received: EpochMs,
): Judged {
  const entered = arrival.source === 'book'
  // A retained message without a time may be of any age: known last, never fresh (contract 4).
  if (arrival.retained && arrival.measuredAt === null) return lastKnown(memory, arrival, received)
  const own = arrival.measuredAt
  if (own !== null && own === memory.newestOwn) return { memory, reading: null, usable: false }
  // What a person enters is judged when entered, however old its time (contract 11); their watch teaches us nothing.
  const timing = entered
    ? {
        at: own ?? received,
        historical: false,
        farAhead: false,
        byReceipt: own === null,
        clock: memory.clock,
      }
    : timingOf(plan, memory.clock, own, received)
  const { at } = timing
  // A slow clock is judged by receipt and kept by its own times: they tell a repeated delivery from a new reading.
  const keptAt = timing.byReceipt ? ownMoment(memory, received) : (own ?? at)
  const known = {
    ...memory,
    heard: true,
    clock: timing.clock,
    ...(timing.byReceipt ? { receiptAt: keptAt } : {}),
  }
  const historical = timing.historical || (!entered && memory.newestAt !== null && at < memory.newestAt)
  const { quality, reasons } = qualityOf(plan, memory, arrival, { at, farAhead: timing.farAhead })
  const reading: Reading = {
    signal: arrival.signal,
    at: keptAt,
    received,
    value: arrival.value,
    quality,
    reasons,
    source: arrival.source,
    historical,
  }
  if (historical) return { memory: known, reading, usable: false }
  const newestAt = memory.newestAt === null ? at : laterOf(memory.newestAt, at)
  const judged = { ...known, newestAt, newestOwn: own, newestQuality: quality, newestReasons: reasons }
  if (quality === 'bad' || arrival.value === null) return { memory: judged, reading, usable: false }
  const usableAt = entered ? received : at
  return {
    memory: {
      ...judged,
      stale: false,
      usable: { at: usableAt, value: arrival.value, quality },
      recent:
        typeof arrival.value === 'number'
          ? pushed(memory.recent, { at, value: arrival.value })
          : memory.recent,
    },
    reading,
    usable: true,
  }
}

/** When this signal goes stale if nothing usable comes; null when its silence means nothing. */
export const staleDue = (plan: SignalPlan, memory: SignalMemory): EpochMs | null =>
  plan.staleTime === null
    ? null
    : after(laterOf(memory.usable?.at ?? memory.watchedSince, memory.watchedSince), plan.staleTime)

/**
 * Readings without a time of their own may come in a burst, many in one millisecond, when a broker hands over what it
 * kept. Each is kept at a moment of its own, in order, since one signal has one reading at a time.
 */
const ownMoment = (memory: SignalMemory, received: EpochMs): EpochMs =>
  memory.receiptAt !== null && memory.receiptAt >= received
    ? after(memory.receiptAt, milliseconds(1))
    : received

const laterOf = (a: EpochMs, b: EpochMs): EpochMs => (a > b ? a : b)

function lastKnown(memory: SignalMemory, arrival: Arrival, received: EpochMs): Judged {
  const reading: Reading = {
    signal: arrival.signal,
    at: received,
    received,
    value: arrival.value,
    quality: worse(arrival.claimed, 'uncertain'),
    reasons: ['retained by the broker without a time: of unknown age'],
    source: arrival.source,
    historical: true,
  }
  return { memory: { ...memory, heard: true }, reading, usable: false }
}

function qualityOf(
  plan: SignalPlan,
  memory: SignalMemory,
  arrival: Arrival,
  when: { readonly at: EpochMs; readonly farAhead: boolean },
): { quality: Quality; reasons: readonly string[] } {
  const { value } = arrival
  if (value === null)
    return { quality: 'bad', reasons: [arrival.why ?? 'the probe says that it has no value'] }
  if (arrival.claimed === 'bad') return { quality: 'bad', reasons: ['the probe itself says bad'] }
  const gross = typeof value === 'number' ? grossRange(plan, value) : null
  if (gross !== null) return { quality: 'bad', reasons: [gross] }
  let quality: Quality = arrival.claimed
  const reasons: string[] = arrival.claimed === 'uncertain' ? ['the probe itself says uncertain'] : []
  if (when.farAhead) {
    quality = worse(quality, 'uncertain')
    reasons.push('its clock is ahead of ours')
  }
  if (plan.tests !== null && typeof value === 'number') {
    for (const finding of runTests(plan.tests, value, when.at, memory.recent)) {
      if (finding.flag !== 3 && finding.flag !== 4) continue
      quality = worse(quality, finding.flag === 4 ? 'bad' : 'uncertain')
      reasons.push(`${finding.test}: ${finding.says}`)
    }
  }
  return { quality, reasons }
}

/** QARTOD test 4, gross range: what no probe of this kind can truly report, or the keeper's own `plausible`. */
function grossRange(plan: SignalPlan, value: number): string | null {
  if (!Number.isFinite(value)) return 'not a number'
  const range = plan.plausible ?? plan.quantity.possible
  if (range === null) return null
  const [low, high] = range
  if (value >= low && value <= high) return null
  return `outside what is plausible, ${low} to ${high} ${plan.quantity.unit}`.trimEnd()
}

function pushed(recent: readonly Point[], point: Point): readonly Point[] {
  return recent.length < recentPoints ? [...recent, point] : [...recent.slice(1), point]
}
