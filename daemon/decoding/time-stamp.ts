import { epochMs, parseRfc3339, type EpochMs } from '../units/time.js'

/** Below it a number counts seconds (until the year 5138), from it on milliseconds (since March 1973). */
const secondsEnd = 1e11
/** From it on a number would be microseconds: more likely a mistake than a year after 5138. */
const millisecondsEnd = 1e14

const digits = /^\s*[+-]?\d{1,20}(?:\.\d{1,20})?\s*$/

/**
 * The moment that a message gives: RFC 3339 text, or seconds or milliseconds since 1970 as a number or its text.
 * Null when it is none of these, or beyond the year 5138.
 */
export function momentIn(raw: unknown): EpochMs | null {
  if (typeof raw === 'number') return momentOfNumber(raw)
  if (typeof raw !== 'string' || raw.length > 64) return null
  return digits.test(raw) ? momentOfNumber(Number(raw)) : parseRfc3339(raw.trim())
}

function momentOfNumber(value: number): EpochMs | null {
  const size = Math.abs(value)
  if (!(size < millisecondsEnd)) return null
  return epochMs(Math.round(size < secondsEnd ? value * 1000 : value))
}
