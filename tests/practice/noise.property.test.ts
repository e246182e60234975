import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chosen, evenNoise, normalNoise } from '../../daemon/practice/noise.js'

const source = fc.record({ seed: fc.integer(), stream: fc.nat(10_000) })

describe('noise by number', () => {
  it('is the same for the same number and lies in [0, 1)', () => {
    fc.assert(
      fc.property(source, fc.nat(4_000_000_000), (from, index) => {
        const value = evenNoise(from, index)
        expect(value).toBe(evenNoise({ ...from }, index))
        expect(value >= 0 && value < 1).toBe(true)
        expect(Number.isFinite(normalNoise(from, Math.floor(index / 2)))).toBe(true)
      }),
    )
  })

  it('has mean 0, spread 1, and neighbours that know nothing of each other', () => {
    const count = 20_000
    for (const from of [
      { seed: 1, stream: 0 },
      { seed: 1, stream: 1 },
      { seed: 2, stream: 0 },
    ]) {
      const values = Array.from({ length: count }, (_, index) => normalNoise(from, index))
      const mean = values.reduce((sum, value) => sum + value) / count
      const square = values.reduce((sum, value) => sum + value ** 2) / count
      const neighbours =
        values.slice(1).reduce((sum, value, index) => sum + value * (values[index] ?? NaN), 0) / count
      expect(Math.abs(mean)).toBeLessThan(0.03)
      expect(Math.abs(square - 1)).toBeLessThan(0.04)
      expect(Math.abs(neighbours)).toBeLessThan(0.03)
    }
  })

  it('is different in every stream and for every seed', () => {
    const seen = new Set<number>()
    for (let seed = 0; seed < 50; seed++)
      for (let stream = 0; stream < 50; stream++) seen.add(evenNoise({ seed, stream }, 3))
    expect(seen.size).toBe(2500)
  })

  it('chooses among all', () => {
    const counts = new Map([0, 1, 2].map((choice) => [choice, 0]))
    for (let index = 0; index < 3000; index++) {
      const choice = chosen([0, 1, 2], evenNoise({ seed: 4, stream: 4 }, index))
      counts.set(choice, (counts.get(choice) ?? 0) + 1)
    }
    for (const count of counts.values()) expect(Math.abs(count - 1000)).toBeLessThan(100)
  })
})
