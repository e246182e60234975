import type { Quality, ReadingValue } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { after, milliseconds, minutes, type EpochMs, type Milliseconds } from '../units/time.js'
import type { Graph, GraphNode } from './compile-graph.js'
import { evaluate, recompute, type Newest } from './recompute.js'
import type { Computed } from '../readings/computed.js'

/** Computed values are kept once a minute, and whenever their quality changes: they can be computed again at will. */
export const keepEvery = minutes(1)

/** A reading of the record: of a probe, or entered. */
export interface PastReading {
  readonly signal: SignalName
  readonly at: EpochMs
  readonly value: ReadingValue | null
  readonly quality: Quality
}

/**
 * What is known at one moment of the past while it is gone through again. Changed by `recomputeSpan`, so that a year can
 * be taken span after span without holding more than one of them.
 */
export interface Past {
  /** Only what is asked for, and what that is made from. */
  readonly graph: Graph
  readonly wanted: ReadonlySet<SignalName>
  /** Silence after which a signal is stale; null when its silence means nothing. */
  readonly staleTimeOf: (signal: SignalName) => Milliseconds | null
  readonly usable: Map<SignalName, Newest>
  readonly stale: Set<SignalName>
  /** When an input goes stale, and when a computed value must be looked at again because an input grows too old. */
  readonly due: Map<SignalName, EpochMs>
  /** No earlier than this is anything due; null when nothing is. */
  nextDue: EpochMs | null
  readonly kept: Map<SignalName, Kept>
  /** Since when everything that a wanted value is made from is on record. */
  readonly knownSince: Map<SignalName, EpochMs>
}

/** When a computed value was last kept, and of which quality. */
export interface Kept {
  readonly at: EpochMs
  readonly quality: Quality
}

export interface PastRequest {
  /** Where the span begins. */
  readonly from: EpochMs
  readonly graph: Graph
  readonly wanted: ReadonlySet<SignalName>
  readonly staleTimeOf: (signal: SignalName) => Milliseconds | null
  /** The last usable reading of each input before the span, as far as it may still count. */
  readonly before: Iterable<PastReading>
  /** What was last kept of each wanted value before the span. */
  readonly kept: ReadonlyMap<SignalName, Kept>
}

/** The past as it stood just before a span. */
export function beginPast({ from, graph, wanted, staleTimeOf, before, kept }: PastRequest): Past {
  const past: Past = {
    graph: only(graph, wanted),
    wanted,
    staleTimeOf,
    usable: new Map(),
    stale: new Set(),
    due: new Map(),
    nextDue: null,
    kept: new Map(),
    knownSince: new Map(),
  }
  const inOrder = [...before].sort((one, other) => one.at - other.at)
  for (const reading of inOrder) {
    while (fallsDue(past, reading.at) !== null);
    if (take(past, reading)) follow(past, reading.signal, reading.at)
  }
  while (fallsDue(past, from) !== null);
  for (const [signal, one] of kept) past.kept.set(signal, one)
  return past
}

export interface Span {
  /** Left out itself. */
  readonly to: EpochMs
  /** Whether a value of that moment is in the record and so kept again, whatever the minute says. */
  readonly isKept?: (signal: SignalName, at: EpochMs) => boolean
  /** What the record holds of a signal last before a moment: it counts for the minute also where it is not ours to judge. */
  readonly keptBefore?: (signal: SignalName, at: EpochMs) => Kept | null
}

/**
 * The computed values that belong into the record up to `to`, by the same rule as in the present (`watch/computing.ts`):
 * at each change of an input, when one goes stale or grows too old; kept once a minute and whenever their quality
 * changes; of two of one moment the later counts. `readings` are those of all inputs in order of time, from where the last span ended. Nothing is said of a
 * value before each of its inputs is on record: what was computed then from readings that are gone is not ours to judge.
 */
export function* recomputeSpan(
  past: Past,
  readings: Iterable<PastReading>,
  { to, isKept = () => false, keptBefore = () => null }: Span,
): Generator<Computed> {
  const record = { isKept, keptBefore }
  for (const reading of readings) {
    yield* untilDue(past, reading.at, record)
    if (take(past, reading)) yield* keep(past, follow(past, reading.signal, reading.at), record)
  }
  yield* untilDue(past, to, record)
}

type OnRecord = Required<Pick<Span, 'isKept' | 'keptBefore'>>

function* untilDue(past: Past, before: EpochMs, record: OnRecord): Generator<Computed> {
  for (let results = fallsDue(past, before); results !== null; results = fallsDue(past, before))
    yield* keep(past, results, record)
}

/** The inputs of what is asked for, measured and computed: whose readings are needed. */
export const inputsOf = (graph: Graph, wanted: ReadonlySet<SignalName>): readonly SignalName[] => [
  ...only(graph, wanted).dependents.keys(),
]

/** How far back a reading may lie and still count, at most. */
export const reachOf = (graph: Graph, wanted: ReadonlySet<SignalName>): Milliseconds =>
  longest([...only(graph, wanted).nodes.values()].flatMap((node) => node.inputs))

