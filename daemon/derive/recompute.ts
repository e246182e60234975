import { worse, type Quality, type ReadingValue } from '../readings/reading.js'
import type { SignalName } from '../readings/signal.js'
import { after, between, milliseconds, type EpochMs, type Milliseconds } from '../units/time.js'
import type { Graph, GraphNode, NodeInput } from './compile-graph.js'

/** The newest judged value of a signal; a `Reading` is one. */
export interface Newest {
  readonly value: ReadingValue | null
  readonly quality: Quality
  readonly at: EpochMs
}
export type ReadNewest = (signal: SignalName) => Newest | null

/** A computed value, and how it was computed. */
export interface Derived {
  readonly signal: SignalName
  readonly at: EpochMs
  /** In `unit`; null when it cannot be told, and `reasons` say why. */
  readonly value: number | null
  readonly unit: string
  /** 'bad' when there is no value; at most as good as the worst input. */
  readonly quality: Quality
  readonly reasons: readonly string[]
  readonly inputs: readonly DerivedInput[]
  /** Id of the equation, as the catalogue has it. */
  readonly equation: string
  readonly source: string
  /** When an input becomes too old for this quality, so that it must be looked at again; null for never. */
  readonly until: EpochMs | null
}

/** What was used for one input. */
export interface DerivedInput {
  readonly name: string
  /** Null when nothing measures it and `assumed` says what was taken. */
  readonly signal: SignalName | null
  readonly value: number | null
  readonly unit: string
  readonly age: Milliseconds | null
  readonly quality: Quality
  readonly assumed: string | null
}

/**
 * Computes anew what follows from the changed signal, and only that, each after those it is made from. `at` is the time
 * of the change; `read` gives the newest judged values, the changed one included.
 */
export function recompute(
  graph: Graph,
  changed: SignalName,
  at: EpochMs,
  read: ReadNewest,
): readonly Derived[] {
  const nodes = graph.dependents.get(changed)
  if (nodes === undefined) return nothing
  const results: Derived[] = []
  const newest: ReadNewest = (signal) => results.find((one) => one.signal === signal) ?? read(signal)
  for (const node of nodes) {
    if (node.expected || heard(node, newest)) results.push(evaluate(node, at, newest))
  }
  return results
}

const nothing: readonly Derived[] = []

const heard = (node: GraphNode, newest: ReadNewest): boolean =>
  node.inputs.every(({ signal, standIn }) => standIn !== null || (signal !== null && newest(signal) !== null))

/** One signal anew: also for the time that `until` told. */
export function evaluate(node: GraphNode, at: EpochMs, newest: ReadNewest): Derived {
  const values: Record<string, number> = {}
  const inputs: DerivedInput[] = []
  const reasons: string[] = []
  let quality: Quality = 'good'
  let until: EpochMs | null = null
  let complete = true
  for (const input of node.inputs) {
    const got = input.signal === null ? null : newest(input.signal)
    const { used, why, changesAt } = judge(input, got, at)
    inputs.push(used)
    if (why !== null) reasons.push(why)
    if (changesAt !== null && (until === null || changesAt < until)) until = changesAt
    if (used.value === null) complete = false
    else values[input.name] = used.value
    quality = worse(quality, used.quality)
  }
  const value = complete ? node.derivation.compute(values) : null
  if (complete && value === null)
    reasons.push(`outside the range in which it can be computed (${node.derivation.valid})`)
  const { signal, unit, derivation } = node
  const { equation, source } = derivation
  return {
    signal,
    at,
    value,
    unit,
    quality: value === null ? 'bad' : quality,
    reasons,
    inputs,
    equation,
    source,
    until,
  }
}

interface Judged {
  readonly used: DerivedInput
  readonly why: string | null
  /** When its age will change this judgement. */
  readonly changesAt: EpochMs | null
}

function judge(input: NodeInput, got: Newest | null, at: EpochMs): Judged {
  const unusable = whyUnusable(input, got, at)
  if (got === null || unusable !== null || typeof got.value !== 'number')
    return standingIn(input, got, unusable)
  const { name, signal, unit, label, maxAge, uncertainAfter } = input
  const age = milliseconds(Math.max(0, between(got.at, at)))
  const old = uncertainAfter !== null && age > uncertainAfter
  const quality = old ? worse(got.quality, 'uncertain') : got.quality
  const why = old
    ? `${label} is ${inWords(age)} old`
    : got.quality === 'good'
      ? null
      : `${label} is ${got.quality}`
  const changesAt = after(got.at, old || uncertainAfter === null ? maxAge : uncertainAfter)
  return { used: { name, signal, value: got.value, unit, age, quality, assumed: null }, why, changesAt }
}

/** Null when the value may be used. */
function whyUnusable({ label, maxAge }: NodeInput, got: Newest | null, at: EpochMs): string | null {
  if (got === null) return `${label}: nothing heard yet`
  if (got.quality === 'bad' || typeof got.value !== 'number') return `${label} is bad`
  const age = between(got.at, at)
  return age > maxAge ? `${label} is ${inWords(age)} old, more than ${inWords(maxAge)}` : null
}

/**
 * What is taken instead. It is as good as anything where the farm has no probe for it, and uncertain where a probe
 * should have told: something is wrong there.
 */
function standingIn(input: NodeInput, got: Newest | null, unusable: string | null): Judged {
  const { name, signal, unit, standIn } = input
  const age = null
  if (standIn === null) {
    return {
      used: { name, signal, value: null, unit, age, quality: 'bad', assumed: null },
      why: unusable,
      changesAt: null,
    }
  }
  const failed = input.expected || got !== null
  const quality: Quality = failed ? 'uncertain' : 'good'
  const why = failed && unusable !== null ? `${unusable}: taken as ${standIn.says}` : null
  return {
    used: { name, signal, value: standIn.value, unit, age, quality, assumed: standIn.says },
    why,
    changesAt: null,
  }
}

const steps = [
  [86_400_000, 'd'],
  [3_600_000, 'h'],
  [60_000, 'min'],
] as const

/** `4 d`, `2 h`, `90 s`: whole units, of the largest that there are two of. */
function inWords(age: Milliseconds): string {
  const [length, unit] = steps.find(([step]) => age >= 2 * step) ?? [1000, 's']
  return `${Math.round(age / length)} ${unit}`
}
