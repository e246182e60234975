import { worse, type Quality, type ReadingValue } from '../readings/reading.js'
import type { Computed, ComputedInput } from '../readings/computed.js'
import type { SignalName } from '../readings/signal.js'
import { after, between, milliseconds, type EpochMs, type Milliseconds } from '../units/time.js'
import type { EstimateNode, Graph, GraphNode, NodeInput } from './compile-graph.js'
import type { Derivation, Told } from './derivation.js'
import type { Seen } from './estimation.js'

/** The newest judged value of a signal; a `Reading` is one. */
export interface Newest {
  readonly value: ReadingValue | null
  readonly quality: Quality
  readonly at: EpochMs
}
export type ReadNewest = (signal: SignalName) => Newest | null

/**
 * Computes anew what follows from the changed signal, and only that, each after those it is made from. `at` is the time
 * of the change; `read` gives the newest judged values, the changed one included.
 */
export function recompute(
  graph: Graph,
  changed: SignalName,
  at: EpochMs,
  read: ReadNewest,
): readonly Computed[] {
  const nodes = graph.dependents.get(changed)
  if (nodes === undefined) return nothing
  const results: Computed[] = []
  const newest: ReadNewest = (signal) => results.find((one) => one.signal === signal) ?? read(signal)
  for (const node of nodes) {
    if (node.expected || heard(node, newest)) results.push(evaluate(node, at, newest))
  }
  return results
}

const nothing: readonly Computed[] = []

const heard = (node: GraphNode, newest: ReadNewest): boolean =>
  node.inputs.every(
    ({ signal, standIn, optional }) =>
      standIn !== null || optional || (signal !== null && newest(signal) !== null),
  )

/** One signal anew: also for the time that `until` told. */
export function evaluate(node: GraphNode, at: EpochMs, newest: ReadNewest): Computed {
  const given = gather(node.inputs, at, newest)
  const { derivation } = node
  const computed = given.complete ? derivation.compute(given.values, at) : null
  const outside = `outside the range in which it can be computed (${derivation.valid})`
  return conclude(node, at, given, computed ?? (given.complete ? outside : null))
}

/** What the inputs of a node are worth now. */
export interface Gathered {
  readonly values: Readonly<Record<string, number | null>>
  readonly inputs: readonly ComputedInput[]
  readonly reasons: readonly string[]
  readonly quality: Quality
  readonly until: EpochMs | null
  /** Whether everything is there that the computation cannot do without. */
  readonly complete: boolean
}

export function gather(from: readonly NodeInput[], at: EpochMs, newest: ReadNewest): Gathered {
  const values: Record<string, number | null> = {}
  const inputs: ComputedInput[] = []
  const reasons: string[] = []
  let quality: Quality = 'good'
  let until: EpochMs | null = null
  let complete = true
  for (const input of from) {
    const got = input.signal === null ? null : newest(input.signal)
    const { used, why, changesAt } = judge(input, got, at)
    inputs.push(used)
    if (why !== null) reasons.push(why)
    if (changesAt !== null && (until === null || changesAt < until)) until = changesAt
    if (used.value === null && !input.optional) complete = false
    values[input.name] = used.value
    quality = worse(quality, used.quality)
  }
  return { values, inputs, reasons, quality, until, complete }
}

/** A value, or in words why there is none; null when the inputs already say why. */
export type Outcome = number | Told | string | null

/** A computed value from what its inputs are worth and what came of them. */
export function conclude(
  { signal, unit, derivation }: Pick<GraphNode, 'signal' | 'unit'> & { readonly derivation: Explained },
  at: EpochMs,
  { inputs, reasons, quality, until }: Gathered,
  outcome: Outcome,
): Computed {
  const told = typeof outcome === 'object' ? outcome : null
  const value = typeof outcome === 'number' ? outcome : (told?.value ?? null)
  const failed = told === null && value === null
  const more = typeof outcome === 'string' ? outcome : (told?.says ?? null)
  // Written out one by one: with a spread among so many, V8 makes a dictionary of it, which took 25 us a value.
  return {
    signal,
    at,
    value,
    unit,
    quality: failed ? 'bad' : told?.doubtful === true ? worse(quality, 'uncertain') : quality,
    low: told?.low ?? null,
    high: told?.high ?? null,
    limit: told?.limit ?? null,
    reasons: more === null ? reasons : [more, ...reasons],
    inputs,
    equation: derivation.equation,
    source: derivation.source,
    until,
  }
}

type Explained = Pick<Derivation, 'equation' | 'source'>

interface Judged {
  readonly used: ComputedInput
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
  return {
    used: { name, label, signal, value: got.value, unit, age, quality, assumed: null },
    why,
    changesAt,
  }
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
  const { name, label, signal, unit, standIn } = input
  const age = null
  const failed = input.expected || got !== null
  if (standIn === null) {
    const quality: Quality = !input.optional ? 'bad' : failed ? 'uncertain' : 'good'
    return {
      used: {
        name,
        label,
        signal,
        value: null,
        unit,
        age,
        quality,
        assumed: input.optional ? 'not known' : null,
      },
      why: input.optional && !failed ? null : unusable,
      changesAt: null,
    }
  }
  const quality: Quality = failed ? 'uncertain' : 'good'
  const why = failed && unusable !== null ? `${unusable}: taken as ${standIn.says}` : null
  return {
    used: { name, label, signal, value: standIn.value, unit, age, quality, assumed: standIn.says },
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

/** What an estimation came to: its new memory, and the values it gives. */
export interface Estimated {
  readonly memory: unknown
  readonly learnt: boolean
  readonly derived: readonly Computed[]
}

/** Lets an estimation take in what is new: a reading (`heard`), or only that time or the equipment has moved on. */
export function estimate(
  node: EstimateNode,
  memory: unknown,
  { at, supply, heard }: Pick<Seen, 'at' | 'supply' | 'heard'>,
  newest: ReadNewest,
): Estimated {
  const given = gather(node.inputs, at, newest)
  if (!given.complete) {
    const derived = node.gives.map((one) => conclude(one, at, given, null))
    return { memory, learnt: false, derived }
  }
  const step = node.estimator.step(memory, { at, values: given.values, supply, heard })
  const derived = node.gives.map((one) =>
    conclude(one, at, given, step.answers[one.derivation.quantity] ?? null),
  )
  return { memory: step.memory, learnt: step.learnt, derived }
}
