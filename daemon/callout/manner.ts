import type { EpochMs } from '../units/time.js'
import { localTime, type LocalTime } from './local-time.js'
import type { UnitSystem } from './say-value.js'
import { wordsFor } from './words/choose.js'
import type { Words } from './words/words.js'

/** In which way a message is said. */
export interface Manner {
  /** BCP 47, the person's. */
  readonly language: string
  readonly showUnits: UnitSystem
  /** IANA name, the farm's. */
  readonly timeZone: string
  readonly now: EpochMs
}

/** The manner with its words found. */
export interface Voice {
  readonly words: Words
  readonly manner: Manner
}

export const voiceOf = (manner: Manner): Voice => ({ words: wordsFor(manner.language), manner })

// Past midnight, 23:50 is plainly last evening's; what is longer ago could be taken for a time of today.
const clockAloneWithin = 12 * 3_600_000
const weekdayWithin = 6 * 86_400_000

/** A moment as a person reads it now: today `02:12`, earlier `Mon 02:12`, long ago `3 Nov 02:12`. */
export function sayTime(at: EpochMs, { words, manner }: Voice): string {
  const local = localTime(at, manner.timeZone)
  const apart = Math.abs(manner.now - at)
  if (apart <= clockAloneWithin || isSameDay(local, localTime(manner.now, manner.timeZone)))
    return local.clock
  if (apart <= weekdayWithin) return `${words.weekdays[local.weekday - 1] ?? ''} ${local.clock}`
  return `${local.day} ${words.months[local.month - 1] ?? ''} ${local.clock}`
}

const isSameDay = (one: LocalTime, other: LocalTime): boolean =>
  one.day === other.day && one.month === other.month && one.year === other.year

/** The same with the whole date: `25 Nov 2026, 02:12`. */
export function sayDate(at: EpochMs, { words, manner }: Voice): string {
  const local = localTime(at, manner.timeZone)
  return `${local.day} ${words.months[local.month - 1] ?? ''} ${local.year}, ${local.clock}`
}

// Beyond it nobody counts minutes.
const minutesUpTo = 120

/** A length of time in minutes, rounded down so that nobody is told of time that is not there: `24 min`, `3.5 h`. */
export function saySpan(span: number, { words }: Voice): string {
  const whole = Math.max(0, Math.floor(span))
  if (whole <= minutesUpTo) return `${whole} min`
  const hours = (Math.floor(whole / 6) / 10).toFixed(1)
  return `${words.decimalMark === ',' ? hours.replace('.', ',') : hours} h`
}
