import type { Range } from '../units/range.js'

/** What may be given for an input, and how it is checked. */
export type Shape =
  | {
      readonly kind: 'measure'
      readonly unit: string
      readonly range: Range
      /** A difference of two (60 degF of difference are 33.3 K): no zero is shifted. */
      readonly difference: boolean
      /** What a concentration is counted as: `CaCO3`, `NO2`; null where nothing can be confused. */
      readonly countedAs: string | null
    }
  | { readonly kind: 'measures'; readonly unit: string; readonly range: Range }
  | { readonly kind: 'word'; readonly words: readonly string[] }
  /** A day of the calendar: 2027-01-10. */
  | { readonly kind: 'date' }
  | { readonly kind: 'flag' }

/** A value that has the shape already. */
export type Shaped = number | readonly number[] | string | boolean

/** One input of a calculation; `Value` is what its formula gets: a branded number, a word, a flag. */
export interface Input<Value = unknown> {
  readonly shape: Shape
  /** What stands for an input that was not given; undefined when it must be given. */
  readonly absent: Value | undefined
  readonly take: (shaped: Shaped) => Value
}

/** A formula with its place in the literature. */
export interface Equation {
  readonly id: string
  readonly formula: string
  /** Where it holds, in words. */
  readonly valid: string
  readonly source: string
}

/** Why there is no number, in words for a person. Null means: outside the range of the equation. */
export interface Refused {
  readonly refused: string
}
export const refused = (why: string): Refused => ({ refused: why })
export type Answer = number | null | Refused

/** What a formula gets. */
export type Values<Inputs> = {
  readonly [Name in keyof Inputs]: Inputs[Name] extends Input<infer Value> ? Value : never
}

/** One entry of the catalogue. */
export interface Calculation {
  readonly quantity: string
  /** What it is, in words. */
  readonly label: string
  readonly unit: string
  readonly inputs: Readonly<Record<string, Input>>
  /** What was used to answer; it may depend on what was given. */
  readonly equation: (values: Readonly<Record<string, unknown>>) => Equation
  readonly compute: (values: Readonly<Record<string, unknown>>) => Answer
  readonly cautions: readonly string[]
}

interface Written<Inputs> {
  readonly label: string
  readonly unit: string
  readonly inputs: Inputs
  readonly equation: Equation | ((values: Values<Inputs>) => Equation)
  readonly compute: (values: Values<Inputs>) => Answer
  readonly cautions?: readonly string[]
}

/** Writes an entry so that its formula sees every input in its own type. */
export function calculation<Inputs extends Readonly<Record<string, Input>>>(
  quantity: string,
  written: Written<Inputs>,
): Calculation {
  const { label, unit, inputs, equation, compute, cautions = [] } = written
  const typed = (values: Readonly<Record<string, unknown>>) => values as Values<Inputs>
  return {
    quantity,
    label,
    unit,
    inputs,
    cautions,
    equation: typeof equation === 'function' ? (values) => equation(typed(values)) : () => equation,
    compute: (values) => compute(typed(values)),
  }
}
