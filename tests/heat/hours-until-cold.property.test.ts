import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  basinConductance,
  coldHouse,
  coolingWater,
  courseOf,
  type HouseFigures,
} from '../../daemon/heat/cold-figures.js'
import { foreseeCold } from '../../daemon/heat/foresee-cold.js'
import {
  coldHorizon,
  evaporativeLoss,
  hoursUntilCold,
  type ColdHouse,
} from '../../daemon/heat/hours-until-cold.js'
import { outsideAfter, steadyOutside } from '../../daemon/heat/outside-course.js'
import { hoursUntilTemperature, type UntilTemperature } from '../../daemon/heat/water-temperature.js'
import * as unit from '../../daemon/units/brands.js'

const within = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const value = <Value>(told: Value | null): Value => told ?? expect.fail('inside the range there is a value')
const hoursOf = (until: UntilTemperature): number =>
  until.kind === 'in' ? until.hours : until.kind === 'now' ? 0 : Number.POSITIVE_INFINITY

const figures = fc.record<HouseFigures>({
  cover: within(50, 1000).map(unit.squareMetres),
  uValue: within(1, 7).map(unit.wattsPerSquareMetreKelvin),
  volume: within(60, 3000).map(unit.cubicMetres),
  airChanges: within(0, 4).map(unit.perHour),
  water: within(0.5, 60).map(unit.cubicMetres),
  waterToAir: within(10, 800).map(unit.wattsPerKelvin),
  openWater: within(0, 30).map(unit.squareMetres),
  humidity: within(50, 100).map(unit.percent),
  airPace: fc.option(within(0.4, 2)),
})
const night = fc.record({
  water: within(16, 30).map(unit.celsius),
  air: within(8, 15).map(unit.celsius),
  outside: within(-15, 7).map(unit.celsius),
  of: fc.constantFrom('water' as const, 'air' as const),
  fall: within(0.5, 6),
})
type Night = typeof night extends fc.Arbitrary<infer One> ? One : never
const limitOf = ({ of, fall, ...start }: Night) => ({ of, limit: unit.celsius(start[of] - fall) })
const until = (house: ColdHouse, one: Night): number =>
  hoursOf(value(hoursUntilCold(house, one, limitOf(one), steadyOutside(one.outside))))
/** Steps are not the same where the answers differ: that much may be of the step. */
const slack = (hours: number): number => (Number.isFinite(hours) ? 0.02 + 0.02 * hours : 0)

describe('hours until it is too cold', () => {
  it('are not fewer for a lower limit or a warmer night, not more for a house that loses more', () => {
    fc.assert(
      fc.property(figures, night, within(0, 3), (given, one, more) => {
        const house = value(coldHouse(given, one.of, 'usual'))
        const plain = until(house, one)
        const lower = until(house, { ...one, fall: one.fall + more })
        expect(lower).toBeGreaterThanOrEqual(plain)
        const warmer = until(house, { ...one, outside: unit.celsius(one.outside + more) })
        expect(warmer).toBeGreaterThanOrEqual(plain - slack(plain))
        const thin = { ...given, uValue: unit.wattsPerSquareMetreKelvin(given.uValue + more) }
        const sooner = until(value(coldHouse(thin, one.of, 'usual')), one)
        expect(sooner).toBeLessThanOrEqual(plain + slack(plain))
      }),
    )
  })

  it('are those of a single body (HT-10) where the air stays as it is and nothing evaporates', () => {
    fc.assert(
      fc.property(figures, night, (given, one) => {
        const bodies = {
          ...value(coldHouse(given, 'water', 'usual')).bodies,
          airHeat: unit.joulesPerKelvin(1e16),
        }
        const house = { bodies, openWater: unit.squareMetres(0), humidity: given.humidity }
        const start = { water: one.water, air: one.outside }
        const limit = unit.celsius(one.water - one.fall)
        const cooling = { start: one.water, ambient: one.outside, limit }
        const mass = unit.kilograms(bodies.waterHeat / 4186)
        const single = value(hoursUntilTemperature(cooling, mass, bodies.waterToAir))
        const two = value(hoursUntilCold(house, start, { of: 'water', limit }, steadyOutside(one.outside)))
        if (single.kind !== 'in' || single.hours > coldHorizon) return
        expect(Math.abs(hoursOf(two) - single.hours)).toBeLessThan(0.001 * single.hours + 0.001)
      }),
    )
  })

  it('are none at the limit, and without end where it stays warmer outdoors', () => {
    fc.assert(
      fc.property(figures, night, (given, one) => {
        const house = value(coldHouse(given, one.of, 'usual'))
        const at = { of: one.of, limit: one[one.of] }
        expect(hoursUntilCold(house, one, at, steadyOutside(one.outside))).toEqual({ kind: 'now' })
        const air = { of: 'air' as const, limit: unit.celsius(one.outside - 0.1) }
        // Evaporation may take it below: a wet house is colder than the air around it.
        const dry = { ...house, openWater: unit.squareMetres(0) }
        expect(hoursUntilCold(dry, one, air, steadyOutside(one.outside))).toEqual({ kind: 'never' })
      }),
    )
  })

  it('have an interval around them, wider than nothing', () => {
    fc.assert(
      fc.property(figures, night, fc.option(within(0.5, 20).map(unit.inHours)), (given, one, sunrise) => {
        const outlook = { now: one.outside, forecast: null, hoursUntilSunrise: sunrise }
        const told = value(foreseeCold(given, one, limitOf(one), outlook))
        const usual = hoursOf(told.usual)
        if (told.low !== null) expect(told.low).toBeLessThanOrEqual(usual)
        else expect(usual).toBe(Number.POSITIVE_INFINITY)
        if (told.high !== null) expect(told.high).toBeGreaterThanOrEqual(usual)
        if (told.low !== null && told.high !== null && usual > 0)
          expect(told.high / told.low).toBeGreaterThan(1)
      }),
    )
  })

  it('are refused outside -20 to 60 degC rather than guessed', () => {
    const given = { water: unit.celsius(20), air: unit.celsius(-25) }
    expect(evaporativeLoss(given, unit.squareMetres(1), unit.percent(80))).toBeNull()
  })
})

