import { signalPlanFor } from '../farm/on-demand.js'
import type { FarmPlan, Place } from '../farm/plan.js'
import { placeOf, quantityOf, signalName, type SignalName } from '../readings/signal.js'
import { milliseconds, type Milliseconds } from '../units/time.js'
import type { Derivation, DerivationInput, GivenInput, SignalInput, StandIn } from './derivation.js'
import type { Estimation, Estimator, Given } from './estimation.js'
import { derivations, estimations } from './graph.js'
import { watersOf } from './house-figures.js'

/** The computed signals of one farm, and which of them follow from what. */
export interface Graph {
  /** In an order in which every one comes after those it is made from. */
  readonly nodes: ReadonlyMap<SignalName, GraphNode>
  /** What must be computed anew when a signal changes, directly or through others, in that order. */
  readonly dependents: ReadonlyMap<SignalName, readonly GraphNode[]>
  /** Those that have a memory, by name and place: `oxygen_left@tank-1`. */
  readonly estimates: ReadonlyMap<string, EstimateNode>
  /** The same by the signal that they live on. */
  readonly estimatesOn: ReadonlyMap<SignalName, readonly EstimateNode[]>
}

/** An estimation at one place. */
export interface EstimateNode {
  readonly key: string
  readonly place: string
  readonly livesOn: SignalName
  readonly estimator: Estimator
  readonly inputs: readonly NodeInput[]
  readonly gives: readonly {
    readonly signal: SignalName
    readonly unit: string
    readonly derivation: Given
  }[]
  readonly expected: boolean
}

/** One computed signal. */
export interface GraphNode {
  readonly signal: SignalName
  /** Canonical unit. */
  readonly unit: string
  readonly derivation: Derivation
  readonly inputs: readonly NodeInput[]
  /**
   * Whether the farm counts on it. One that is only possible (an open probe pattern, a test kit) says nothing until
   * each of its inputs was heard once.
   */
  readonly expected: boolean
}

export interface NodeInput {
  readonly name: string
  /** What a person calls it. */
  readonly label: string
  readonly unit: string
  /** Null when nothing on the farm can measure it. */
  readonly signal: SignalName | null
  /** Whether a probe is declared for it, or it is computed from one. */
  readonly expected: boolean
  readonly maxAge: Milliseconds
  readonly uncertainAfter: Milliseconds | null
  readonly standIn: StandIn | null
  /** Whether the computation does without it. */
  readonly optional: boolean
}

/** How surely a signal will exist: declared (or computed from what is), possible, or not at all. */
type Sureness = 'declared' | 'possible' | 'none'

/**
 * The computed signals that can exist on this farm: a quantity is computed at a place that nothing measures it at, when
 * everything it needs is measured, may be entered, or has a stand-in.
 */
export function compileGraph(plan: FarmPlan): Graph {
  const nodes = new Map<SignalName, GraphNode>()
  const stage: Stage = { plan, nodes, elsewhere: new Map() }
  for (const derivation of derivations) {
    for (const place of plan.places.values()) {
      const node = nodeAt(derivation, place, stage)
      if (node !== null) nodes.set(node.signal, node)
    }
  }
  const estimates = estimations.flatMap((one) =>
    [...plan.places.values()].flatMap((place) => estimateAt(one, place, stage) ?? []),
  )
  return {
    nodes,
    dependents: dependentsOf([...nodes.values()]),
    estimates: new Map(estimates.map((one) => [one.key, one])),
    estimatesOn: new Map(
      estimates.map(({ livesOn }) => [livesOn, estimates.filter((one) => one.livesOn === livesOn)]),
    ),
  }
}

interface Stage {
  readonly plan: FarmPlan
  readonly nodes: ReadonlyMap<SignalName, GraphNode>
  /** Where a quantity is found for places that do not measure it themselves; sought once, not for each of them. */
  readonly elsewhere: Map<string, SignalName>
}

