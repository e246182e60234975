import { Fault } from '../errors.js'
import type { EpochMs } from '../units/time.js'
import type { ReadingValue } from './reading.js'
import type { SignalName } from './signal.js'

/** What the probe said and what was true at that moment, in the signal's canonical unit. */
export interface KnownPoint {
  readonly reads: number
  readonly truth: number
}

/** True value = gain × reading + offset; offset in the signal's canonical unit. */
export interface Line {
  readonly gain: number
  readonly offset: number
}

/** Who took it back, when and why. */
export interface Undone {
  readonly at: EpochMs
  readonly by: string
  readonly why: string
}

/**
 * How the readings of a signal within `[from, to)` are to be read, once it is known that the probe was off. What it sent
 * stays in the record as it was sent.
 */
export interface Correction extends Line {
  /** Counted from 1, never used twice. Of two over one moment the higher one counts. */
  readonly id: number
  readonly signal: SignalName
  readonly from: EpochMs
  readonly to: EpochMs
  readonly points: readonly KnownPoint[]
  readonly at: EpochMs
  readonly by: string
  readonly why: string
  /** Null while it is in force. */
  readonly undone: Undone | null
}

/** A probe further off than this is broken or was typed wrongly (common practice), and no line mends it. */
const leastGain = 0.2
const mostGain = 5

/**
 * Quantities whose probes keep their zero and lose slope as they age or foul (common practice): no oxygen and no salt is
 * still read as nothing. All others (temperature, pH, level, …) are shifted.
 */
const keepZero: readonly string[] = ['dissolved_oxygen', 'oxygen_saturation', 'conductivity', 'salinity']

/**
 * The line through one or two known points; with one, a probe of this quantity is scaled or shifted, whichever way such
 * probes go wrong. Throws BW_CALC when there is no such line, or its gain is not between 0.2 and 5.
 */
export function lineThrough(points: readonly KnownPoint[], quantity: string): Line {
  const [first, second, ...more] = points
  if (first === undefined || more.length > 0)
    throw new Fault('BW_CALC', `a correction needs one or two known points, not ${points.length}`)
  const line = second === undefined ? throughOne(first, quantity) : throughTwo(first, second)
  if (line.gain >= leastGain && line.gain <= mostGain) return line
  throw new Fault(
    'BW_CALC',
    `this would multiply every reading by ${Number(line.gain.toPrecision(3))}`,
    `a gain must lie between ${leastGain} and ${mostGain}: are the values and their units right? A probe further off than that is broken`,
  )
}

function throughOne({ reads, truth }: KnownPoint, quantity: string): Line {
  if (!keepZero.includes(quantity)) return { gain: 1, offset: truth - reads }
  if (reads !== 0) return { gain: truth / reads, offset: 0 }
  throw new Fault(
    'BW_CALC',
    `a probe of ${quantity} is corrected by a factor, and nothing times 0 gives ${truth}`,
    'compare it in water that holds some, or give two points',
  )
}

function throughTwo(one: KnownPoint, other: KnownPoint): Line {
  if (one.reads === other.reads)
    throw new Fault(
      'BW_CALC',
      `both points say that the probe read ${one.reads}`,
      'two points need two different readings; leave one out to correct by a single point',
    )
  const gain = (other.truth - one.truth) / (other.reads - one.reads)
  return { gain, offset: one.truth - gain * one.reads }
}

/** The correction in force for a reading of that moment; null when it stands as it was sent. */
export function correctionAt(corrections: readonly Correction[], at: EpochMs): Correction | null {
  let newest: Correction | null = null
  for (const one of corrections) {
    if (one.undone !== null || at < one.from || at >= one.to) continue
    if (newest === null || one.id > newest.id) newest = one
  }
  return newest
}

/** Words and missing values have nothing to correct. Ten digits: the product's own noise is none of the probe's. */
export function corrected(value: ReadingValue | null, line: Line | null): ReadingValue | null {
  if (line === null || typeof value !== 'number') return value
  return Number((line.gain * value + line.offset).toPrecision(10))
}
