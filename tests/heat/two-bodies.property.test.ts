import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { restOf, twoBodiesAfter, type TwoBodies } from '../../daemon/heat/two-bodies.js'
import { hoursUntilTemperature } from '../../daemon/heat/water-temperature.js'
import * as unit from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const value = <Value>(told: Value | null): Value => told ?? expect.fail('inside the range there is a value')

/** From a bucket in a shed to a pond in a hall. */
const bodies = fc.record({
  waterHeat: within(1e5, 1e9).map(unit.joulesPerKelvin),
  airHeat: within(1e5, 1e8).map(unit.joulesPerKelvin),
  waterToAir: within(1, 5000).map(unit.wattsPerKelvin),
  airToOutside: within(10, 20_000).map(unit.wattsPerKelvin),
})
const temperatures = fc.record({
  water: within(0, 35).map(unit.celsius),
  air: within(-10, 40).map(unit.celsius),
})
const around = fc.record({
  outside: within(-25, 30).map(unit.celsius),
  intoWater: within(-5000, 10_000).map(unit.watts),
  intoAir: within(-5000, 40_000).map(unit.watts),
})
const hours = within(0, 200).map(unit.inHours)
const still = (outside: number) => ({
  outside: unit.celsius(outside),
  intoWater: unit.watts(0),
  intoAir: unit.watts(0),
})

describe('water and air of a house', () => {
  it('lose exactly what goes outdoors: energy is neither made nor lost', () => {
    fc.assert(
      fc.property(bodies, temperatures, around, within(0, 12), (given, start, what, span) => {
        const at = (hour: number) => value(twoBodiesAfter(given, start, what, unit.inHours(hour)))
        // Simpson's rule from panels that grow like the square of time: the air's fast part comes first.
        const count = 400
        const flow = (hour: number): number => given.airToOutside * (at(hour).air - what.outside)
        let lost = 0
        for (let panel = 0; panel < count; panel++) {
          const [from, to] = [span * (panel / count) ** 3, span * ((panel + 1) / count) ** 3]
          lost += ((to - from) / 6) * (flow(from) + 4 * flow((from + to) / 2) + flow(to))
        }
        const end = at(span)
        const kept = given.waterHeat * (end.water - start.water) + given.airHeat * (end.air - start.air)
        const gained = (what.intoWater + what.intoAir) * span * 3600
        const scale = (given.waterHeat + given.airHeat) * 0.01
        expect(Math.abs(kept - (gained - lost * 3600))).toBeLessThan(scale)
      }),
    )
  })

  it('are after two spans where they are after their sum', () => {
    fc.assert(
      fc.property(bodies, temperatures, around, fc.tuple(hours, hours), (given, start, what, spans) => {
        const [first, second] = spans
        const halfway = value(twoBodiesAfter(given, start, what, first))
        const once = value(twoBodiesAfter(given, start, what, unit.inHours(first + second)))
        const twice = value(twoBodiesAfter(given, halfway, what, second))
        expect(Math.abs(once.water - twice.water)).toBeLessThan(1e-6 * (1 + Math.abs(once.water)))
        expect(Math.abs(once.air - twice.air)).toBeLessThan(1e-6 * (1 + Math.abs(once.air)))
      }),
    )
  })

  it('without heat stay between the coldest and the warmest of themselves and outdoors', () => {
    fc.assert(
      fc.property(bodies, temperatures, within(-25, 30), hours, (given, start, outside, span) => {
        const { water, air } = value(twoBodiesAfter(given, start, still(outside), span))
        const [low, high] = [
          Math.min(start.water, start.air, outside),
          Math.max(start.water, start.air, outside),
        ]
        for (const one of [water, air]) {
          expect(one).toBeGreaterThanOrEqual(low - 1e-6)
          expect(one).toBeLessThanOrEqual(high + 1e-6)
        }
      }),
    )
  })

  it('are the warmer the warmer they were, and the warmer it is outdoors', () => {
    fc.assert(
      fc.property(bodies, temperatures, around, fc.tuple(hours, within(0, 10)), (given, start, what, by) => {
        const [span, more] = by
        const plain = value(twoBodiesAfter(given, start, what, span))
        const warmer = [
          twoBodiesAfter(given, { ...start, water: unit.celsius(start.water + more) }, what, span),
          twoBodiesAfter(given, { ...start, air: unit.celsius(start.air + more) }, what, span),
          twoBodiesAfter(given, start, { ...what, outside: unit.celsius(what.outside + more) }, span),
        ].map(value)
        for (const { water, air } of warmer) {
          expect(water).toBeGreaterThanOrEqual(plain.water - 1e-6)
          expect(air).toBeGreaterThanOrEqual(plain.air - 1e-6)
        }
      }),
    )
  })

  it('come to rest where the balance says, and stay there', () => {
    fc.assert(
      fc.property(bodies, around, hours, (given, what, span) => {
        const rest = value(restOf(given, what))
        const later = value(twoBodiesAfter(given, rest, what, span))
        expect(later.water).toBeCloseTo(rest.water, 6)
        expect(later.air).toBeCloseTo(rest.air, 6)
      }),
    )
  })
})

