// Noise by number instead of by turn: the value depends only on seed, stream and index, so nothing has to be carried
// along, and a probe that falls silent does not shift the noise of all others.

const golden = 0x9e3779b9

/** Finaliser of MurmurHash3 (Appleby 2011, public domain): every input bit reaches every output bit. */
function scramble(value: number): number {
  let bits = Math.imul(value ^ (value >>> 16), 0x85ebca6b)
  bits = Math.imul(bits ^ (bits >>> 13), 0xc2b2ae35)
  return (bits ^ (bits >>> 16)) >>> 0
}

/** Where a number of noise comes from: one seed for the whole farm, one stream for each thing that trembles. */
export interface NoiseSource {
  readonly seed: number
  readonly stream: number
}

/** Even between 0 (possible) and 1 (never). `index` is any integer from 0 to 2^32 - 1. */
export function evenNoise(source: NoiseSource, index: number): number {
  const start = scramble((source.seed | 0) + Math.imul(source.stream + 1, golden))
  return scramble(start + Math.imul(index + 1, golden)) / 4_294_967_296
}

/** Normal with mean 0 and standard deviation 1 (Box and Muller 1958), never beyond about 6.7. */
export function normalNoise(source: NoiseSource, index: number): number {
  const radius = Math.sqrt(-2 * Math.log(1 - evenNoise(source, 2 * index)))
  return radius * Math.cos(2 * Math.PI * evenNoise(source, 2 * index + 1))
}

/** One of `choices`, each as likely as the others. `choices` must not be empty. */
export function chosen<Choice>(choices: readonly [Choice, ...Choice[]], even: number): Choice {
  return choices[Math.floor(even * choices.length)] ?? choices[0]
}
