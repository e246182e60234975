import { randomBytes, randomInt } from 'node:crypto'
import { milliseconds, type Milliseconds } from '../units/time.js'

/** Gives numbers in [0, 1). */
export type Random = () => number

/**
 * The same numbers for the same seed, for practice and tests; never for anything that must not be guessed.
 * @source Steele, Lea, Flood, 2014, "Fast splittable pseudorandom number generators" (SplitMix), in the 32-bit
 * form whose mixing constants are MurmurHash3's (from memory).
 */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0
  return () => {
    state = (state + 0x9e3779b9) >>> 0
    let mixed = state ^ (state >>> 16)
    mixed = Math.imul(mixed, 0x85ebca6b)
    mixed ^= mixed >>> 13
    mixed = Math.imul(mixed, 0xc2b2ae35)
    mixed ^= mixed >>> 16
    return (mixed >>> 0) / 2 ** 32
  }
}

/** A name that nobody can guess or has used before: 128 random bits, as 22 characters that fit into a URL. */
export const randomId = (): string => randomBytes(16).toString('base64url')

/** From 0 up to 1, different at every start. */
export const anyRandom: Random = () => randomInt(2 ** 32) / 2 ** 32

/** A wait between half of `span` and `span`, so that many who lost the same thing do not all come back at once. */
export function jitter(span: Milliseconds): Milliseconds {
  const half = Math.floor(span / 2)
  return milliseconds(half + randomInt(span - half + 1))
}
