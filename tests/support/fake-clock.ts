import type { AlarmClock, Clock } from '../../daemon/ports/clock.js'
import { after, epochMs, type EpochMs, type Milliseconds, type MonotonicMs } from '../../daemon/units/time.js'

/**
 * A clock that stands still until it is told to move. `advance` lets time pass and wakes the alarm clocks that fall
 * due on the way, in the order of their times (of equal times, in the order in which they were made); what a wake sets
 * anew within the span is served too. `step` is the machine's wall clock being set: no time passes.
 */
export class FakeClock implements Clock {
  #now: EpochMs
  #monotonic = 0
  readonly #alarmClocks: { due: EpochMs | null; readonly wake: () => void }[] = []
  readonly #told: ((by: Milliseconds) => void)[] = []

  /** Starts at 2027-01-10T00:00:00Z if not told otherwise. */
  constructor(start: EpochMs = epochMs(Date.UTC(2027, 0, 10))) {
    this.#now = start
  }

  now(): EpochMs {
    return this.#now
  }

  monotonic(): MonotonicMs {
    return this.#monotonic as MonotonicMs
  }

  alarmClock(wake: () => void): AlarmClock {
    const entry: { due: EpochMs | null; readonly wake: () => void } = { due: null, wake }
    this.#alarmClocks.push(entry)
    return {
      setFor: (at) => {
        entry.due = at
      },
      close: () => {
        const place = this.#alarmClocks.indexOf(entry)
        if (place >= 0) this.#alarmClocks.splice(place, 1)
      },
    }
  }

  onStep(told: (by: Milliseconds) => void): void {
    this.#told.push(told)
  }

  /** Lets `span` pass. What was already due is woken first, at the present time. */
  advance(span: Milliseconds): void {
    const end = after(this.#now, span)
    for (let next = this.#next(end); next !== null; next = this.#next(end)) {
      this.#pass(next.due)
      next.serve()
    }
    this.#pass(end)
  }

  /** Sets the wall clock forward or back and tells it. Alarm clocks keep their times; the one who set them moves them. */
  step(by: Milliseconds): void {
    this.#now = after(this.#now, by)
    for (const told of this.#told) told(by)
  }

  /** When the next alarm clock is due; null when none is set. */
  nextDue(): EpochMs | null {
    return this.#earliest()?.due ?? null
  }

  #pass(until: EpochMs): void {
    if (until <= this.#now) return
    this.#monotonic += until - this.#now
    this.#now = until
  }

  #earliest(): { due: EpochMs | null; readonly wake: () => void } | undefined {
    let earliest: { due: EpochMs | null; readonly wake: () => void } | undefined
    for (const entry of this.#alarmClocks) {
      if (entry.due === null) continue
      if (earliest === undefined || earliest.due === null || entry.due < earliest.due) earliest = entry
    }
    return earliest
  }

  #next(end: EpochMs): { readonly due: EpochMs; readonly serve: () => void } | null {
    const entry = this.#earliest()
    if (entry === undefined || entry.due === null || entry.due > end) return null
    const { due } = entry
    return {
      due,
      serve: () => {
        entry.due = null
        entry.wake()
      },
    }
  }
}
