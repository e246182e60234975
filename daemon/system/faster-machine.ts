import { thisMachine, type Machine } from './clock.js'

/**
 * The machine as it seems to a daemon that lives faster than life, in practice: from now on every real second is
 * `speed` of its own, on all its clocks and for all its timers alike.
 */
export function fasterMachine(speed: number, machine: Machine = thisMachine): Machine {
  const from = { wall: machine.wall(), monotonic: machine.monotonic(), sinceBoot: machine.sinceBoot() }
  const stretched = (start: number, now: number): number => start + (now - start) * speed
  return {
    wall: () => stretched(from.wall, machine.wall()),
    monotonic: () => stretched(from.monotonic, machine.monotonic()),
    sinceBoot: () => stretched(from.sinceBoot, machine.sinceBoot()),
    timer: (span, run, waits) => machine.timer(span / speed, run, waits),
  }
}
