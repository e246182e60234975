import type { FarmPlan, PlaceKind } from '../farm/plan.js'
import type { Milliseconds } from '../units/time.js'

/** A value that stands for an input which nothing measures. */
export interface StandIn {
  readonly value: number
  /** What is assumed: `fresh water`, `standard atmosphere at 80 m`. */
  readonly says: string
}

/** One thing that a derived quantity is made from. */
export interface DerivationInput<Value extends number = number> {
  readonly quantity: string
  /** 'same': at the place itself. 'farm': there, else outdoors, else wherever on the farm it is measured. */
  readonly place: 'same' | 'farm'
  /** Too old to be used, for signals that have no stale time of their own (entered by hand, on change). */
  readonly maxAge: Milliseconds
  /** Older than this it still counts, but makes the result uncertain; null for never. */
  readonly uncertainAfter: Milliseconds | null
  /** Whether people enter it from a test kit: then it may exist without a probe. */
  readonly entered: boolean
  /** What stands for it where it is not measured; null when nothing can. */
  readonly standIn: ((plan: FarmPlan) => StandIn | null) | null
  readonly brand: (value: number) => Value
}

type Values<Inputs> = {
  readonly [Name in keyof Inputs]: Inputs[Name] extends DerivationInput<infer Value> ? Value : never
}

/** How one quantity is made from others, at a place. */
export interface Derivation {
  readonly quantity: string
  readonly places: readonly PlaceKind[]
  readonly inputs: readonly (readonly [name: string, input: DerivationInput])[]
  /** In the quantity's canonical unit; null outside the range in which the equation holds. */
  readonly compute: (values: Readonly<Record<string, number>>) => number | null
  readonly equation: string
  readonly source: string
  /** Where the equation holds, in words. */
  readonly valid: string
}

interface Written<Inputs> {
  readonly places: readonly PlaceKind[]
  readonly inputs: Inputs
  readonly compute: (values: Values<Inputs>) => number | null
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
    compute: (values) => compute(values as Values<Inputs>),
  }
}

/** A value measured by a probe at the same place. */
export const measured = <Value extends number>(
  quantity: string,
  brand: (value: number) => Value,
  maxAge: Milliseconds,
): DerivationInput<Value> => ({
  quantity,
  brand,
  maxAge,
  place: 'same',
  uncertainAfter: null,
  entered: false,
  standIn: null,
})

/** One that people may also enter, and how long an entry counts. */
export const measuredOrEntered = <Value extends number>(
  quantity: string,
  brand: (value: number) => Value,
  { maxAge, uncertainAfter }: { readonly maxAge: Milliseconds; readonly uncertainAfter: Milliseconds },
): DerivationInput<Value> => ({ ...measured(quantity, brand, maxAge), uncertainAfter, entered: true })

export const waterPlaces: readonly PlaceKind[] = ['tank', 'sump', 'biofilter', 'bed', 'pipe_run']
export const airPlaces: readonly PlaceKind[] = ['air', 'outdoors']