/** How long one reading of this signal counts, at most, for anything that follows from it. */
export const lifeOf = (graph: Graph, signal: SignalName): Milliseconds =>
  longest(
    (graph.dependents.get(signal) ?? []).flatMap((node) =>
      node.inputs.filter((input) => input.signal === signal),
    ),
  )

const longest = (inputs: readonly { readonly maxAge: Milliseconds }[]): Milliseconds =>
  inputs.reduce((most, { maxAge }) => (maxAge > most ? maxAge : most), 0 as Milliseconds)

/** The part of the graph that leads to these signals. */
function only(graph: Graph, wanted: ReadonlySet<SignalName>): Graph {
  const nodes = new Map<SignalName, GraphNode>()
  const needed = new Set<SignalName | null>(wanted)
  // From the end: what a node is made from stands before it.
  for (const [signal, node] of [...graph.nodes].reverse()) {
    if (!needed.has(signal)) continue
    nodes.set(signal, node)
    for (const input of node.inputs) needed.add(input.signal)
  }
  const dependents = [...graph.dependents].flatMap(([signal, all]) => {
    const those = all.filter((node) => nodes.has(node.signal))
    return those.length === 0 ? [] : [[signal, those] as const]
  })
  return { ...graph, nodes: new Map([...nodes].reverse()), dependents: new Map(dependents) }
}

/** Notes a reading; false when it says nothing that can be computed with. */
function take(past: Past, { signal, at, value, quality }: PastReading): boolean {
  if (quality === 'bad' || value === null || !past.graph.dependents.has(signal)) return false
  past.usable.set(signal, { at, value, quality })
  past.stale.delete(signal)
  const staleTime = past.staleTimeOf(signal)
  if (staleTime !== null) appoint(past, signal, after(at, staleTime))
  return true
}

function appoint(past: Past, signal: SignalName, at: EpochMs): void {
  past.due.set(signal, at)
  if (past.nextDue === null || at < past.nextDue) past.nextDue = at
}

/** Lets the next thing happen that is due before this, and gives what follows; null when nothing is due. */
function fallsDue(past: Past, before: EpochMs): readonly Computed[] | null {
  while (past.nextDue !== null && past.nextDue < before) {
    const next = earliest(past.due)
    // What was known to be next may have moved on since.
    past.nextDue = next?.at ?? null
    if (next === null || next.at >= before) return null
    past.due.delete(next.signal)
    const node = past.graph.nodes.get(next.signal)
    if (node !== undefined) return remembered(past, [evaluate(node, next.at, newestOf(past))])
    past.stale.add(next.signal)
    return follow(past, next.signal, next.at)
  }
  return null
}

interface Due {
  readonly signal: SignalName
  readonly at: EpochMs
}

function earliest(due: ReadonlyMap<SignalName, EpochMs>): Due | null {
  let first: Due | null = null
  for (const [signal, at] of due) if (first === null || at < first.at) first = { signal, at }
  return first
}

const newestOf =
  (past: Past) =>
  (signal: SignalName): Newest | null => {
    const usable = past.usable.get(signal)
    if (usable === undefined) return null
    return past.stale.has(signal) ? { ...usable, quality: 'bad' } : usable
  }

const follow = (past: Past, changed: SignalName, at: EpochMs): readonly Computed[] =>
  remembered(past, recompute(past.graph, changed, at, newestOf(past)))

/** Remembers what was computed as the watch does (`watch/computing.ts`), and gives what was asked for. */
function remembered(past: Past, results: readonly Computed[]): readonly Computed[] {
  for (const { signal, at, value, quality, until } of results) {
    // It changes right after the age is reached, not at it.
    if (until === null) past.due.delete(signal)
    else appoint(past, signal, after(until, milliseconds(1)))
    if (quality === 'bad') past.stale.add(signal)
    else {
      past.stale.delete(signal)
      if (value === null) past.usable.delete(signal)
      else past.usable.set(signal, { at, value, quality })
    }
  }
  const wanted = results.filter(({ signal }) => past.wanted.has(signal))
  for (const { signal, at } of wanted)
    if (!past.knownSince.has(signal) && isOnRecord(past, signal)) past.knownSince.set(signal, at)
  return wanted
}

/** Whether everything that a value is made from is on record by now; once it is, it stays so. */
function isOnRecord(past: Past, signal: SignalName): boolean {
  const node = past.graph.nodes.get(signal)
  if (node === undefined) return past.usable.has(signal)
  return node.inputs.every(
    (input) =>
      input.standIn !== null ||
      input.optional ||
      (input.signal !== null && (past.usable.has(input.signal) || isOnRecord(past, input.signal))),
  )
}

function* keep(
  past: Past,
  results: readonly Computed[],
  { isKept, keptBefore }: OnRecord,
): Generator<Computed> {
  for (const one of results) {
    const { signal, at, quality } = one
    const isFirst = past.knownSince.get(signal) === at
    const before = (isFirst ? keptBefore(signal, at) : null) ?? past.kept.get(signal)
    const isDue = before === undefined || before.quality !== quality || at - before.at >= keepEvery
    if (!isDue && (before.at === at || !isKept(signal, at))) continue
    past.kept.set(signal, { at, quality })
    if (past.knownSince.has(signal)) yield one
  }
}
