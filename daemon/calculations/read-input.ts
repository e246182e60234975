import { Fault } from '../errors.js'
import {
  reportedAs,
  calciumCarbonatePerDegree,
  calciumCarbonatePerEquivalent,
  molarMass,
} from '../chemistry/molar-masses.js'
import { converter, differenceConverter, parseMeasure } from '../units/convert.js'
import { didYouMean } from '../units/nearest-name.js'
import { inside, type Range } from '../units/range.js'
import { parseRfc3339 } from '../units/time.js'
import type { Input, Shape, Shaped } from './calculation.js'

/** What a person typed, or a row says: `20degC`, `true`, `nile tilapia`, 20, { value: 20, unit: 'degC' }. */
export type Given = string | number | boolean | readonly number[] | Measured
export interface Measured {
  readonly value: number
  readonly unit: string
}

const fault = (message: string, hint = ''): Fault => new Fault('BW_CALC', message, hint)

/**
 * The value of one input in the type that the formula takes. Throws BW_CALC when it is no such thing or lies outside
 * what is allowed, BW_UNIT when its unit is unknown or does not fit.
 */
export function readInput(
  name: string,
  input: Input,
  given: Given,
): { readonly shaped: Shaped; readonly value: unknown } {
  try {
    const shaped = shape(name, input.shape, given)
    return { shaped, value: input.take(shaped) }
  } catch (cause) {
    if (!(cause instanceof Fault) || cause.code !== 'BW_UNIT') throw cause
    throw new Fault('BW_UNIT', `${name}: ${cause.message}`, cause.hint, { cause })
  }
}

function shape(name: string, wanted: Shape, given: Given): Shaped {
  switch (wanted.kind) {
    case 'measure':
      return checked(name, wanted, measured(name, wanted, given))
    case 'measures':
      return many(given, name, wanted.unit).map((value) => checked(name, wanted, value))
    case 'word':
      return knownWord(name, wanted.words, given)
    case 'date':
      return day(name, given)
    case 'flag':
      return yesOrNo(name, given)
  }
}

type MeasureShape = Extract<Shape, { kind: 'measure' }>

function measured(name: string, wanted: MeasureShape, given: Given): number {
  const { value, unit, countedAs } = apart(name, given, wanted.unit)
  if (unit === '1' && wanted.unit !== '1')
    throw fault(
      `${name}: a bare number where a unit is due`,
      `write for example ${name}="${value} ${written(wanted)}"`,
    )
  const special = alkalinityUnits[unit]
  if (special !== undefined && wanted.countedAs === 'CaCO3') return value * special
  const factor = recounted(name, countedAs, wanted)
  if (unit === wanted.unit) return value * factor
  const convert = wanted.difference ? differenceConverter : converter
  return convert(unit, wanted.unit)(value) * factor
}

const written = (wanted: MeasureShape): string =>
  wanted.countedAs === null ? wanted.unit : `${wanted.unit} as ${wanted.countedAs}`

/** Units that are not UCUM's, because they say what is counted. mg/L as CaCO3 in one of each. */
const alkalinityUnits: Readonly<Record<string, number>> = {
  dKH: calciumCarbonatePerDegree,
  'meq/L': calciumCarbonatePerEquivalent,
}

/** ` as NO2` says what the milligrams are of; ` BOD5` (organic load) is written without the `as`. */
const counted = /^(.*?)\s+(?:as\s+([A-Z]\w*)|(BOD5))$/s

function countedApart(text: string): { readonly before: string; readonly countedAs: string | null } {
  const [, before = text, species, load] = counted.exec(text.trim()) ?? []
  return { before, countedAs: species ?? load ?? null }
}

interface Apart extends Measured {
  readonly countedAs: string | null
}

function apart(name: string, given: Given, unit: string): Apart {
  if (typeof given === 'number') return { value: given, unit: '1', countedAs: null }
  if (typeof given === 'string') {
    const { before, countedAs } = countedApart(given)
    const number = /^\s*[-+]?[\d.]+(?:[eE][-+]?\d+)?/.exec(before)?.[0] ?? ''
    const rest = before.slice(number.length).trim()
    // These are no units of the converter, or need none; the number before them still goes through it.
    if (Object.hasOwn(alkalinityUnits, rest) || rest === unit)
      return { value: parseMeasure(number).value, unit: rest, countedAs }
    return { ...parseMeasure(before), countedAs }
  }
  if (typeof given === 'object' && 'value' in given && Number.isFinite(given.value)) {
    const { before, countedAs } = countedApart(given.unit)
    return { value: given.value, unit: before, countedAs }
  }
  throw fault(
    `${name}: ${JSON.stringify(given)} is no number with a unit`,
    `write for example ${name}="1 ${unit}"`,
  )
}

