import type { Machine } from '../../daemon/system/clock.js'

/** A machine whose clocks a test moves by hand: passing time, suspend, and a wall clock that someone sets. */
export class FakeMachine implements Machine {
  #wall = Date.UTC(2027, 0, 10)
  #monotonic = 1000
  #suspended = 0
  #timers: { readonly at: number; readonly run: () => void; readonly waits: boolean }[] = []
  /** Called at each reading of the wall clock, to be stopped in the middle of one. */
  onWall: () => void = () => undefined

  wall(): number {
    const read = this.#wall
    this.onWall()
    return read
  }

  monotonic(): number {
    return this.#monotonic
  }

  sinceBoot(): number {
    return this.#monotonic + this.#suspended
  }

  timer(span: number, run: () => void, waits: boolean): () => void {
    const entry = { at: this.#monotonic + span, run, waits }
    this.#timers.push(entry)
    return () => {
      this.#timers = this.#timers.filter((other) => other !== entry)
    }
  }

  /** Time passes, and the timers due in it run. */
  pass(span: number): void {
    const end = this.#monotonic + span
    for (;;) {
      const next = this.#timers.filter((entry) => entry.at <= end).sort((a, b) => a.at - b.at)[0]
      if (next === undefined) break
      this.#timers = this.#timers.filter((other) => other !== next)
      this.passUnnoticed(Math.max(next.at - this.#monotonic, 0))
      next.run()
    }
    this.passUnnoticed(end - this.#monotonic)
  }

  /** Time passes while the process does not run. */
  passUnnoticed(span: number): void {
    this.#monotonic += span
    this.#wall += span
  }

  setWall(by: number): void {
    this.#wall += by
  }

  /** The wall clock goes on, and so does the time since the start; the monotonic clock and all timers stand still. */
  suspend(span: number): void {
    this.#suspended += span
    this.#wall += span
  }

  get pendingTimers(): readonly { readonly at: number; readonly waits: boolean }[] {
    return this.#timers
  }
}
