import type { AlarmId } from '../alarms/rule.js'
import { after, type EpochMs } from '../units/time.js'
import type { Ladder, LadderStep } from './people.js'

/** How far one step's calls have come: to jump on when nobody of it can be reached (AL-26). */
export interface StepProgress {
  readonly people: readonly string[]
  readonly failed: readonly string[]
}

/** A ladder on its way for one occurrence. Plain data; due times follow from `base` (AL-25). */
export interface Run {
  readonly alarm: AlarmId
  readonly occurrence: number
  readonly number: number
  readonly ladder: string
  /** Step times count from here: activation, or 07:00 for what waited for the day (AL-50). */
  readonly base: EpochMs
  /** Index of the next step; equal to the number of steps when only repeats are left. */
  readonly next: number
  readonly repeats: number
  /** Signals lost together are collected until then before the first word (AL-49). */
  readonly collectUntil: EpochMs | null
  readonly steps: Readonly<Record<string, StepProgress>>
  /** Whom it called so far, in order. */
  readonly tried: readonly string[]
  readonly switches: readonly string[]
  /** It is the same condition again after an acknowledgement (AL-11). */
  readonly again: boolean
  /** Chattering: 'tipping' is still sent and says so, 'muted' sends no step 1 (AL-19). */
  readonly chattering: 'no' | 'tipping' | 'muted'
}

/** What is to be done at a due time. */
export type LadderAction =
  | { readonly kind: 'step'; readonly index: number; readonly step: LadderStep }
  | { readonly kind: 'repeat'; readonly time: number }

/** When the run next does something; null when it has nothing left. */
export function runDue(ladder: Ladder, run: Run): EpochMs | null {
  const step = ladder.steps[run.next]
  if (step !== undefined) {
    const due = after(run.base, step.after)
    return run.collectUntil !== null && run.collectUntil > due ? run.collectUntil : due
  }
  const last = ladder.steps.at(-1)
  if (last === undefined || run.repeats >= ladder.repeat.times) return null
  return after(
    after(run.base, last.after),
    (ladder.repeat.every * (run.repeats + 1)) as typeof ladder.repeat.every,
  )
}

/** Whether anybody will still be called: then what a cause brought about can be told with it (AL-37). */
export const stillCalls = (ladder: Ladder, run: Run): boolean =>
  run.repeats < ladder.repeat.times || ladder.steps.slice(run.next).some((step) => step.kind === 'call')

/**
 * Everything due at `now`: each overdue step once, in order; of several missed repeats one, which counts for all of
 * them (AL-44, AL-50).
 */
export function takeDue(
  ladder: Ladder,
  run: Run,
  now: EpochMs,
): { readonly run: Run; readonly actions: readonly LadderAction[] } {
  const actions: LadderAction[] = []
  let next = run
  for (let due = runDue(ladder, next); due !== null && due <= now; due = runDue(ladder, next)) {
    const step = ladder.steps[next.next]
    if (step !== undefined) {
      actions.push({ kind: 'step', index: next.next, step })
      next = { ...next, next: next.next + 1 }
      continue
    }
    next = { ...next, repeats: next.repeats + 1 }
    const earlier = actions.findIndex((action) => action.kind === 'repeat')
    if (earlier >= 0) actions.splice(earlier, 1)
    actions.push({ kind: 'repeat', time: next.repeats })
  }
  return { run: next, actions }
}

/** Every channel of everyone of a step has failed: its next step comes at once, the times of later ones stay (AL-26). */
export function stepFailed(progress: StepProgress): boolean {
  return progress.people.length > 0 && progress.people.every((person) => progress.failed.includes(person))
}

/** Notes that a person of a step could not be reached. */
export function noteUnreached(run: Run, step: string, person: string): Run {
  const progress = run.steps[step]
  if (progress === undefined || progress.failed.includes(person)) return run
  return { ...run, steps: { ...run.steps, [step]: { ...progress, failed: [...progress.failed, person] } } }
}
