import { assert } from '../../errors.js'
import {
  qualities,
  type Quality,
  type Reading,
  type ReadingValue,
  type Source,
} from '../../readings/reading.js'
import type { SignalName } from '../../readings/signal.js'
import { epochMs } from '../../units/time.js'

/** Their places are what is stored: never reorder, only append. */
export const sources = ['probe', 'book', 'computed'] as const satisfies readonly Source[]

/** A row of `readings` with the dictionaries resolved. */
export interface ReadingRow {
  readonly t: number
  readonly name: string
  readonly source: number
  readonly value: number | null
  readonly words: string | null
  readonly quality: number
  readonly received_after: number
  /** A JSON array of sentences; null when there are none. */
  readonly reasons: string | null
  readonly historical: number
}

/** Only the columns that say what was measured. */
export type ValueRow = Pick<ReadingRow, 't' | 'value' | 'words' | 'quality'>

/**
 * What a value becomes on disk. What is no finite number has no place in REAL (SQLite stores NaN as NULL anyway) and is
 * kept as "no value": refusing it would refuse the whole batch, and every other probe's readings with it.
 */
export function valueColumns(value: ReadingValue | null): { value: number | null; words: string | null } {
  if (typeof value === 'string') return { value: null, words: value }
  return { value: value !== null && Number.isFinite(value) ? value : null, words: null }
}

export function readingOf(row: ReadingRow): Reading {
  return {
    signal: row.name as SignalName,
    at: epochMs(row.t),
    received: epochMs(row.t + row.received_after),
    value: valueOf(row),
    quality: qualityOf(row.quality),
    reasons: row.reasons === null ? [] : (JSON.parse(row.reasons) as string[]),
    source: sourceOf(row.source),
    historical: row.historical === 1,
  }
}

export const valueOf = ({ value, words }: Pick<ValueRow, 'value' | 'words'>): ReadingValue | null =>
  words ?? value

export function qualityOf(number: number): Quality {
  const quality = qualities[number]
  assert(quality !== undefined, `readings: ${number} is no quality`)
  return quality
}

export function sourceOf(number: number): Source {
  const source = sources[number]
  assert(source !== undefined, `readings: ${number} is no source`)
  return source
}