describe('the night outdoors', () => {
  const course = {
    now: unit.celsius(4),
    lowest: unit.celsius(-6),
    hoursUntilLowest: unit.inHours(9),
  }
  it.each([
    [0, 4],
    // the square root: half of the fall within a quarter of the time
    [2.25, -1],
    [9, -6],
    // halfway back
    [16.5, -1],
    [24, 4],
    [33, -6],
  ])('%d h from now it is %d degC', (hour, expected) => {
    expect(outsideAfter(course, unit.inHours(hour))).toBeCloseTo(expected, 9)
  })

  it('takes the forecast minimum where there is one, and stays as it is where no sun rises', () => {
    const outlook = { now: unit.celsius(4), forecast: unit.celsius(-6), hoursUntilSunrise: unit.inHours(9) }
    expect(courseOf(outlook, 'usual')).toEqual(course)
    expect(courseOf(outlook, 'soon').lowest).toBeLessThan(-6)
    const noSun = courseOf({ ...outlook, forecast: null, hoursUntilSunrise: null }, 'usual')
    expect(outsideAfter(noSun, unit.inHours(7))).toBe(4)
  })
})

describe('water of a loop', () => {
  const basin = (volume: number, surface: number, covered = false) => ({
    volume: unit.cubicMetres(volume),
    surface: unit.squareMetres(surface),
    covered,
  })
  const tank = basin(2, 2)
  const bed = basin(10, 40, true)

  it('a round tank of 2 m3 and 2 m2 has 5.01 m2 of wall and gives off 28 W/K', () => {
    expect(basinConductance(tank)).toBeCloseTo(4 * (2 + 2 * Math.sqrt(2 * Math.PI)), 9)
    expect(basinConductance(tank)).toBeCloseTo(28.05, 2)
  })

  it('cools halfway between the tank by itself and all of it together', () => {
    const loop = value(coolingWater([tank, bed], tank))
    const all = value(coolingWater([tank, bed], null))
    const alone = value(coolingWater([tank], tank))
    const pace = ({ volume, waterToAir }: typeof loop): number => waterToAir / volume
    expect(pace(loop)).toBeCloseTo(Math.sqrt(pace(all) * pace(alone)), 9)
    expect(loop.waterToAir).toBe(all.waterToAir)
  })

  it('is unknown without water', () => {
    expect(coolingWater([], null)).toBeNull()
    expect(coolingWater([tank], basin(0, 1))).toBeNull()
  })
})
