import { compileGraph, type Graph } from '../derive/compile-graph.js'
import type { FarmPlan } from '../farm/plan.js'
import type { Clock } from '../ports/clock.js'
import type { History } from '../ports/history.js'
import type { Log } from '../ports/log.js'
import type { Recomputation } from '../ports/past.js'
import type { Batch, JournalRow, Recorder } from '../ports/recorder.js'
import { after, milliseconds, seconds, type EpochMs } from '../units/time.js'
import { endOf, nextSlice, progressAt, type Ground, type Progress } from './recompute-slice.js'
import { taskDoc, taskKey, type Task } from './recompute-tasks.js'

/**
 * The newest of the record belongs to the watch, whose last batch may not be on disk yet (`store.commit`, and a second
 * for its retry); also the time in which a probe that delivers late may send more, to be computed in one go.
 */
const settled = seconds(5)
const retryAfter = seconds(10)
/** Finished ones that are remembered for those who asked. */
const finishedMost = 50

export interface RecomputingParts {
  readonly recorder: Recorder
  readonly history: History
  readonly plan: () => FarmPlan
  readonly clock: Clock
  readonly log: Log
}

/** Works off the tasks of `recompute-tasks.ts` in small slices, each in one transaction with how far it came. */
export interface Recomputing {
  /** Takes tasks that are on disk; a known one is replaced. */
  take(tasks: readonly Task[]): void
  readonly waiting: () => readonly Task[]
  readonly all: () => readonly Recomputation[]
  readonly graph: () => Graph
  /** Resolves once nothing is left to do at this moment. */
  idle(): Promise<void>
  /** What is begun is finished; what is left is done after the next start. */
  close(): Promise<void>
}

interface Work {
  readonly task: Task
  readonly graph: Graph
  readonly progress: Progress
  /** Where the whole task ends. */
  readonly end: EpochMs
}

interface State {
  readonly tasks: Map<number, Task>
  readonly finished: Recomputation[]
  /** Of the task at work; gone when anything under it changed. */
  work: Work | null
  /** Tasks whose rest is not settled yet. */
  readonly waits: Map<number, EpochMs>
  /** After a failure nothing is tried before this. */
  pausedUntil: EpochMs | null
  plan: FarmPlan
  graph: Graph
  running: Promise<void> | null
  closed: boolean
}

export function openRecomputing(parts: RecomputingParts): Recomputing {
  const { plan, clock } = parts
  const first = plan()
  const state: State = {
    tasks: new Map(),
    finished: [],
    work: null,
    waits: new Map(),
    pausedUntil: null,
    plan: first,
    graph: compileGraph(first),
    running: null,
    closed: false,
  }
  const wake = (): void => {
    if (state.closed || state.running !== null) return
    state.running = workOff(state, parts).finally(() => {
      state.running = null
      rest()
    })
  }
  const alarm = clock.alarmClock(wake)
  /** Sleeps until something is due; what came while the last slice was on its way is due now. */
  const rest = (): void => {
    if (state.closed) return
    alarm.setFor(nextAt(state, clock.now()))
    if (nextTask(state, clock.now()) !== null) wake()
  }
  return {
    take: (tasks) => {
      for (const task of tasks) {
        state.tasks.set(task.id, task)
        state.waits.delete(task.id)
      }
      rest()
    },
    waiting: () => [...state.tasks.values()],
    all: () => [...state.finished, ...[...state.tasks.values()].map((task) => told(task, false))],
    graph: () => graphOf(state, plan()),
    idle: async () => {
      while (state.running !== null) await state.running
    },
    close: async () => {
      state.closed = true
      alarm.close()
      await state.running
    },
  }
}

function graphOf(state: State, plan: FarmPlan): Graph {
  if (state.plan !== plan) {
    state.plan = plan
    state.graph = compileGraph(plan)
  }
  return state.graph
}

