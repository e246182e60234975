import { Fault } from '../errors.js'
import { globMatcher, isGlob } from '../farm/globs.js'
import { signalPlanFor } from '../farm/on-demand.js'
import type { CorrectionWish, Past, Recomputation, RecomputeWish } from '../ports/past.js'
import type { Batch, JournalRow, Recorder } from '../ports/recorder.js'
import { lineThrough, type Correction } from '../readings/correction.js'
import type { SignalName } from '../readings/signal.js'
import { didYouMean } from '../units/nearest-name.js'
import { epochMs, rfc3339, type EpochMs } from '../units/time.js'
import { openRecomputing, withTasks, type Recomputing, type RecomputingParts } from './recomputing.js'
import { tasksAfter, tasksIn, type Task } from './recompute-tasks.js'

export interface PastAtWork {
  readonly past: Past
  /** The store's own recorder; what comes through here may make values of the past due to be computed anew. */
  readonly recorder: Recorder
  /** Resolves once nothing is left to do at this moment. */
  idle(): Promise<void>
  close(): Promise<void>
}

interface State {
  corrections: readonly Correction[]
  readonly bySignal: Map<SignalName, readonly Correction[]>
  lastId: number
  readonly work: Recomputing
  readonly parts: RecomputingParts
}

/**
 * What can still be changed about the past: late readings, corrections and the wishes of people become tasks, which are
 * on disk with what made them necessary. Goes on with the tasks that a stop left open.
 */
export function openPast(parts: RecomputingParts): PastAtWork {
  const { recorder } = parts
  const { docs, corrections } = recorder.restore()
  const work = openRecomputing(parts)
  const state: State = { corrections: [], bySignal: new Map(), lastId: 0, work, parts }
  know(state, corrections)
  work.take(tasksIn(docs))
  return {
    past: {
      correct: (wish) => correct(state, wish),
      undo: (id, reason) => undo(state, id, reason),
      corrections: () => state.corrections,
      recompute: (wish) => askFor(state, wish),
      recomputations: () => work.all(),
    },
    recorder: {
      commit: (batch) => commit(state, batch),
      restore: () => recorder.restore(),
      close: () => recorder.close(),
    },
    idle: () => work.idle(),
    close: () => work.close(),
  }
}

function know(state: State, corrections: readonly Correction[]): void {
  state.corrections = corrections
  state.bySignal.clear()
  for (const one of corrections)
    state.bySignal.set(one.signal, [...(state.bySignal.get(one.signal) ?? []), one])
}

/** The moment, made unique: a number that was never used before, also not before the last start. */
function newId(state: State): number {
  state.lastId = Math.max(state.lastId + 1, state.parts.clock.now())
  return state.lastId
}

/** What the watch records, and what follows from it for the past. */
function commit(state: State, batch: Batch): void {
  const { dependents } = state.work.graph()
  const tasks = tasksAfter(batch.readings, state.work.waiting(), {
    now: state.parts.clock.now(),
    matters: (signal) => dependents.has(signal),
    correctionsOf: (signal) => state.bySignal.get(signal) ?? [],
    newId: () => newId(state),
  })
  state.parts.recorder.commit(withTasks(batch, tasks))
  if (tasks.length > 0) state.work.take(tasks)
}

function correct(state: State, wish: CorrectionWish): ReturnType<Past['correct']> {
  const now = state.parts.clock.now()
  const { from, to, points, by, why } = wish
  const plan = state.parts.plan()
  const listening = signalPlanFor(plan, wish.signal)
  if ('unknown' in listening) throw new Fault('BW_CALC', listening.unknown)
  const { signal, quantity } = listening
  if (quantity.kind !== 'number')
    throw new Fault('BW_CALC', `${signal} is ${quantity.kind}: there is nothing to correct`)
  if (plan.signals.get(signal)?.origin === 'computed') throw isComputed(state, signal)
  const correction: Correction = {
    ...{ id: (state.corrections.at(-1)?.id ?? 0) + 1, signal, ...spanOf(from, to ?? now, now) },
    ...{ ...lineThrough(points, quantity.name), points, at: now, by, why: reasonOf(why), undone: null },
  }
  return recorded(state, correction, [...state.corrections, correction])
}

