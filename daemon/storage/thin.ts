import type { Sample } from '../ports/history.js'
import type { EpochMs } from '../units/time.js'

/** A thinned course keeps up to three samples of each stretch, so fewer than this cannot be asked for. */
export const thinnestPossible = 3

export interface Thinner {
  /** In order of time. */
  add(sample: Sample): void
  /** In order of time, at most as many as asked for. */
  result(): readonly Sample[]
}

/** One stretch of the span. Numbers: the lowest and the highest. Words: the first, and the first other one. */
interface Stretch {
  low: Sample | null
  high: Sample | null
  /** The first that is no value to go by: it must be seen that something was wrong. */
  bad: Sample | null
}

/**
 * Brings the samples of `[from, to)` down to what a screen can show without losing a low or a high: all of them while
 * they are few enough, else the lowest and the highest usable one of each of equal stretches, and one bad one where
 * there is any, so that a bad spike neither hides a real low nor is hidden. Samples are taken as they are, with their
 * own times: nothing is averaged, and no gap is filled. `atMost` below `thinnestPossible` counts as that.
 */
export function thinner(from: EpochMs, to: EpochMs, atMost: number): Thinner {
  const limit = Math.max(atMost, thinnestPossible)
  const count = Math.floor(limit / thinnestPossible)
  const width = (to - from) / count
  let all: Sample[] | null = []
  const stretches: Stretch[] = []
  const place = (sample: Sample) => {
    const index = Math.min(Math.floor((sample.at - from) / width), count - 1)
    const stretch = (stretches[index] ??= { low: null, high: null, bad: null })
    putIn(stretch, sample)
  }
  return {
    add(sample) {
      if (all === null) return place(sample)
      all.push(sample)
      if (all.length <= limit) return
      all.forEach(place)
      all = null
    },
    result: () => all ?? stretches.flatMap(samplesOf),
  }
}

function putIn(stretch: Stretch, sample: Sample): void {
  const { value } = sample
  if (value === null || sample.quality === 'bad') {
    stretch.bad ??= sample
    return
  }
  const { low, high } = stretch
  if (low === null || high === null) {
    stretch.low = sample
    stretch.high = sample
  } else if (typeof value === 'string') {
    if (high === low && value !== low.value) stretch.high = sample
  } else {
    if (typeof low.value !== 'number' || value < low.value) stretch.low = sample
    if (typeof high.value !== 'number' || value > high.value) stretch.high = sample
  }
}

const samplesOf = ({ low, high, bad }: Stretch): Sample[] =>
  [...new Set([low, high, bad])].filter((sample) => sample !== null).sort((one, other) => one.at - other.at)
