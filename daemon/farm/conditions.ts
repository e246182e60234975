import type { Condition } from '../alarms/rule.js'
import type { SignalName } from '../readings/signal.js'
import { differenceIn, measureIn, perMinuteIn, type Measure } from '../units/convert.js'
import type { Quantity } from '../units/quantities.js'
import type { RateLimit } from '../units/settings.js'
import { reported, type Path, type Report } from './report.js'

/** The condition of one entry of `alarms:` as written: exactly one of these is there. */
export interface WrittenCondition {
  readonly below?: Measure | undefined
  readonly above?: Measure | undefined
  readonly is?: number | string | undefined
  readonly rate?: RateLimit | undefined
  readonly words?:
    { readonly all: readonly string[]; readonly returns_on?: readonly string[] | undefined } | undefined
  readonly deadband?: Measure | undefined
}

export const hasLimit = (entry: WrittenCondition): boolean =>
  [entry.below, entry.above, entry.is, entry.rate, entry.words].some((one) => one !== undefined)

interface Subject {
  readonly signal: SignalName
  readonly quantity: Quantity
  readonly path: Path
  readonly report: Report
}

/**
 * The condition that an entry makes for one signal, in the signal's canonical unit. Null, with the reason reported,
 * when the unit or the kind of value does not fit. A deadband of a temperature is a difference: 1 Cel is 1 K.
 */
export function conditionFor(entry: WrittenCondition, subject: Subject): Condition | null {
  const { signal, quantity, path, report } = subject
  if (entry.rate !== undefined) return rateCondition(entry.rate, entry.deadband, subject)
  if (entry.words !== undefined) return wordsCondition(entry.words, subject)
  if (entry.is !== undefined) return isCondition(entry.is, subject)
  const beyond = entry.below === undefined ? 'above' : 'below'
  const written = entry.below ?? entry.above
  if (written === undefined) return null
  if (quantity.kind === 'words') {
    report(
      [...path, beyond],
      `${quantity.name} is words, which have no ${beyond}`,
      'write words: { all: [LB] }',
    )
    return null
  }
  const limit = reported(report, [...path, beyond], () => measureIn(written, quantity.unit))
  const deadband = deadbandOf(entry.deadband, subject, (one) => differenceIn(one, quantity.unit))
  if (limit === null || deadband === null) return null
  return { kind: beyond, signal, limit, deadband }
}

function deadbandOf(
  written: Measure | undefined,
  { path, report }: Subject,
  convert: (measure: Measure) => number,
): number | null {
  if (written === undefined) return 0
  const deadband = reported(report, [...path, 'deadband'], () => convert(written))
  if (deadband === null || deadband >= 0) return deadband
  report(
    [...path, 'deadband'],
    'a deadband below zero',
    'write how far inside the limit the value must come back',
  )
  return null
}

function rateCondition(rate: RateLimit, written: Measure | undefined, subject: Subject): Condition | null {
  const { signal, quantity, path, report } = subject
  if (quantity.kind !== 'number') {
    report(
      [...path, 'rate'],
      `${quantity.name} is no number that could change at a rate`,
      'write is: or words:',
    )
    return null
  }
  const limit = reported(report, [...path, 'rate'], () => perMinuteIn(rate.limit, quantity.unit))
  const deadband = deadbandOf(written, subject, (one) => perMinuteIn(one, quantity.unit))
  if (limit === null || deadband === null) return null
  return { kind: 'rate', signal, way: rate.way, limit, deadband, over: rate.over }
}

function wordsCondition(words: NonNullable<WrittenCondition['words']>, subject: Subject): Condition | null {
  const { signal, quantity, path, report } = subject
  if (quantity.kind !== 'words') {
    report([...path, 'words'], `${quantity.name} is a value, not words`, 'write below:, above: or is:')
    return null
  }
  return { kind: 'words', signal, all: words.all, returnsOn: words.returns_on ?? [] }
}

function isCondition(is: number | string, subject: Subject): Condition | null {
  const value = stateValue(is, subject.quantity)
  if (value !== null) return { kind: 'is', signal: subject.signal, value }
  subject.report(
    [...subject.path, 'is'],
    `${subject.quantity.name} is never "${is}"`,
    subject.quantity.kind === 'two-valued' ? 'write 1 or 0' : 'write a number',
  )
  return null
}

/** Words that two-valued quantities are written in (contract 11). */
const twoValues: ReadonlyMap<string, number> = new Map([
  ['1', 1],
  ['true', 1],
  ['on', 1],
  ['open', 1],
  ['0', 0],
  ['false', 0],
  ['off', 0],
  ['closed', 0],
])

/** What a signal of this quantity is compared with; null when it can never have that value. */
export function stateValue(written: number | string, quantity: Quantity): number | string | null {
  switch (quantity.kind) {
    case 'words':
      return String(written)
    case 'two-valued':
      return twoValues.get(String(written).toLowerCase()) ?? null
    case 'number':
      return typeof written === 'number' ? written : null
  }
}