type Nitrogen = Parameters<typeof reportedAs>[0]
const nitrogen: readonly string[] = ['N', 'NH3', 'NH4', 'NO2', 'NO3'] satisfies Nitrogen[]
const isNitrogen = (name: string): name is Nitrogen => nitrogen.includes(name)
/** g/mol of positive charge that each takes up as alkalinity. */
const perEquivalent: Readonly<Record<string, number>> = {
  CaCO3: calciumCarbonatePerEquivalent,
  HCO3: molarMass.HCO3,
}

/** The factor from what the value is counted as to what is wanted. */
function recounted(name: string, from: string | null, { countedAs: to, unit }: MeasureShape): number {
  if (from === null || from === to) return 1
  if (to !== null) {
    if (isNitrogen(from) && isNitrogen(to)) return reportedAs(from, to)
    const [had, wanted] = [perEquivalent[from], perEquivalent[to]]
    if (had !== undefined && wanted !== undefined) return wanted / had
  }
  throw fault(`${name}: is counted as ${from}`, `give it in ${unit}${to === null ? '' : ` as ${to}`}`)
}

function many(given: Given, name: string, unit: string): readonly number[] {
  if (Array.isArray(given) && given.every((value) => typeof value === 'number')) return given
  if (typeof given !== 'string') throw fault(`${name}: a list of numbers is due`, `write ${name}=3.2,0.8,0.2`)
  const parts = given.split(',').map((part) => part.trim())
  const values = parts.map((part) => parseMeasure(part))
  // The unit may stand behind the last one only.
  const last = values.at(-1)?.unit ?? '1'
  return values.map((one) => {
    const own = one.unit === '1' ? last : one.unit
    return own === '1' ? one.value : converter(own, unit)(one.value)
  })
}

function checked(
  name: string,
  wanted: { readonly unit: string; readonly range: Range },
  value: number,
): number {
  if (inside(wanted.range, value)) return value
  const shown = Number(value.toPrecision(6))
  throw fault(
    `${name}: ${withUnit(shown, wanted.unit)} is out of range`,
    `it must be ${rangeInWords(wanted.range, wanted.unit)}`,
  )
}

const withUnit = (value: number | string, unit: string): string =>
  unit === '1' ? `${value}` : `${value} ${unit}`

/** `0 to 40 degC`, `0 or more`, `above 0`, `any`. */
export function rangeInWords([low, high]: Range, unit: string): string {
  const endless = high === Number.MAX_VALUE
  if (endless && low === -Number.MAX_VALUE) return 'any number'
  if (endless)
    return low === Number.MIN_VALUE ? `above ${withUnit(0, unit)}` : `${withUnit(low, unit)} or more`
  if (low === high) return `exactly ${withUnit(low, unit)}`
  if (low === Number.MIN_VALUE) return `above 0 up to ${withUnit(high, unit)}`
  return `${low} to ${withUnit(high, unit)}`
}

/** Words are compared without case, and `_` stands for a blank: `nile_tilapia`. */
const folded = (text: string): string => text.trim().toLowerCase().replaceAll('_', ' ')

function knownWord(name: string, words: readonly string[], given: Given): string {
  const text = typeof given === 'string' ? given : JSON.stringify(given)
  const found = words.find((one) => folded(one) === folded(text))
  if (found !== undefined) return found
  throw fault(`${name}: "${text}" is not known here`, didYouMean(text, words))
}

function day(name: string, given: Given): string {
  const text = String(given).trim()
  if (parseRfc3339(`${text}T00:00:00Z`) !== null) return text
  throw fault(`${name}: "${text}" is no date`, `write for example ${name}=2027-01-10`)
}

const yes = ['true', 'yes', '1']
const no = ['false', 'no', '0']

function yesOrNo(name: string, given: Given): boolean {
  const text = String(given).toLowerCase()
  if (yes.includes(text)) return true
  if (no.includes(text)) return false
  throw fault(`${name}: "${text}" is neither true nor false`, `write ${name}=true or ${name}=false`)
}
