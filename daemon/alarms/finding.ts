import { unreachable } from '../errors.js'
import type { ReadingValue } from '../readings/reading.js'
import type { Condition } from './rule.js'

/**
 * Where a usable value stands: beyond the limit, inside it by the deadband (the return criterion), or between, where
 * nothing changes (AL-1, AL-2).
 */
export type Finding = 'violating' | 'between' | 'clear'

/** What a condition may look at. Rates are per minute in the signal's canonical unit; null when not yet known. */
export interface Evidence {
  readonly value: ReadingValue
  readonly ratePerMinute: number | null
  /** Discrepancy only: the other signal's last usable value. */
  readonly other: ReadingValue | null
}

type OfASignal = Exclude<Condition, { kind: 'unusable' | 'verdict' | 'own-trouble' }>

/**
 * Judges a value against a condition. Violated means strictly beyond the limit; equal is not violated (AL-1).
 * Null when the evidence does not allow a finding: words where a number is due, no rate yet, the other side unknown.
 */
export function findingOf(condition: OfASignal, evidence: Evidence): Finding | null {
  switch (condition.kind) {
    case 'above':
    case 'below':
      return typeof evidence.value === 'number' ? beyond(condition, evidence.value) : null
    case 'rate':
      return evidence.ratePerMinute === null ? null : tooFast(condition, evidence.ratePerMinute)
    case 'is':
      return evidence.value === condition.value ? 'violating' : 'clear'
    case 'words':
      return words(condition, evidence.value)
    case 'discrepancy':
      if (evidence.other === null) return null
      return evidence.value === evidence.other ? 'clear' : 'violating'
    default:
      return unreachable(condition)
  }
}

function beyond(condition: Extract<Condition, { kind: 'above' | 'below' }>, value: number): Finding {
  // Turned so that "too high" is the only case: limit and deadband then read the same both ways.
  const over = condition.kind === 'above' ? value - condition.limit : condition.limit - value
  if (over > 0) return 'violating'
  // 4.5 + 0.4 is 4.9 to a keeper; the last binary digit must not decide.
  return over <= -condition.deadband + 1e-9 * Math.max(1, Math.abs(condition.limit)) ? 'clear' : 'between'
}

function tooFast(condition: Extract<Condition, { kind: 'rate' }>, perMinute: number): Finding {
  const speed =
    condition.way === 'rising' ? perMinute : condition.way === 'falling' ? -perMinute : Math.abs(perMinute)
  // A rate is a quotient of rounded readings: differences below one part in a billion are not "faster".
  const tolerance = 1e-9 * Math.max(1, condition.limit)
  if (speed > condition.limit + tolerance) return 'violating'
  return speed <= condition.limit - condition.deadband + tolerance ? 'clear' : 'between'
}

/** Status words are a set, in any order; unknown ones are ignored (AL-31, RFC 9271). */
export const wordsIn = (status: ReadingValue): ReadonlySet<string> =>
  new Set(
    String(status)
      .trim()
      .split(/\s+/)
      .filter((word) => word !== ''),
  )

function words(condition: Extract<Condition, { kind: 'words' }>, value: ReadingValue): Finding {
  const said = wordsIn(value)
  const all = condition.all.every((word) => said.has(word))
  if (condition.returnsOn.length === 0) return all ? 'violating' : 'clear'
  if (condition.returnsOn.some((word) => said.has(word)) && !all) return 'clear'
  return all ? 'violating' : 'between'
}
