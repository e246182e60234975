import { uptime } from 'node:os'
import type { AlarmClock, Clock } from '../ports/clock.js'
import { epochMs, milliseconds, type EpochMs, type Milliseconds, type MonotonicMs } from '../units/time.js'

/** What the machine has to tell the time by; a test puts its own in place of it. All in milliseconds. */
export interface Machine {
  /** The wall clock, which anybody may set. */
  wall(): number
  /** Never jumps, and stands still while the machine is suspended. */
  monotonic(): number
  /** Since the machine was started, time spent suspended included. */
  sinceBoot(): number
  /** Calls once after `span` of the monotonic clock; returns how to call it off. `waits`: the process lives on for it. */
  timer(span: number, run: () => void, waits: boolean): () => void
}

export interface SystemClock extends Clock {
  close(): void
}

/** A disagreement up to this is a correction (a time daemon slewing or nudging) and is followed; more is a step. */
export const correctionMax = milliseconds(2000)
/** How often the clocks are compared when nobody asks for the time. Common practice: a human would not notice. */
export const checkEvery = milliseconds(1000)
/** setTimeout fires at once for more than 2^31 - 1 ms (Node.js documentation, Timers); long waits are cut into days. */
export const timerMax = milliseconds(86_400_000)

interface Anchor {
  readonly wall: number
  readonly monotonic: number
  /** Total time that the machine has spent suspended since it was started. */
  readonly suspended: number
}

/**
 * The real clock. Its time is the wall clock's as long as that agrees with the time really elapsed: corrections up to
 * `correctionMax` are followed, but never backwards (the time stands still until the wall clock has caught up). A
 * bigger disagreement means that someone set the clock: `onStep` is told by how much, before `now()` gives the new
 * time. Time spent suspended is time that really passed, and no step.
 */
export function systemClock(machine: Machine = thisMachine): SystemClock {
  return new RealClock(machine)
}

class RealClock implements SystemClock {
  #anchor: Anchor
  #shown: number
  readonly #told: ((by: Milliseconds) => void)[] = []
  readonly #alarmClocks = new Set<RealAlarmClock>()
  #cancelCheck: () => void = () => undefined

  constructor(readonly machine: Machine) {
    this.#anchor = anchorNow(machine)
    this.#shown = this.#anchor.wall
    this.#checkLater()
  }

  now(): EpochMs {
    this.#check()
    return epochMs(this.#shown)
  }

  monotonic(): MonotonicMs {
    return this.machine.monotonic() as MonotonicMs
  }

  alarmClock(wake: () => void): AlarmClock {
    const made = new RealAlarmClock(this, wake, () => this.#alarmClocks.delete(made))
    this.#alarmClocks.add(made)
    return made
  }

  onStep(told: (by: Milliseconds) => void): void {
    this.#told.push(told)
  }

  close(): void {
    this.#cancelCheck()
    for (const alarmClock of [...this.#alarmClocks]) alarmClock.close()
  }

  #checkLater(): void {
    this.#cancelCheck = this.machine.timer(
      checkEvery,
      () => {
        this.#checkLater()
        this.#check()
      },
      false,
    )
  }

  #check(): void {
    const { machine } = this
    const { read: wall, monotonic } = readTogether(machine, () => machine.wall())
    const disagreement = wall - this.#anchor.wall - (monotonic - this.#anchor.monotonic)
    if (Math.abs(disagreement) <= correctionMax) {
      this.#anchor = { wall, monotonic, suspended: this.#anchor.suspended }
      this.#shown = Math.max(this.#shown, wall)
      return
    }
    const slept = suspendedOf(machine) - this.#anchor.suspended
    const step = disagreement - slept
    this.#anchor = anchorNow(machine)
    if (Math.abs(step) <= correctionMax) {
      this.#shown = Math.max(this.#shown, wall)
      for (const alarmClock of this.#alarmClocks) alarmClock.wind()
      return
    }
    this.#shown = wall
    for (const told of this.#told) told(milliseconds(Math.round(step)))
    for (const alarmClock of this.#alarmClocks) alarmClock.wind()
  }
}

class RealAlarmClock implements AlarmClock {
  #due: EpochMs | null = null
  #cancel: (() => void) | null = null

  constructor(
    readonly clock: RealClock,
    readonly wake: () => void,
    readonly forget: () => void,
  ) {}

  setFor(at: EpochMs | null): void {
    this.#due = at
    this.wind()
  }

  close(): void {
    this.setFor(null)
    this.forget()
  }

  /** Sets the timer anew for what is left, as the clock sees it now. Never wakes on the caller's own stack. */
  wind(): void {
    // Asked first: now() may find a step, and who is told of it may set this alarm clock anew, or off.
    const now = this.clock.now()
    this.#cancel?.()
    this.#cancel = null
    if (this.#due === null) return
    const left = Math.min(Math.max(this.#due - now, 0), timerMax)
    this.#cancel = this.clock.machine.timer(left, () => this.#ring(), true)
  }

  #ring(): void {
    // Asked before the due time is read, for the same reason as in wind().
    const now = this.clock.now()
    const due = this.#due
    if (due === null) return
    if (now < due) return this.wind()
    this.setFor(null)
    this.wake()
  }
}

function anchorNow(machine: Machine): Anchor {
  const { read: wall, monotonic } = readTogether(machine, () => machine.wall())
  return { wall, monotonic, suspended: suspendedOf(machine) }
}

function suspendedOf(machine: Machine): number {
  const { read: sinceBoot, monotonic } = readTogether(machine, () => machine.sinceBoot())
  return sinceBoot - monotonic
}

/**
 * Two clocks read at practically the same moment. A process that was stopped between two readings (SIGSTOP, a machine
 * out of breath) would take its own pause for a step: such a pair is read again, a few times at most.
 */
function readTogether(machine: Machine, other: () => number): { read: number; monotonic: number } {
  let monotonic = machine.monotonic()
  for (let tries = 0; ; tries += 1) {
    const read = other()
    const afterwards = machine.monotonic()
    if (afterwards - monotonic <= 100 || tries >= 5) return { read, monotonic: afterwards }
    monotonic = afterwards
  }
}

/**
 * `performance.now` follows CLOCK_MONOTONIC, which stops in suspend; `os.uptime` reads /proc/uptime, which does not
 * (clock_gettime(2), proc_uptime(5)). Its hundredths of a second are fine enough beside `correctionMax`.
 */
export const thisMachine: Machine = {
  wall: () => Date.now(),
  monotonic: () => performance.now(),
  sinceBoot: () => uptime() * 1000,
  timer: (span, run, waits) => {
    const timer = setTimeout(run, span)
    if (!waits) timer.unref()
    return () => clearTimeout(timer)
  },
}
