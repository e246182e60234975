import type { Intake } from '../ports/intake.js'

/** Lets work through while the intake has room, and keeps the rest, in order, until it has. */
export interface RoomGate {
  enter(work: () => void): void
  waiting(): number
}

/**
 * Those who wait here must be few by themselves: whoever brings messages stops reading its socket until its work was
 * let through.
 */
export function roomGate(intake: Intake): RoomGate {
  const line: (() => void)[] = []
  let asked = false

  function open(): void {
    asked = false
    while (intake.room()) {
      const work = line.shift()
      if (work === undefined) return
      work()
    }
    ask()
  }

  function ask(): void {
    if (asked || line.length === 0) return
    asked = true
    intake.onRoom(open)
  }

  return {
    enter(work) {
      if (line.length === 0 && intake.room()) return work()
      line.push(work)
      ask()
    },
    waiting: () => line.length,
  }
}