function nodeAt(derivation: Derivation, place: Place, stage: Stage): GraphNode | null {
  const signal = signalName(place.id, derivation.quantity)
  if (!derivation.places.includes(place.kind) || isMeasured(signal, stage.plan)) return null
  const inputs = derivation.inputs.map(([name, input]) => inputAt(name, input, place, stage))
  if (!inputs.every(canBeHad)) return null
  const sure = inputs.every((input) => input.expected || input.standIn !== null || input.optional)
  const unit = stage.plan.quantities.get(derivation.quantity)?.unit ?? ''
  return { signal, unit, derivation, inputs, expected: sure || stage.plan.signals.has(signal) }
}

const canBeHad = ({ signal, standIn, optional }: NodeInput): boolean =>
  signal !== null || standIn !== null || optional

function estimateAt(estimation: Estimation, place: Place, stage: Stage): EstimateNode | null {
  if (!estimation.places.includes(place.kind)) return null
  const estimator = estimation.at(stage.plan, place)
  const inputs = estimation.inputs.map(([name, input]) => inputAt(name, input, place, stage))
  const livesOn = inputs.find(({ name }) => name === estimation.livesOn)?.signal ?? null
  if (estimator === null || livesOn === null || !inputs.every(canBeHad)) return null
  const gives = estimation.gives
    .map((derivation) => ({ derivation, signal: signalName(place.id, derivation.quantity) }))
    .filter(({ signal }) => !isMeasured(signal, stage.plan))
    .map((one) => ({ ...one, unit: stage.plan.quantities.get(one.derivation.quantity)?.unit ?? '' }))
  const expected = inputs.every((input) => input.expected || input.standIn !== null || input.optional)
  return {
    key: `${estimation.name}@${place.id}`,
    place: place.id,
    livesOn,
    estimator,
    inputs,
    gives,
    expected,
  }
}

/** Measured, not computed: a probe's own value goes before ours. */
function isMeasured(signal: SignalName, plan: FarmPlan): boolean {
  const origin = plan.signals.get(signal)?.origin
  if (origin !== undefined) return origin !== 'computed'
  return patternsFor(signal, plan).some((one) => one.quantity === quantityOf(signal))
}

const patternsFor = (signal: SignalName, { onDemand }: FarmPlan) =>
  onDemand.patterns.filter((one) => one.place === null || one.place === placeOf(signal))

function inputAt(name: string, input: DerivationInput, place: Place, stage: Stage): NodeInput {
  return input.kind === 'given' ? givenAt(name, input, place, stage) : measuredAt(name, input, place, stage)
}

function givenAt(
  name: string,
  { label, unit, from, optional }: GivenInput,
  place: Place,
  { plan }: Stage,
): NodeInput {
  const standIn = from(plan, place)
  return {
    ...{ name, label, unit, standIn, optional },
    ...{ signal: null, expected: false, maxAge: milliseconds(0), uncertainAfter: null },
  }
}

function measuredAt(name: string, input: SignalInput, place: Place, stage: Stage): NodeInput {
  const found = whereOf(input, place, stage)
  const sureness = surenessOf(found, input, place, stage)
  const quantity = stage.plan.quantities.get(input.quantity)
  return {
    name,
    label: quantity?.label ?? input.quantity,
    unit: quantity?.unit ?? '',
    signal: sureness === 'none' ? null : found,
    expected: sureness === 'declared',
    maxAge: maxAgeOf(found, input, stage),
    uncertainAfter: staleTimeOf(found, stage) === null ? input.uncertainAfter : null,
    standIn: input.standIn?.(stage.plan) ?? null,
    optional: input.optional,
  }
}

function whereOf(input: SignalInput, place: Place, stage: Stage): SignalName {
  switch (input.place) {
    case 'same':
      return signalName(place.id, input.quantity)
    case 'farm':
      return nearest(input, place, stage)
    case 'loop':
      return inLoop(input, place, stage)
    case 'outdoors':
    case 'air': {
      const there = [...stage.plan.places.values()].find(({ kind }) => kind === input.place)
      return signalName((there ?? place).id, input.quantity)
    }
  }
}

