import { cappedName } from './fit.js'
import type { AlarmFacts, TimeLeft } from './message-facts.js'
import { saySpan, type Voice } from './manner.js'
import { sayAgainst, sayNumber, withUnit, type Scale } from './say-value.js'
import { modes, type Mode, type QuantityWord, type Words } from './words/words.js'

/** What is wrong, put into words; each part '' where there is none. */
export interface Wrong {
  /** `oxygen`, `stopped` */
  readonly what: string
  /** `3.8 mg/L`, `no reading` */
  readonly value: string
  /** In which way a measured value is wrong when it is not its limit: `changing fast`. */
  readonly manner: string
  /** `3.8` and `4.5 mg/L`, where there is a limit to say beside it */
  readonly against: { readonly value: string; readonly limit: string } | null
}

/** What an alarm says is wrong: a measured value and its limit, or in which way something fails. */
export function wrongOf(alarm: AlarmFacts, voice: Voice): Wrong {
  const { words } = voice
  const mode = alarm.mode === null ? '' : modeWords(alarm.mode, words)
  const { measured } = alarm
  const plain = { manner: '', against: null }
  if (measured === null) return { ...plain, what: mode === '' ? words.text.somethingWrong : mode, value: '' }
  const what = quantityWords(measured.quantity, words)
  if (measured.value === null) return { ...plain, what, value: mode === '' ? words.mode.no_reading : mode }
  return { manner: mode, what, ...valueOf({ ...measured, value: measured.value }, voice) }
}

function valueOf(
  measured: NonNullable<AlarmFacts['measured']> & { readonly value: number | string },
  voice: Voice,
): Pick<Wrong, 'value' | 'against'> {
  const { value, limit } = measured
  if (typeof value === 'string') return { value, against: null }
  const scale = scaleOf(measured, voice)
  // A two-valued quantity is on or off, a number to nobody.
  if (scale.unit === '1' && (value === 0 || value === 1)) {
    return { value: voice.words.state(value === 1), against: null }
  }
  if (typeof limit !== 'number') return { value: withUnit(sayNumber(value, scale)), against: null }
  const said = sayAgainst(value, limit, scale)
  return {
    value: withUnit(said.value),
    against: { value: said.value.number, limit: withUnit(said.limit) },
  }
}

/** What an alarm is about when it is no longer, or not yet again, so: the quantity; '' where its place alone says it. */
export const subjectOf = (alarm: AlarmFacts, { words }: Voice): string =>
  alarm.measured === null ? '' : quantityWords(alarm.measured.quantity, words)

/** `3.8 (limit 4.5 mg/L)`, without a limit `3.8 mg/L`. */
export const valueWithLimit = (wrong: Wrong, words: Words): string =>
  wrong.against === null ? wrong.value : `${wrong.against.value} (${words.text.limit(wrong.against.limit)})`

/** `Blower A lost pressure` */
export const likelyWords = (likely: { readonly of: string; readonly mode: string }, words: Words): string =>
  `${likely.of} ${modeWords(likely.mode, words)}`

/** `about 24 min to 2.0`, of another place `tank 1: about 24 min to 2.0`; the limit is oxygen in mg/L. */
export function timeLeft(left: TimeLeft, voice: Voice): string {
  const limit = sayNumber(left.limit, scaleOf({ quantity: 'dissolved_oxygen', unit: 'mg/L' }, voice))
  const told = voice.words.text.left(saySpan(left.minutes, voice), limit.number)
  return left.where === null ? told : `${cappedName(left.where, 14)}: ${told}`
}

/** A quantity in the person's language; one that the farm declared itself keeps its own name. */
export const quantityWords = (quantity: string, words: Words): string =>
  Object.hasOwn(words.quantity, quantity) ? words.quantity[quantity as QuantityWord] : plainWords(quantity)

/** A mode in the person's language; one without words is said as it is written. */
export function modeWords(mode: string, words: Words): string {
  const known = mode.replaceAll(/[\s-]+/g, '_')
  return isMode(known) ? words.mode[known] : plainWords(mode)
}

const isMode = (mode: string): mode is Mode => (modes as readonly string[]).includes(mode)

const plainWords = (id: string): string => id.replaceAll('_', ' ')

const scaleOf = (measured: { readonly quantity: string; readonly unit: string }, voice: Voice): Scale => ({
  quantity: measured.quantity,
  unit: measured.unit,
  system: voice.manner.showUnits,
  decimalMark: voice.words.decimalMark,
})
