import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { acuteAmmoniaCriterion, chronicAmmoniaCriterion } from '../../daemon/chemistry/ammonia-criteria.js'
import {
  ammoniumNitrogen,
  headroomPh,
  totalAmmoniaForLimit,
  unionisedAmmoniaFraction,
  unionisedAmmoniaNitrogen,
} from '../../daemon/chemistry/ammonia.js'
import { reportedAs, type NitrogenSpecies } from '../../daemon/chemistry/molar-masses.js'
import { celsius, gramsPerKilogram, milligramsPerLitreAsN, ph } from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const water = fc.record({
  temperature: within(0, 50).map(celsius),
  ph: within(5, 10).map(ph),
  salinity: within(0, 40).map(gramsPerKilogram),
})
const fractionOf = (given: Parameters<typeof unionisedAmmoniaFraction>[0]): number =>
  unionisedAmmoniaFraction(given) ?? expect.fail('inside the range there is a value')

describe('un-ionised ammonia', () => {
  it('is a larger part of the total with more pH and warmth, a smaller one with more salt', () => {
    fc.assert(
      fc.property(water, within(0.01, 0.5), (given, step) => {
        const here = fractionOf(given)
        expect(here).toBeGreaterThan(0)
        expect(here).toBeLessThan(1)
        expect(fractionOf({ ...given, ph: ph(given.ph + step) })).toBeGreaterThan(here)
        if (given.temperature + step <= 50) {
          expect(fractionOf({ ...given, temperature: celsius(given.temperature + step) })).toBeGreaterThan(
            here,
          )
        }
        if (given.salinity + step <= 40) {
          expect(fractionOf({ ...given, salinity: gramsPerKilogram(given.salinity + step) })).toBeLessThan(
            here,
          )
        }
      }),
    )
  })

  it('and ammonium make up the total', () => {
    fc.assert(
      fc.property(water, within(0, 100), (given, tan) => {
        const total = milligramsPerLitreAsN(tan)
        const both = (unionisedAmmoniaNitrogen(total, given) ?? NaN) + (ammoniumNitrogen(total, given) ?? NaN)
        expect(both).toBeCloseTo(tan, 9)
      }),
    )
  })

  it('reaches the limit at the total, and at the pH, that are told for it', () => {
    fc.assert(
      fc.property(water, within(0.001, 1), (given, limited) => {
        const limit = milligramsPerLitreAsN(limited)
        const total = totalAmmoniaForLimit(limit, given) ?? expect.fail('inside the range there is a value')
        expect(unionisedAmmoniaNitrogen(total, given)).toBeCloseTo(limited, 9)
        expect(headroomPh(total, limit, given)).toBeCloseTo(given.ph, 6)
      }),
    )
  })

  it('has no headroom to speak of where the whole total is within the limit', () => {
    const limit = milligramsPerLitreAsN(0.5)
    const given = { temperature: celsius(25), salinity: gramsPerKilogram(0) }
    expect(headroomPh(limit, limit, given)).toBe(14)
    expect(headroomPh(milligramsPerLitreAsN(0), limit, given)).toBeNull()
  })

  it('is not told outside the range of the equation', () => {
    const inside = { temperature: celsius(20), ph: ph(7), salinity: gramsPerKilogram(0) }
    for (const change of [
      { temperature: celsius(-1) },
      { temperature: celsius(51) },
      { ph: ph(-0.1) },
      { ph: ph(14.1) },
      { salinity: gramsPerKilogram(41) },
    ]) {
      expect(unionisedAmmoniaFraction({ ...inside, ...change })).toBeNull()
    }
    expect(unionisedAmmoniaNitrogen(milligramsPerLitreAsN(-1), inside)).toBeNull()
  })
})

describe('criteria for ammonia', () => {
  it('fall with pH and never rise with temperature; salmonids never allow more', () => {
    fc.assert(
      fc.property(within(6.5, 8.9), within(0, 29), fc.boolean(), (acid, warm, salmonids) => {
        const here = { ph: ph(acid), temperature: celsius(warm) }
        const moreBasic = { ...here, ph: ph(acid + 0.1) }
        const warmer = { ...here, temperature: celsius(warm + 1) }
        for (const criterion of [
          chronicAmmoniaCriterion,
          (at: typeof here) => acuteAmmoniaCriterion(at, salmonids),
        ]) {
          const value = criterion(here) ?? NaN
          expect(criterion(moreBasic)).toBeLessThan(value)
          expect(criterion(warmer)).toBeLessThanOrEqual(value)
        }
        expect(acuteAmmoniaCriterion(here, true)).toBeLessThanOrEqual(
          acuteAmmoniaCriterion(here, false) ?? NaN,
        )
      }),
    )
  })

  it('are told only for pH 6.5 to 9 and 0 to 30 degC', () => {
    for (const [acid, warm] of [
      [6.49, 20],
      [9.01, 20],
      [7, -0.1],
      [7, 30.1],
    ] as const) {
      const outside = { ph: ph(acid), temperature: celsius(warm) }
      expect(acuteAmmoniaCriterion(outside, false)).toBeNull()
      expect(chronicAmmoniaCriterion(outside)).toBeNull()
    }
  })
})

it('nitrogen reported as another species and back is the same nitrogen', () => {
  const species: readonly NitrogenSpecies[] = ['N', 'NH3', 'NH4', 'NO2', 'NO3']
  for (const from of species)
    for (const to of species) expect(reportedAs(from, to) * reportedAs(to, from)).toBeCloseTo(1, 12)
})
