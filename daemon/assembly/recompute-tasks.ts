import type { StateDoc } from '../ports/recorder.js'
import { correctionAt, type Correction } from '../readings/correction.js'
import type { Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { after, between, epochMs, hours, milliseconds, minutes, type EpochMs } from '../units/time.js'

/**
 * A span whose computed values are to be computed anew. Kept as a piece of state from the transaction that made it
 * necessary until the one that finished it, so that neither a stop nor a crash forgets it.
 */
export interface Task {
  readonly id: number
  /** `after`: what follows from the readings of a signal. `asked`: computed signals by a pattern. */
  readonly kind: 'after' | 'asked'
  readonly of: string
  readonly from: EpochMs
  /** Of `after`: where the readings that changed end; what follows from them may reach further. */
  readonly to: EpochMs
  /** Nothing later than this: from then on the watch itself knew. */
  readonly until: EpochMs
  /** Everything before this is done. */
  readonly next: EpochMs
  readonly changed: number
  /** Who asked for it; null when late readings did. */
  readonly by: string | null
  /** When it became known. */
  readonly since: EpochMs
}

export const taskKind = 'recompute'
export const taskDoc = (task: Task): StateDoc => ({ kind: taskKind, id: String(task.id), doc: task })
export const taskKey = (task: Task) => ({ kind: taskKind, id: String(task.id) })
export const tasksIn = (docs: readonly StateDoc[]): readonly Task[] =>
  docs.filter(({ kind }) => kind === taskKind).map(({ doc }) => doc as Task)

/** Late readings of one signal that lie nearer together than this are one task: a probe delivers what it had stored. */
const together = hours(1)
/** An entry whose time lies further back than this counts from then, not from when it was typed in. */
const enteredLate = minutes(1)

/** What decides whether a reading changes the past. */
export interface Known {
  readonly now: EpochMs
  /** Whether anything is computed from a signal. */
  readonly matters: (signal: SignalName) => boolean
  readonly correctionsOf: (signal: SignalName) => readonly Correction[]
  readonly newId: () => number
}

/** The tasks that these readings make necessary: new ones, and known ones that reach further now. */
export function tasksAfter(
  readings: readonly Reading[],
  tasks: readonly Task[],
  known: Known,
): readonly Task[] {
  const changed = new Map<number, Task>()
  for (const reading of readings) {
    if (!changesThePast(reading, known)) continue
    const { signal } = reading
    const at = epochMs(Math.round(reading.at))
    const to = after(at, milliseconds(1))
    const open = [...tasks.filter(({ id }) => !changed.has(id)), ...changed.values()].find(
      (task) => task.kind === 'after' && task.of === signal && task.by === null && isNear(task, at),
    )
    const task: Task =
      open === undefined
        ? {
            ...{ id: known.newId(), kind: 'after', of: signal, from: at, to, until: known.now, next: at },
            ...{ changed: 0, by: null, since: known.now },
          }
        : {
            ...open,
            from: earlier(open.from, at),
            to: later(open.to, to),
            until: later(open.until, known.now),
            next: earlier(open.next, at),
          }
    changed.set(task.id, task)
  }
  return [...changed.values()]
}

/**
 * Late ones were stored without being judged (AL-17); the watch computed without them. Those that a correction covers
 * it took as they were sent.
 */
function changesThePast(reading: Reading, { matters, correctionsOf }: Known): boolean {
  const { signal, at, received, source, value, quality, historical } = reading
  if (source === 'computed' || value === null || quality === 'bad' || !matters(signal)) return false
  if (correctionAt(correctionsOf(signal), at) !== null) return true
  // Historical and received when it was "measured": kept by a broker, of unknown age.
  if (historical) return between(at, received) > 0
  return source === 'book' && between(at, received) > enteredLate
}

const isNear = ({ from, to }: Task, at: EpochMs): boolean =>
  at >= after(from, milliseconds(-together)) && at <= after(to, together)

const earlier = (a: EpochMs, b: EpochMs): EpochMs => (a < b ? a : b)
const later = (a: EpochMs, b: EpochMs): EpochMs => (a > b ? a : b)
