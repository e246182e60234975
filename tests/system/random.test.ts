import { describe, expect, it } from 'vitest'
import { jitter, randomId, seededRandom } from '../../daemon/system/random.js'
import { seconds } from '../../daemon/units/time.js'

describe('numbers from a seed', () => {
  const take = (seed: number, count: number) => {
    const random = seededRandom(seed)
    return Array.from({ length: count }, () => random())
  }

  it('are the same for the same seed and differ for another', () => {
    expect(take(7, 20)).toEqual(take(7, 20))
    expect(take(7, 20)).not.toEqual(take(8, 20))
  })

  it('lie evenly in [0, 1): chi-squared of 100 000 in 10 drawers below 27.9 (9 degrees of freedom, p = 0.001)', () => {
    for (const seed of [0, 1, 2027]) {
      const drawers = new Array<number>(10).fill(0)
      for (const number of take(seed, 100_000)) {
        const drawer = Math.floor(number * 10)
        drawers[drawer] = (drawers[drawer] ?? Number.NaN) + 1
      }
      expect(drawers.reduce((sum, count) => sum + count, 0)).toBe(100_000)
      const chiSquared = drawers.reduce((sum, count) => sum + (count - 10_000) ** 2 / 10_000, 0)
      expect(chiSquared).toBeLessThan(27.9)
    }
  })
})

it('an id is 22 characters that a URL takes, and never the same', () => {
  const ids = Array.from({ length: 1000 }, randomId)
  expect(new Set(ids).size).toBe(1000)
  for (const id of ids) expect(id).toMatch(/^[A-Za-z0-9_-]{22}$/)
})

it('jitter keeps a wait between its half and its whole, ends included', () => {
  const waits = Array.from({ length: 500 }, () => jitter(seconds(0.002)))
  expect(new Set(waits)).toEqual(new Set([1, 2]))
})
