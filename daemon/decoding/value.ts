import type { ReadingValue } from '../readings/reading.js'
import type { Conversion } from '../units/convert.js'
import type { Quantity } from '../units/quantities.js'
import { numberTextMax, wordsMax } from './limits.js'
import { excerpt } from './payload-text.js'

/** A value in the signal's unit, or none and why: a bad reading, which is counted and shown (contract 11). */
export type ReadValue =
  { readonly value: ReadingValue; readonly why?: undefined } | { readonly value: null; readonly why: string }

const none = (why: string): ReadValue => ({ value: null, why })

/**
 * How values of a quantity are read from what a message holds (a JSON value, or the whole payload as a text).
 * The reader never throws: what is no value becomes a bad reading that says what was there instead.
 */
export function valueReader(quantity: Quantity, convert: Conversion): (raw: unknown) => ReadValue {
  switch (quantity.kind) {
    case 'number':
      return (raw) => {
        const number = numberIn(raw)
        return typeof number === 'number' ? finite(convert(number)) : number
      }
    case 'two-valued':
      return twoValued
    case 'words':
      return words
  }
}

// Adding 0 makes a negative zero a plain one.
const finite = (value: number): ReadValue =>
  Number.isFinite(value) ? { value: value + 0 } : none('the number is too large')

const numberForm = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/
// Devices pad and end their texts with these.
const edges = /^[\s\0]+|[\s\0]+$/g

function numberIn(raw: unknown): number | ReadValue {
  if (typeof raw === 'number') return raw
  if (typeof raw === 'string') return numberInText(raw)
  return none(unfit(raw, 'a number'))
}

function numberInText(raw: string): number | ReadValue {
  const text = raw.length > numberTextMax ? raw : raw.replace(edges, '')
  if (text.length <= numberTextMax && numberForm.test(text)) return Number(text)
  if (/^[+-]?\d+,\d+$/.test(text)) return none(`${excerpt(text)} has a decimal comma; only a point is read`)
  if (/^[+-]?nan$/i.test(text)) return none('the probe sent NaN (not a number)')
  if (/^[{[]/.test(text))
    return none(`${excerpt(text)} looks like JSON; "value:" must say where in it the number is`)
  return none(`the probe sent the text ${excerpt(text)} instead of a number`)
}

/** In the order of contract 11: the first of each pair is 1. */
const pairs = new Map<string, 0 | 1>([
  ['1', 1],
  ['0', 0],
  ['true', 1],
  ['false', 0],
  ['on', 1],
  ['off', 0],
  ['open', 1],
  ['closed', 0],
])

function twoValued(raw: unknown): ReadValue {
  if (typeof raw === 'boolean') return { value: raw ? 1 : 0 }
  const number = numberIn(raw)
  if (number === 0 || number === 1) return { value: number }
  if (typeof raw === 'string' && raw.length <= numberTextMax) {
    const value = pairs.get(raw.replace(edges, '').toLowerCase())
    if (value !== undefined) return { value }
    return none(`${excerpt(raw)} is neither of 1/0, true/false, ON/OFF, open/closed`)
  }
  return none(typeof raw === 'number' ? `${raw} is neither 0 nor 1` : unfit(raw, 'one of two values'))
}

/** Words as they are, in one line: `OB LB`. A JSON list of words counts as the words in a row. */
function words(raw: unknown): ReadValue {
  const list: readonly unknown[] = Array.isArray(raw) ? raw : [raw]
  if (!list.every((word) => typeof word === 'string' || typeof word === 'number'))
    return none(unfit(raw, 'words'))
  const text = list.join(' ')
  if (text.length > wordsMax) return none(`more than ${wordsMax} characters of words`)
  const value = text.replace(/[\p{C}\s]+/gu, ' ').trim()
  return value === '' ? none('the probe sent no words') : { value }
}

function unfit(raw: unknown, wanted: string): string {
  if (raw === null) return 'the probe says that it has no value (null)'
  if (Array.isArray(raw)) return `there is a list instead of ${wanted}`
  if (typeof raw === 'object') return `there is an object instead of ${wanted}`
  return `there is ${excerpt(String(raw))} instead of ${wanted}`
}
