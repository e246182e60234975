import { ucum } from '@atomic-ehr/ucum'
import { Fault } from '../errors.js'
import { ucumCode } from './unit-words.js'

/** A number as a person wrote it, with its unit as a UCUM code (`[gal_us]` for `gal`). */
export interface Measure {
  readonly value: number
  readonly unit: string
}

export type Conversion = (value: number) => number

/** Significant digits that survive a conversion: the library's own arithmetic leaves noise in the 16th. */
const digits = 12

const rounded = (value: number): number =>
  Number.isFinite(value) ? Number(value.toPrecision(digits)) : value

const number = /^([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/s

/**
 * Reads a value with its unit: `4.5 mg/L`, `78 degF`, `-2 Cel`, `1 /h`. A number without a unit gets UCUM's `1`.
 * Throws BW_UNIT when there is no number, the number is no finite one, or the unit is unknown.
 */
export function parseMeasure(text: string): Measure {
  const plain = text
    .replace(/[\u00a0\u2009\u202f]/g, ' ')
    .replace(/^\s*−/, '-')
    .trim()
  const parts = number.exec(plain)
  if (parts === null)
    throw new Fault('BW_UNIT', `"${text}" does not begin with a number`, 'write for example 4.5 mg/L')
  const [, figures = '', unit = ''] = parts
  if (/^,\d/.test(unit)) {
    throw new Fault('BW_UNIT', `"${text}" has a decimal comma`, `write ${figures}.${unit.slice(1)}`)
  }
  const value = Number(figures)
  if (!Number.isFinite(value)) throw new Fault('BW_UNIT', `"${text}" is too large a number`)
  return { value, unit: unit === '' ? '1' : unitCode(unit) }
}

/** A measure as it is shown in messages: `4.5 mg/L`; no unit where it is bare. */
export const writtenMeasure = ({ value, unit }: Measure): string =>
  unit === '1' ? String(value) : `${value} ${unit}`

const known = new Map<string, string>()
/** Units come from people and files, not from readings; the limit only keeps a hostile stream from filling memory. */
const cacheMax = 2000

function remember<Value>(cache: Map<string, Value>, key: string, value: Value): Value {
  if (cache.size >= cacheMax) cache.clear()
  cache.set(key, value)
  return value
}

/**
 * The UCUM code of a written unit (code or everyday word). Throws BW_UNIT for one that means nothing, with the
 * likely spelling where there is one.
 */
export function unitCode(written: string): string {
  const cached = known.get(written)
  if (cached !== undefined) return cached
  const code = ucumCode(written)
  if (!isUnit(code))
    throw new Fault('BW_UNIT', `"${written}" is not a unit that is known here`, likelySpelling(written))
  return remember(known, written, code)
}

/** No unit in use is longer; what is, came from a broken or hostile device. */
const codeMax = 60

function isUnit(code: string): boolean {
  if (code === '' || code.length > codeMax || /\s/.test(code)) return false
  // The library finds its units in a plain object and takes what every object inherits for units as well.
  if (code.split(/[^A-Za-z]+/).some((word) => word !== '' && word in Object.prototype)) return false
  try {
    return ucum.validate(code).valid
  } catch {
    // It throws on signs that are in no unit at all; that is an answer too.
    return false
  }
}

function likelySpelling(written: string): string {
  const guesses = [written.toLowerCase(), written.replace(/\s+/g, ''), written.replace(/\s+/g, '/')]
  const likely = guesses.find((guess) => isUnit(ucumCode(guess)))
  if (likely !== undefined) return `is it ${likely}?`
  return 'write a UCUM code such as mg/L, Cel, L/min, uS/cm, kPa, or an everyday word such as gal, lb, ft, degF, h, min'
}

const conversions = new Map<string, Conversion>()

const cachedAs = (key: string, make: () => Conversion): Conversion =>
  conversions.get(key) ?? remember(conversions, key, make())

/**
 * The conversion from one unit to another, cached: no library call happens per value. Results are rounded to 12
 * significant digits. Throws BW_UNIT when a unit is unknown or the two do not measure the same thing.
 */
export const converter = (from: string, to: string): Conversion =>
  cachedAs(`${from}\n${to}`, () => affine(unitCode(from), unitCode(to)))

/**
 * As `converter`, for differences of the two: 1 Cel of difference is 1 K and 1.8 degF, and no zero is shifted. For
 * deadbands, spikes and steps.
 */
export const differenceConverter = (from: string, to: string): Conversion =>
  cachedAs(`difference\n${from}\n${to}`, () => scaled(scaleOf(unitCode(from), unitCode(to))))

/**
 * From a rate as written (`mg/L/min`, `Cel/h`, `/h` for pH and other numbers without dimension) to `unit` per minute.
 * Throws BW_UNIT when `rate` is not a change of `unit` with time.
 */
export const ratePerMinute = (rate: string, unit: string): Conversion =>
  cachedAs(`rate\n${rate}\n${unit}`, () => scaled(rateScale(unitCode(rate), unitCode(unit))))

const same: Conversion = (value) => value

const scaled = (scale: number): Conversion =>
  rounded(scale) === 1 ? same : (value) => rounded(value * scale)

const isComposed = (code: string): boolean => /[./\d]/.test(code.replace(/\[[^\]]*\]|\{[^}]*\}/g, ''))