function isComputed(state: State, signal: SignalName): Fault {
  const node = state.work.graph().nodes.get(signal)
  const from = node?.inputs.flatMap((input) => (input.signal === null ? [] : [input.signal])) ?? []
  return new Fault(
    'BW_CALC',
    `${signal} is computed, not measured`,
    from.length === 0 ? '' : `correct what it is made from: ${from.join(', ')}`,
  )
}

function undo(
  state: State,
  id: number,
  { by, why }: { readonly by: string; readonly why: string },
): ReturnType<Past['undo']> {
  const there = state.corrections.find((one) => one.id === id)
  if (there === undefined) {
    const known = state.corrections.filter(({ undone }) => undone === null).map((one) => one.id)
    throw new Fault(
      'BW_CALC',
      `there is no correction ${id}`,
      known.length === 0 ? 'none is in force' : `in force: ${known.join(', ')}`,
    )
  }
  if (there.undone !== null)
    throw new Fault(
      'BW_CALC',
      `correction ${id} was taken back on ${rfc3339(there.undone.at)} by ${there.undone.by}`,
      'a new correction over the same span puts it into force again',
    )
  const correction = { ...there, undone: { at: state.parts.clock.now(), by, why: reasonOf(why) } }
  return recorded(
    state,
    correction,
    state.corrections.map((one) => (one.id === id ? correction : one)),
  )
}

/** The correction, its line in the journal and the work it makes, in one transaction. */
function recorded(
  state: State,
  correction: Correction,
  all: readonly Correction[],
): ReturnType<Past['correct']> {
  const now = state.parts.clock.now()
  const { signal, from, to, undone, by } = correction
  const task: Task = {
    ...{ id: newId(state), kind: 'after', of: signal, from, to, until: now, next: from },
    ...{ changed: 0, by: undone?.by ?? by, since: now },
  }
  const row: JournalRow = {
    ...{ at: now, event: undone === null ? 'correction' : 'correction-undone', about: signal },
    doc: correction,
  }
  const none = { readings: [], outbox: [], outcomes: [], deletes: [], upserts: [] }
  state.parts.recorder.commit(withTasks({ ...none, journal: [row], corrections: [correction] }, [task]))
  know(state, all)
  return { correction, recomputation: taken(state, task) }
}

function askFor(state: State, { signals, from, to, by }: RecomputeWish): Recomputation {
  mustBeComputed(state, signals)
  const now = state.parts.clock.now()
  const task: Task = {
    ...{ id: newId(state), kind: 'asked', of: signals, ...spanOf(from, to, now), until: now, next: from },
    ...{ changed: 0, by, since: now },
  }
  const none = { readings: [], outbox: [], outcomes: [], deletes: [], upserts: [], journal: [] }
  state.parts.recorder.commit(withTasks(none, [task]))
  return taken(state, task)
}

function mustBeComputed(state: State, signals: string): void {
  const { nodes, estimates } = state.work.graph()
  const names = [...nodes.keys()]
  const matches = globMatcher(signals)
  if (names.some(matches)) return
  const foreseen = [...estimates.values()].flatMap(({ gives }) => gives.map(({ signal }) => signal))
  if (foreseen.some(matches))
    throw new Fault(
      'BW_CALC',
      `"${signals}" is a forecast`,
      'what was foreseen stays in the record as it was known then',
    )
  throw new Fault(
    'BW_CALC',
    `nothing that is computed is called "${signals}"`,
    isGlob(signals) ? didYouMean('', names) : didYouMean(signals, names),
  )
}

function taken(state: State, task: Task): Recomputation {
  state.work.take([task])
  const { id, of, from, to, next, changed } = task
  return { id, of, from, to, doneUntil: next, finished: false, changed }
}

function spanOf(from: EpochMs, to: EpochMs, now: EpochMs): { from: EpochMs; to: EpochMs } {
  const [begin, end] = [epochMs(Math.round(from)), epochMs(Math.round(to))]
  if (end > now)
    throw new Fault(
      'BW_CALC',
      `${rfc3339(end)} has not come yet`,
      'only what was recorded can be changed; from now on the probe itself must be right, so calibrate it',
    )
  if (begin >= end)
    throw new Fault(
      'BW_CALC',
      `the span from ${rfc3339(begin)} to ${rfc3339(end)} is empty`,
      'it must begin before it ends',
    )
  return { from: begin, to: end }
}

function reasonOf(why: string): string {
  const reason = why.trim()
  if (reason !== '') return reason
  throw new Fault('BW_CALC', 'a correction needs a reason', 'say how it was found: "checked with the meter"')
}