describe('one body without end', () => {
  it('in air that nothing moves, water cools as a single body does (HT-9, HT-10)', () => {
    fc.assert(
      fc.property(
        within(500, 20_000),
        within(10, 400),
        within(-5, 15),
        within(0.1, 0.9),
        (mass, loss, ambient, share) => {
          const [water, conductance] = [unit.kilograms(mass), unit.wattsPerKelvin(loss)]
          const limit = unit.celsius(28 - share * (28 - ambient))
          const cooling = { start: unit.celsius(28), ambient: unit.celsius(ambient), limit }
          const until = value(hoursUntilTemperature(cooling, water, conductance))
          if (until.kind !== 'in') return expect.fail('it is reached')
          const endless: TwoBodies = {
            waterHeat: unit.joulesPerKelvin(mass * 4186),
            airHeat: unit.joulesPerKelvin(1e16),
            waterToAir: conductance,
            airToOutside: unit.wattsPerKelvin(1000),
          }
          const start = { water: cooling.start, air: cooling.ambient }
          const end = value(twoBodiesAfter(endless, start, still(ambient), until.hours))
          expect(end.water).toBeCloseTo(limit, 4)
        },
      ),
    )
  })

  it('over water that nothing cools, air goes to the mean of water and outdoors, each by its conductance', () => {
    fc.assert(
      fc.property(bodies, within(0, 6), (given, span) => {
        const endless = { ...given, waterHeat: unit.joulesPerKelvin(1e16) }
        const start = { water: unit.celsius(25), air: unit.celsius(14) }
        const { air } = value(twoBodiesAfter(endless, start, still(-3), unit.inHours(span)))
        const both = given.waterToAir + given.airToOutside
        const mean = (25 * given.waterToAir - 3 * given.airToOutside) / both
        expect(air).toBeCloseTo(mean + (14 - mean) * Math.exp((-both * span * 3600) / given.airHeat), 4)
      }),
    )
  })
})

it('has no answer without heat capacities and conductances above zero, or back in time', () => {
  const given: TwoBodies = {
    waterHeat: unit.joulesPerKelvin(1e7),
    airHeat: unit.joulesPerKelvin(1e6),
    waterToAir: unit.wattsPerKelvin(100),
    airToOutside: unit.wattsPerKelvin(1000),
  }
  const start = { water: unit.celsius(20), air: unit.celsius(10) }
  for (const name of ['waterHeat', 'airHeat', 'waterToAir', 'airToOutside'])
    for (const wrong of [0, -1, Number.NaN])
      expect(twoBodiesAfter({ ...given, [name]: wrong }, start, still(0), unit.inHours(1))).toBeNull()
  expect(twoBodiesAfter(given, start, still(0), unit.inHours(-1))).toBeNull()
})
