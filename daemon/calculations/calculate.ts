import { Fault } from '../errors.js'
import { converter } from '../units/convert.js'
import { didYouMean } from '../units/nearest-name.js'
import { inputAliases, quantityAliases } from './aliases.js'
import type { Calculation, Equation, Shaped } from './calculation.js'
import { catalogue } from './catalogue.js'
import { readInput, type Given } from './read-input.js'

/** A computed value with everything that a person needs to judge it. */
export interface Calculated {
  readonly quantity: string
  readonly value: number
  readonly unit: string
  readonly inputs: readonly UsedInput[]
  readonly equation: Equation
  readonly cautions: readonly string[]
}

/** An input in the unit that the formula takes. */
export interface UsedInput {
  readonly name: string
  readonly value: Shaped
  readonly unit: string
  /** False when it was left out and this is what stands for it. */
  readonly given: boolean
}

/** The entry of that name, or of that alias. Throws BW_CALC with the nearest names. */
export function calculationNamed(quantity: string): Calculation {
  const found = catalogue.get(quantity) ?? catalogue.get(quantityAliases[quantity] ?? '')
  if (found !== undefined) return found
  const known = [...catalogue.keys(), ...Object.keys(quantityAliases)]
  throw new Fault('BW_CALC', `nothing here computes "${quantity}"`, didYouMean(quantity, known))
}

/**
 * Computes one value. Throws BW_CALC for an unknown quantity or input, a missing input, a value outside what is
 * allowed, and where the equation does not hold; BW_UNIT for a unit that does not fit.
 */
export function calculate(quantity: string, given: ReadonlyMap<string, Given>): Calculated {
  const entry = calculationNamed(quantity)
  const named = new Map([...given].map(([name, value]) => [inputNamed(entry, name), value]))
  const used: UsedInput[] = []
  const values: Record<string, unknown> = {}
  for (const [name, input] of Object.entries(entry.inputs)) {
    const raw = named.get(name)
    if (raw === undefined && input.absent === undefined) throw missing(entry, name)
    if (raw === undefined) {
      values[name] = input.absent
      if (input.absent !== null)
        used.push({ name, value: input.absent as Shaped, unit: unitOf(entry, name), given: false })
      continue
    }
    const { shaped, value } = readInput(name, input, raw)
    values[name] = value
    used.push({ name, value: shaped, unit: unitOf(entry, name), given: true })
  }
  return {
    ...answer(entry, values),
    quantity: entry.quantity,
    unit: entry.unit,
    inputs: used,
    cautions: entry.cautions,
  }
}

function answer(
  entry: Calculation,
  values: Readonly<Record<string, unknown>>,
): { value: number; equation: Equation } {
  const got = entry.compute(values)
  if (typeof got === 'object' && got !== null) throw new Fault('BW_CALC', `${entry.quantity}: ${got.refused}`)
  const equation = entry.equation(values)
  if (got !== null && Number.isFinite(got)) return { value: got, equation }
  throw new Fault(
    'BW_CALC',
    `${entry.quantity}: outside the range in which this holds`,
    `valid: ${equation.valid}`,
  )
}

/** The unit of an input as it is shown: `mg/L as CaCO3`; '' for words and flags. */
export function unitOf(entry: Calculation, name: string): string {
  const shape = entry.inputs[name]?.shape
  if (shape?.kind === 'measures') return shape.unit
  if (shape?.kind !== 'measure') return ''
  return shape.countedAs === null ? shape.unit : `${shape.unit} as ${shape.countedAs}`
}

function inputNamed(entry: Calculation, written: string): string {
  const names = Object.keys(entry.inputs)
  if (Object.hasOwn(entry.inputs, written)) return written
  const alias = inputAliases[written.toLowerCase()] ?? written
  const found = names.find((name) => name.toLowerCase() === alias.toLowerCase())
  if (found !== undefined) return found
  const hint = names.length === 0 ? 'it takes no inputs' : didYouMean(written, names)
  throw new Fault('BW_CALC', `${entry.quantity} takes no input "${written}"`, hint)
}

function missing(entry: Calculation, name: string): Fault {
  const shape = entry.inputs[name]?.shape
  const unit = unitOf(entry, name)
  const example = unit === '1' || unit === '' ? `${name}=…` : `${name}="… ${unit}"`
  const right = shape?.kind === 'word' ? `one of: ${shape.words.slice(0, 12).join('; ')}` : `write ${example}`
  return new Fault('BW_CALC', `${entry.quantity} needs the input "${name}"`, right)
}

/** The value in another unit of the same kind. Throws BW_UNIT when there is no way from one to the other. */
export function inUnit(
  { value, unit }: { readonly value: number; readonly unit: string },
  wanted: string,
): number {
  return unit === wanted ? value : converter(unit, wanted)(value)
}