/**
 * Degrees inside a composed unit, and in differences, are steps of temperature. The library would take the zero of
 * the scale along (`W/(m2.Cel)` comes out negative); kelvins and degrees Rankine have none.
 */
const inSteps = (code: string): string => code.replace(/\[degF\]/g, '[degR]').replace(/\bCel\b/g, 'K')

function affine(from: string, to: string): Conversion {
  if (from === to) return same
  if (isComposed(from) || isComposed(to)) return scaled(scaleOf(from, to))
  mustConvert(from, to)
  const zero = asked(0, from, to)
  // Far from zero, so that the noise in the last digits of the offset does not reach the slope.
  const far = 1e6
  const slope = (asked(far, from, to) - zero) / far
  mustBeStraight([zero, asked(far / 2, from, to), asked(far, from, to)], from, to)
  if (rounded(zero) === 0) return scaled(slope)
  // Scales with a zero of their own are temperatures: a billionth of a degree hides the noise, at 32 degF too,
  // where significant digits do not. Adding 0 turns -0 into 0.
  return (value) => Number((value * slope + zero).toFixed(9)) + 0
}

function scaleOf(from: string, to: string): number {
  if (from === to) return 1
  mustConvert(from, to)
  const steps = (value: number) => asked(value, inSteps(from), inSteps(to))
  mustBeStraight([steps(1), steps(2), steps(3)], from, to)
  return steps(1)
}

/** Logarithmic scales (pH in mol/L, decibels) have no factor; three values at even distances show it. */
function mustBeStraight([a, b, c]: readonly [number, number, number], from: string, to: string): void {
  if (Math.abs(c - 2 * b + a) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b), Math.abs(c))) return
  throw new Fault('BW_UNIT', `${from} or ${to} is a logarithmic scale: the two cannot be converted`)
}

/** Splits at the last division: `mg/L/min` changes by `mg/L` per `min`. */
const perTime = /^(.*)\/([^/()]+)$/s
const overTime = /^(?:(.*)\.)?([^./()]+)-1$/s

function rateScale(rate: string, unit: string): number {
  const [, change = '', time = ''] = perTime.exec(rate) ?? overTime.exec(rate) ?? []
  if (time !== '' && ucum.isConvertible(time, 'min')) {
    const changed = change === '' ? '1' : change
    if (isConvertible(changed, unit)) return scaleOf(changed, unit) / asked(1, time, 'min')
  }
  // Other ways to write it: mg/(L.h)
  const target = `${inSteps(unit)}/min`
  if (isConvertible(inSteps(rate), target)) return asked(1, inSteps(rate), target)
  throw new Fault(
    'BW_UNIT',
    rate === '1' ? 'a bare number where a rate is due' : `${rate} is no change of ${unit} with time`,
    `write it in ${unit === '1' || unit === '[pH]' ? '' : unit}/min or ${unit === '1' || unit === '[pH]' ? '' : unit}/h`,
  )
}

/** Units that people leave out: pH and plain numbers. */
const isPure = (code: string): boolean => code === '[pH]' || code === '1'

const isConvertible = (from: string, to: string): boolean =>
  (isPure(from) && isPure(to)) || ucum.isConvertible(inSteps(from), inSteps(to))

function mustConvert(from: string, to: string): void {
  if (isConvertible(from, to)) return
  throw new Fault(
    'BW_UNIT',
    from === '1' ? 'a bare number where a unit is due' : `${from} cannot be converted to ${to}`,
    `write it in ${to} or a unit that converts to it`,
  )
}

/** One question to the library. */
const asked = (value: number, from: string, to: string): number =>
  isPure(from) && isPure(to) ? value : ucum.convert(value, from, to)

/** The measure's value in `unit`. Throws BW_UNIT when the two do not measure the same thing. */
export const measureIn = (measure: Measure, unit: string): number =>
  converter(measure.unit, unit)(measure.value)

/** The measure as a difference in `unit` (deadband, spike). Throws BW_UNIT as `measureIn` does. */
export const differenceIn = (measure: Measure, unit: string): number =>
  differenceConverter(measure.unit, unit)(measure.value)

/** The measure as a change of `unit` per minute. Throws BW_UNIT as `ratePerMinute` does. */
export const perMinuteIn = (measure: Measure, unit: string): number =>
  ratePerMinute(measure.unit, unit)(measure.value)