/** What was asked for about the settled past begins at once; everything else lets a moment pass. */
function readyAt(state: State, { id, kind, to, since }: Task): EpochMs {
  const first = after(kind === 'asked' ? to : since, settled)
  return Math.max(first, state.waits.get(id) ?? 0, state.pausedUntil ?? 0) as EpochMs
}

function nextTask(state: State, now: EpochMs): Task | null {
  for (const task of state.tasks.values()) if (readyAt(state, task) <= now) return task
  return null
}

function nextAt(state: State, now: EpochMs): EpochMs | null {
  const times = [...state.tasks.values()].map((task) => readyAt(state, task)).filter((at) => at > now)
  return times.length === 0 ? null : (Math.min(...times) as EpochMs)
}

async function workOff(state: State, parts: RecomputingParts): Promise<void> {
  const { clock, log } = parts
  state.pausedUntil = null
  try {
    for (;;) {
      const task = state.closed ? null : nextTask(state, clock.now())
      if (task === null) return
      await oneSlice(state, task, parts)
    }
  } catch (cause) {
    // The store has an alarm of its own; here it is enough to try again.
    log.warn({ err: cause }, 'values of the past could not be computed anew; this is tried again')
    state.work = null
    state.pausedUntil = after(clock.now(), retryAfter)
  }
}

async function oneSlice(state: State, task: Task, parts: RecomputingParts): Promise<void> {
  const work = await workOn(state, task, parts)
  state.work = null
  const settledUntil = after(parts.clock.now(), milliseconds(-settled))
  const end = work.end < settledUntil ? work.end : settledUntil
  if (task.next >= end && end < work.end) {
    state.waits.set(task.id, after(work.end, settled))
    return
  }
  const ground: Ground = { plan: state.plan, graph: work.graph, history: parts.history }
  const slice = await nextSlice(work.progress, end, ground, parts.clock.now())
  const now = state.tasks.get(task.id) ?? task
  // More may have come while this slice was read: then it is done once more.
  const moved: Task = {
    ...now,
    next: now === task ? slice.progress.next : now.next,
    changed: now.changed + slice.changed,
  }
  const isDone = now === task && slice.progress.next >= work.end
  parts.recorder.commit({
    ...{ readings: [], outbox: [], outcomes: [], computedAnew: slice.anew },
    journal: isDone && task.by !== null ? [doneRow(moved, parts.clock.now())] : [],
    upserts: isDone ? [] : [taskDoc(moved)],
    deletes: isDone ? [taskKey(moved)] : [],
  })
  if (isDone) {
    finish(state, moved, parts)
    return
  }
  state.tasks.set(task.id, moved)
  if (now === task) state.work = { ...work, task: moved, progress: slice.progress }
}

/** Goes on where the last slice ended, or begins from what is in the record. */
async function workOn(state: State, task: Task, { plan, history }: RecomputingParts): Promise<Work> {
  const graph = graphOf(state, plan())
  const { work } = state
  if (work !== null && work.task === task && work.graph === graph) return work
  const ground: Ground = { plan: state.plan, graph, history }
  const end = await endOf(task, ground)
  return { task, graph, end, progress: await progressAt(task, task.next, ground) }
}

function finish(state: State, task: Task, { log }: RecomputingParts): void {
  state.tasks.delete(task.id)
  state.finished.push(told(task, true))
  if (state.finished.length > finishedMost) state.finished.shift()
  const { of, from, to, changed } = task
  log.info({ of, from, to, changed }, 'values of the past were computed anew')
}

const doneRow = ({ of, from, to, changed, by }: Task, at: EpochMs): JournalRow => ({
  ...{ at, event: 'recomputed', about: null },
  doc: { of, from, to, changed, by },
})

const told = ({ id, of, from, to, next, changed }: Task, finished: boolean): Recomputation => ({
  ...{ id, of, from, to, doneUntil: next, finished, changed },
})

/** A batch with what it makes necessary, so that both are on disk or neither is. */
export const withTasks = (batch: Batch, tasks: readonly Task[]): Batch =>
  tasks.length === 0 ? batch : { ...batch, upserts: [...batch.upserts, ...tasks.map(taskDoc)] }
