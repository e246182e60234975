import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { minutesWithoutAir } from '../../daemon/chemistry/oxygen-minutes.js'
import { timeToLevel, type Course } from '../../daemon/reserve/time-to-level.js'
import { milligramsPerLitre, milligramsPerLitreHour } from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const guess = (min: number, max: number) =>
  fc.record({ value: within(min, max), logDeviation: within(0.01, 0.6) })
const course: fc.Arbitrary<Course> = fc.record({
  oxygen: within(2.2, 9),
  oxygenDeviation: within(0, 0.1),
  critical: fc.constant(2),
  pull: guess(0.5, 12).map((one) => ({ kind: 'demand' as const, ...one })),
  saturation: within(6, 10),
  transfer: guess(0.01, 1),
})

describe('time until the critical level', () => {
  it('lies in its interval, and widens with doubt', () => {
    fc.assert(
      fc.property(course, (one) => {
        const { minutes, low, high } = timeToLevel(one)
        if (minutes === null) return
        expect(low).toBeLessThanOrEqual(minutes)
        if (high !== null) expect(high).toBeGreaterThanOrEqual(minutes)
        const doubt = { ...one, pull: { ...one.pull, logDeviation: 2 * one.pull.logDeviation } }
        expect(timeToLevel(doubt).low).toBeLessThanOrEqual((low ?? 0) * (1 + 1e-9))
      }),
    )
  })

  it('is shorter with more demand, longer with more oxygen', () => {
    fc.assert(
      fc.property(course, within(1.01, 2), within(0.01, 1), (one, factor, more) => {
        const base = timeToLevel(one).minutes ?? Infinity
        const demand = timeToLevel({ ...one, pull: { ...one.pull, value: one.pull.value * factor } })
        expect(demand.minutes ?? Infinity).toBeLessThanOrEqual(base)
        const oxygen = timeToLevel({ ...one, oxygen: one.oxygen + more })
        expect(oxygen.minutes ?? Infinity).toBeGreaterThanOrEqual(base)
      }),
    )
  })

  it('is that of plain consumption (OX-9) where no air comes in', () => {
    fc.assert(
      fc.property(course, (one) => {
        const still = { ...one, transfer: { value: 1e-9, logDeviation: 0.1 } }
        const plain = minutesWithoutAir(
          { oxygen: milligramsPerLitre(one.oxygen), critical: milligramsPerLitre(2) },
          milligramsPerLitreHour(one.pull.value),
        )
        if (plain?.kind !== 'in') return expect.fail('it is reached')
        expect(timeToLevel(still).minutes).toBeCloseTo(plain.minutes, 4)
      }),
    )
  })

  it('is the same whether the demand is given or how fast it falls with that air', () => {
    fc.assert(
      fc.property(course, (one) => {
        const fall = one.pull.value - one.transfer.value * (one.saturation - one.oxygen)
        if (fall <= 0) return
        const falling = timeToLevel({ ...one, pull: { ...one.pull, kind: 'fall', value: fall } })
        const demanded = timeToLevel(one)
        if (demanded.minutes === null) expect(falling.minutes).toBeNull()
        else expect(falling.minutes).toBeCloseTo(demanded.minutes, 6)
      }),
    )
  })

  it('is none where it settles above, and says where; now where it is there', () => {
    const calm: Course = {
      oxygen: 6,
      oxygenDeviation: 0.02,
      critical: 2,
      pull: { kind: 'demand', value: 1, logDeviation: 0.1 },
      saturation: 8,
      transfer: { value: 0.5, logDeviation: 0.1 },
    }
    expect(timeToLevel(calm)).toEqual({ minutes: null, low: null, high: null, settlesAt: 6 })
    expect(timeToLevel({ ...calm, oxygen: 1.5 }).minutes).toBe(0)
    // Likely never, but with less luck it is: the near end is told all the same.
    const narrow = { ...calm, pull: { ...calm.pull, value: 2.8, logDeviation: 0.4 } }
    expect(timeToLevel(narrow).minutes).toBeNull()
    expect(timeToLevel(narrow).low).toBeGreaterThan(0)
  })
})
