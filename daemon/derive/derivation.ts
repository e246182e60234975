import type { FarmPlan, Place, PlaceKind } from '../farm/plan.js'
import type { EpochMs, Milliseconds } from '../units/time.js'

/** A value that stands for an input which nothing measures. */
export interface StandIn {
  readonly value: number
  /** What is assumed: `fresh water`, `standard atmosphere at 80 m`. */
  readonly says: string
}

/** One thing that a derived quantity is made from: measured, or written in the configuration. */
export type DerivationInput<Value extends number | null = number | null> =
  SignalInput<Value> | GivenInput<Value>

export interface SignalInput<Value extends number | null = number | null> {
  readonly kind: 'signal'
  readonly quantity: string
  /**
   * 'same': at the place itself. 'farm': there, else outdoors, else wherever on the farm it is measured. 'outdoors' and
   * 'air': at the first place of that kind. 'loop': there, else in the water that flows to it and from it.
   */
  readonly place: 'same' | 'farm' | 'outdoors' | 'air' | 'loop'
  /** Too old to be used, for signals that have no stale time of their own (entered by hand, on change). */
  readonly maxAge: Milliseconds
  /** Older than this it still counts, but makes the result uncertain; null for never. */
  readonly uncertainAfter: Milliseconds | null
  /** Whether people enter it from a test kit: then it may exist without a probe. */
  readonly entered: boolean
  /** What stands for it where it is not measured; null when nothing can. */
  readonly standIn: ((plan: FarmPlan) => StandIn | null) | null
  /** Whether the computation does without it: it then gets null. */
  readonly optional: boolean
  readonly brand: (value: number) => Value
}

/** A figure of the configuration, such as the area of a cover. Where it is not written nothing is computed (see optional). */
export interface GivenInput<Value extends number | null = number | null> {
  readonly kind: 'given'
  /** What a person calls it. */
  readonly label: string
  readonly unit: string
  readonly from: (plan: FarmPlan, place: Place) => StandIn | null
  /** Whether the computation does without it: it then gets null. */
  readonly optional: boolean
  readonly brand: (value: number) => Value
}

type Values<Inputs> = {
  readonly [Name in keyof Inputs]: Inputs[Name] extends DerivationInput<infer Value> ? Value : never
}

/** What a computation says where a bare number is not enough. */
export interface Told {
  /** Null when nothing is foreseen, which is an answer and no failure: `says` tells it. */
  readonly value: number | null
  /** The truth lies between these four times out of five; null for an end that nothing bounds. */
  readonly low: number | null
  readonly high: number | null
  /** The level that is counted down to. */
  readonly limit: number | null
  /** What a person should know of it: why nothing is foreseen, or what makes it doubtful. */
  readonly says: string | null
  readonly doubtful: boolean
}

/** How one quantity is made from others, at a place. */
export interface Derivation {
  readonly quantity: string
  readonly places: readonly PlaceKind[]
  readonly inputs: readonly (readonly [name: string, input: DerivationInput])[]
  /** In the quantity's canonical unit; null outside the range in which the equation holds. */
  readonly compute: (values: Readonly<Record<string, number | null>>, at: EpochMs) => number | Told | null
  readonly equation: string
  readonly source: string
  /** Where the equation holds, in words. */
  readonly valid: string
}

interface Written<Inputs> {
  readonly places: readonly PlaceKind[]
  readonly inputs: Inputs
  readonly compute: (values: Values<Inputs>, at: EpochMs) => number | Told | null
  readonly equation: string
  readonly source: string
  readonly valid: string
}

/** Writes a derivation so that its formula sees every input in its own unit. */
export function derivation<Inputs extends Readonly<Record<string, DerivationInput>>>(
  quantity: string,
  { inputs, compute, ...rest }: Written<Inputs>,
): Derivation {
  return {
    quantity,
    ...rest,
    inputs: Object.entries(inputs),
    compute: (values, at) => compute(values as Values<Inputs>, at),
  }
}

/** A value measured by a probe at the same place. */
export const measured = <Value extends number>(
  quantity: string,
  brand: (value: number) => Value,
  maxAge: Milliseconds,
): SignalInput<Value> => ({
  kind: 'signal',
  quantity,
  brand,
  maxAge,
  place: 'same',
  uncertainAfter: null,
  entered: false,
  standIn: null,
  optional: false,
})

/** The same, where the computation does without it if it is not measured. */
export const whereMeasured = <Value extends number>(
  input: SignalInput<Value>,
): SignalInput<Value | null> => ({
  ...input,
  optional: true,
})

/** A figure of the configuration; `from` gives it in `unit`, null where it is not written. */
export const given = <Value extends number>(
  [label, unit]: readonly [label: string, unit: string],
  brand: (value: number) => Value,
  from: (plan: FarmPlan, place: Place) => StandIn | null,
): GivenInput<Value> => ({ kind: 'given', label, unit, brand, from, optional: false })

/** The same, where the computation does without it if it is not written. */
export const whereWritten = <Value extends number>(input: GivenInput<Value>): GivenInput<Value | null> => ({
  ...input,
  optional: true,
})

/** One that people may also enter, and how long an entry counts. */
export const measuredOrEntered = <Value extends number>(
  quantity: string,
  brand: (value: number) => Value,
  { maxAge, uncertainAfter }: { readonly maxAge: Milliseconds; readonly uncertainAfter: Milliseconds },
): SignalInput<Value> => ({ ...measured(quantity, brand, maxAge), uncertainAfter, entered: true })

export const waterPlaces: readonly PlaceKind[] = ['tank', 'sump', 'biofilter', 'bed', 'pipe_run']
export const airPlaces: readonly PlaceKind[] = ['air', 'outdoors']
