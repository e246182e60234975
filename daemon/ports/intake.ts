import type { Arrival } from '../readings/reading.js'

/** One message of a probe, decoded: perhaps several arrivals, acknowledged together. */
export interface Delivered {
  readonly topic: string
  readonly arrivals: readonly Arrival[]
  /** Said once everything in the message is safe on disk. Never before. */
  readonly acknowledge: () => void
}

/**
 * The door through which messages come to the watch. `take` returns at once; the watch commits at its own pace and
 * then acknowledges. `room` is false while too much waits: the one who brings messages then stops reading its socket.
 */
export interface Intake {
  take(message: Delivered): void
  room(): boolean
  /** Calls back once when there is room again. */
  onRoom(tell: () => void): void
}
