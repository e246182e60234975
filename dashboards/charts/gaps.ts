import type { Sample } from '../../daemon/http/contract.js'

export interface Gap {
  readonly from: number
  readonly to: number
}

/** A sample that a line may pass through: a number, not bad. */
const isUsable = (sample: Sample): boolean => typeof sample.value === 'number' && sample.quality !== 'bad'

/** Spans of [from, to) without a usable sample that are longer than `gapAfter` (ms), the ends included. */
export function gapsOf(course: {
  readonly samples: readonly Sample[]
  readonly from: number
  readonly to: number
  readonly gapAfter: number
}): readonly Gap[] {
  const times = course.samples.filter(isUsable).map(({ at }) => at)
  const marks = [course.from, ...times, course.to]
  return marks.flatMap((at, index) => {
    const next = marks[index + 1]
    return next !== undefined && next - at > course.gapAfter ? [{ from: at, to: next }] : []
  })
}

/**
 * Columns for a line that is broken at every gap: times in ms, values, null where the line must not pass.
 * Bad samples are left out of the line; they are drawn apart.
 */
export function brokenLine(
  samples: readonly Sample[],
  gapAfter: number,
): { readonly times: readonly number[]; readonly values: readonly (number | null)[] } {
  const times: number[] = []
  const values: (number | null)[] = []
  for (const { at, value } of samples.filter(isUsable)) {
    const before = times.at(-1)
    if (before !== undefined && at - before > gapAfter) {
      times.push(before + 1)
      values.push(null)
    }
    times.push(at)
    values.push(value as number)
  }
  return { times, values }
}

/** Lowest, highest and latest usable sample; null when there is none. */
export function extremesOf(
  samples: readonly Sample[],
): { readonly lowest: Sample; readonly highest: Sample; readonly latest: Sample } | null {
  const usable = samples.filter(isUsable)
  const [first] = usable
  if (first === undefined) return null
  const better = (keep: (one: number, other: number) => boolean) =>
    usable.reduce((best, sample) => (keep(Number(sample.value), Number(best.value)) ? sample : best), first)
  return {
    lowest: better((one, other) => one < other),
    highest: better((one, other) => one > other),
    latest: usable.at(-1) ?? first,
  }
}
