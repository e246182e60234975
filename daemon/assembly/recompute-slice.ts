import type { Graph } from '../derive/compile-graph.js'
import type { Computed } from '../readings/computed.js'
import {
  beginPast,
  inputsOf,
  keepEvery,
  lifeOf,
  reachOf,
  recomputeSpan,
  type Kept,
  type Past,
} from '../derive/recompute-span.js'
import { globMatcher } from '../farm/globs.js'
import { signalPlanFor } from '../farm/on-demand.js'
import type { FarmPlan } from '../farm/plan.js'
import type { History, RecordedReading } from '../ports/history.js'
import type { ComputedAnew } from '../ports/recorder.js'
import type { Reading } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { after, hours, milliseconds, type EpochMs, type Milliseconds } from '../units/time.js'
import type { Task } from './recompute-tasks.js'

/** At most so much of the record at a time: some milliseconds of the watch's thread, and of the reading thread. */
const rowsMost = 4000
const spanMost = hours(6)

/** What a slice works with. */
export interface Ground {
  readonly plan: FarmPlan
  readonly graph: Graph
  readonly history: History
}

/** Where the work on one task stands between two slices. */
export interface Progress {
  readonly wanted: ReadonlySet<SignalName>
  readonly past: Past
  readonly next: EpochMs
}

export interface Slice {
  readonly anew: ComputedAnew
  readonly changed: number
  readonly progress: Progress
}

/** The computed signals that a task is about, on the farm as it is now. */
export function wantedBy({ kind, of }: Pick<Task, 'kind' | 'of'>, graph: Graph): ReadonlySet<SignalName> {
  if (kind === 'after') {
    const follow = graph.dependents.get(of as SignalName) ?? []
    return new Set(follow.map(({ signal }) => signal))
  }
  const matches = globMatcher(of)
  return new Set([...graph.nodes.keys()].filter(matches))
}

/**
 * Where a task ends: what follows from a reading lasts until the next usable one of its signal, or until it is too old.
 * And a minute more, in which a value may be due that was not before, because the one kept before it is another.
 */
export async function endOf(task: Task, ground: Ground): Promise<EpochMs> {
  if (task.kind === 'asked') return task.to
  const end = after(await lastEffect(task, ground), keepEvery)
  return end < task.until ? end : task.until
}

async function lastEffect({ of, to, until }: Task, { plan, graph, history }: Ground): Promise<EpochMs> {
  const signal = of as SignalName
  // One more millisecond: the value is gone right after the age is reached.
  const life = Math.max(lifeOf(graph, signal), staleTimeIn(plan, signal) ?? 0) + 1
  const aged = after(to, milliseconds(life))
  const last = aged < until ? aged : until
  for (let from = to; from < last;) {
    const stretch = await history.readings([signal], from, last, rowsMost)
    const next = stretch.readings.find(
      ({ source, value, quality }) => source !== 'computed' && value !== null && quality !== 'bad',
    )
    if (next !== undefined) return next.at
    from = stretch.to
  }
  return last
}

function staleTimeIn(plan: FarmPlan, signal: SignalName): Milliseconds | null {
  const listening = signalPlanFor(plan, signal)
  return 'unknown' in listening ? null : listening.staleTime
}

/** The state of things just before a moment, from the record. */
export async function progressAt(task: Task, next: EpochMs, ground: Ground): Promise<Progress> {
  const { plan, graph, history } = ground
  const wanted = wantedBy(task, graph)
  const before = await history.usableBefore(inputsOf(graph, wanted), next, reachOf(graph, wanted))
  const minute = after(next, milliseconds(-keepEvery))
  const { readings } = await history.readings([...wanted], minute, next, rowsMost)
  const kept = new Map(
    readings
      .filter(({ source }) => source === 'computed')
      .map(({ signal, at, quality }): [SignalName, Kept] => [signal, { at, quality }]),
  )
  const staleTimeOf = (signal: SignalName) => staleTimeIn(plan, signal)
  const past = beginPast({ from: next, graph, wanted, staleTimeOf, before, kept })
  return { wanted, past, next }
}

/** Computes the next slice of a task anew and compares it with what is in the record. Changes `progress.past`. */
export async function nextSlice(
  { wanted, past, next }: Progress,
  end: EpochMs,
  { graph, history }: Ground,
  now: EpochMs,
): Promise<Slice> {
  const farthest = after(next, spanMost)
  const signals = new Set([...inputsOf(graph, wanted), ...wanted])
  const { readings, to } = await history.readings(
    [...signals],
    next,
    farthest < end ? farthest : end,
    rowsMost,
  )
  const there = new Map(readings.filter(isComputed(wanted)).map((one) => [keyOf(one), one]))
  const isKept = (signal: SignalName, at: EpochMs): boolean => there.has(keyOf({ signal, at }))
  const series = readings.filter(({ source }) => source !== 'computed')
  const keptBefore = (signal: SignalName, at: EpochMs): Kept | null =>
    [...there.values()].findLast((one) => one.signal === signal && one.at < at) ?? null
  const fresh = new Map<string, Computed>()
  for (const one of recomputeSpan(past, series, { to, isKept, keptBefore })) fresh.set(keyOf(one), one)
  // What is not ours to judge yet counts for the minute of what will be, in the next slice.
  for (const one of there.values())
    if (!past.knownSince.has(one.signal)) past.kept.set(one.signal, { at: one.at, quality: one.quality })
  const different = [...fresh.values()].filter((one) => !isSame(there.get(keyOf(one)), one))
  const gone = [...there.values()].filter((one) => !fresh.has(keyOf(one)) && isOurs(past, one))
  return {
    anew: {
      gone: gone.map(({ signal, at }) => ({ signal, at })),
      readings: different.map((one) => readingOf(one, now)),
    },
    changed: gone.length + different.length,
    progress: { wanted, past, next: to },
  }
}

const isComputed =
  (wanted: ReadonlySet<SignalName>) =>
  ({ source, signal }: RecordedReading): boolean =>
    source === 'computed' && wanted.has(signal)

const keyOf = ({ signal, at }: { readonly signal: SignalName; readonly at: EpochMs }): string =>
  `${at} ${signal}`

/** What was computed from readings that are no longer on record stays: nobody could compute it again. */
const isOurs = ({ knownSince }: Past, { signal, at }: RecordedReading): boolean => {
  const since = knownSince.get(signal)
  return since !== undefined && since <= at
}

const isSame = (there: RecordedReading | undefined, { value, quality }: Computed): boolean =>
  there !== undefined && there.quality === quality && there.value === value

const readingOf = ({ signal, at, value, quality, reasons }: Computed, now: EpochMs): Reading => ({
  signal,
  at,
  received: now,
  value,
  quality,
  reasons,
  source: 'computed',
  historical: true,
})
