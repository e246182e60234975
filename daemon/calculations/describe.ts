import { unitOf, type Calculated } from './calculate.js'
import type { Calculation, Shape } from './calculation.js'
import { rangeInWords } from './read-input.js'

/** One input as people are told of it. */
export interface DescribedInput {
  readonly name: string
  readonly unit: string
  readonly optional: boolean
  /** What may be given: a range, a list of words. */
  readonly takes: string
}

/** One entry of the catalogue as people are told of it. */
export interface DescribedCalculation {
  readonly quantity: string
  readonly label: string
  readonly unit: string
  readonly inputs: readonly DescribedInput[]
}

export const describeCalculation = (entry: Calculation): DescribedCalculation => ({
  quantity: entry.quantity,
  label: entry.label,
  unit: entry.unit,
  inputs: Object.entries(entry.inputs).map(([name, { absent, shape }]) => ({
    name,
    unit: unitOf(entry, name),
    optional: absent !== undefined,
    takes: takes(shape, unitOf(entry, name)),
  })),
})

function takes(shape: Shape, unit: string): string {
  switch (shape.kind) {
    case 'measure':
      return rangeInWords(shape.range, unit)
    case 'measures':
      return `a list of numbers in ${unit}`
    case 'word':
      return `one of: ${shape.words.join('; ')}`
    case 'date':
      return 'a date such as 2027-01-10'
    case 'flag':
      return 'true or false'
  }
}

/** A result as `--json` and the HTTP side give it. What lies outside the valid range is refused, so it is always inside. */
export function resultAsJson({ quantity, value, unit, inputs, equation, cautions }: Calculated) {
  const { id, formula, valid, source } = equation
  const validity = { kind: 'inside' as const, range: valid }
  return { quantity, value, unit, inputs, equation: { id, formula }, validity, source, cautions }
}
