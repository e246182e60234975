import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Sample } from '../../daemon/ports/history.js'
import { qualities } from '../../daemon/readings/reading.js'
import { thinner } from '../../daemon/storage/thin.js'
import { epochMs } from '../../daemon/units/time.js'

const from = epochMs(0)
const to = epochMs(10_000)

const sample: fc.Arbitrary<Sample> = fc.record({
  at: fc.integer({ min: from, max: to - 1 }).map(epochMs),
  value: fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.constant(null)),
  quality: fc.constantFrom(...qualities),
})
const course = fc.array(sample, { maxLength: 300 }).map((samples) => samples.sort((a, b) => a.at - b.at))
const usable = (samples: readonly Sample[]) =>
  samples.flatMap(({ value, quality }) => (typeof value === 'number' && quality !== 'bad' ? [value] : []))

function thinned(samples: readonly Sample[], atMost: number): readonly Sample[] {
  const thin = thinner(from, to, atMost)
  for (const one of samples) thin.add(one)
  return thin.result()
}

describe('a thinned course', () => {
  it('is never longer than asked for (3 at least), in order, and made of samples as they were', () => {
    fc.assert(
      fc.property(course, fc.integer({ min: 0, max: 400 }), (samples, atMost) => {
        const result = thinned(samples, atMost)
        expect(result.length).toBeLessThanOrEqual(Math.max(atMost, 3))
        for (const one of result) expect(samples).toContain(one)
        expect(result.map(({ at }) => at)).toEqual(result.map(({ at }) => at).sort((a, b) => a - b))
      }),
    )
  })

  it('is the whole course when that is short enough', () => {
    fc.assert(
      fc.property(course, (samples) => {
        expect(thinned(samples, samples.length)).toEqual(samples)
      }),
    )
  })

  it('has the same lowest and highest usable value, and a bad sample if there was one', () => {
    fc.assert(
      fc.property(course, fc.integer({ min: 3, max: 100 }), (samples, atMost) => {
        const result = thinned(samples, atMost)
        const extremes = (values: number[]) => [
          values.reduce((low, value) => Math.min(low, value), Infinity),
          values.reduce((high, value) => Math.max(high, value), -Infinity),
        ]
        expect(extremes(usable(result))).toEqual(extremes(usable(samples)))
        const isBad = ({ value, quality }: Sample) => value === null || quality === 'bad'
        expect(result.some(isBad)).toBe(samples.some(isBad))
      }),
    )
  })
})

it('a supply that was on battery for one minute of a day is still seen to have been', () => {
  const words = Array.from({ length: 1440 }, (_, minute): Sample => {
    return { at: epochMs(minute), value: minute === 700 ? 'OB' : 'OL', quality: 'good' }
  })
  const thin = thinner(epochMs(0), epochMs(1440), 30)
  for (const one of words) thin.add(one)
  expect(thin.result()).toContainEqual({ at: 700, value: 'OB', quality: 'good' })
})