/** Where it is declared, else in a tank with fish: there keepers dip their kits, and open patterns have their probes. */
function inLoop({ quantity }: SignalInput, place: Place, { plan }: Stage): SignalName {
  const here = signalName(place.id, quantity)
  if (place.fish !== null && isMeasured(here, plan)) return here
  const waters = [place, ...watersOf(plan, place)]
  const isDeclared = ({ id }: Place): boolean =>
    (plan.signals.get(signalName(id, quantity))?.origin ?? 'computed') !== 'computed'
  const found = waters.find(isDeclared) ?? waters.find(({ fish }) => fish !== null) ?? place
  return signalName(found.id, quantity)
}

const order: readonly string[] = ['outdoors', 'air']

/** The place itself, else outdoors, else inside air, else anywhere. */
function nearest({ quantity }: SignalInput, place: Place, { plan, elsewhere }: Stage): SignalName {
  const here = signalName(place.id, quantity)
  if (isMeasured(here, plan)) return here
  const found = elsewhere.get(quantity) ?? soughtFor(quantity, plan) ?? here
  elsewhere.set(quantity, found)
  return found
}

function soughtFor(quantity: string, plan: FarmPlan): SignalName | undefined {
  const rank = ({ kind }: Place): number => (order.indexOf(kind) + order.length + 1) % (order.length + 1)
  const others = [...plan.places.values()].toSorted((a, b) => rank(a) - rank(b))
  const elsewhere = others.map(({ id }) => signalName(id, quantity))
  const anywhere = [...plan.signals.keys()].find(
    (signal) => quantityOf(signal) === quantity && isMeasured(signal, plan),
  )
  return elsewhere.find((signal) => isMeasured(signal, plan)) ?? anywhere ?? elsewhere[0]
}

function surenessOf(signal: SignalName, input: SignalInput, place: Place, { plan, nodes }: Stage): Sureness {
  if (isMeasured(signal, plan)) return 'declared'
  const node = nodes.get(signal)
  if (node !== undefined) return node.expected ? 'declared' : 'possible'
  if (patternsFor(signal, plan).some((one) => one.quantity === null)) return 'possible'
  return input.entered && place.kind !== 'outdoors' ? 'possible' : 'none'
}

/**
 * Of the probe that brings it; null where silence means nothing. A pattern that is open for any quantity does not
 * count: what comes may be an entry from the test kit as well, which is not stale after minutes.
 */
function staleTimeOf(signal: SignalName, { plan }: Stage): Milliseconds | null {
  if (!isMeasured(signal, plan)) return null
  const listening = signalPlanFor(plan, signal)
  return 'unknown' in listening ? null : listening.staleTime
}

/** A probe's own stale time; of a computed input the shortest of what it is made from; else what is declared. */
function maxAgeOf(signal: SignalName, input: SignalInput, stage: Stage): Milliseconds {
  const own = staleTimeOf(signal, stage)
  if (own !== null) return own
  const made = stage.nodes.get(signal)?.inputs.map((one) => one.maxAge) ?? []
  return made.length === 0 ? input.maxAge : (Math.min(...made) as Milliseconds)
}

function dependentsOf(nodes: readonly GraphNode[]): ReadonlyMap<SignalName, readonly GraphNode[]> {
  const all = new Map<SignalName, GraphNode[]>()
  const leadingTo = new Map<SignalName, ReadonlySet<SignalName>>()
  // Nodes are in order: whatever leads to one of its inputs leads to the node as well.
  for (const node of nodes) {
    const leading = new Set<SignalName>()
    for (const { signal } of node.inputs) {
      if (signal === null) continue
      leading.add(signal)
      for (const further of leadingTo.get(signal) ?? []) leading.add(further)
    }
    leadingTo.set(node.signal, leading)
    for (const signal of leading) {
      const known = all.get(signal)
      if (known === undefined) all.set(signal, [node])
      else known.push(node)
    }
  }
  return all
}
