import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { coldHouse, type HouseFigures } from '../../daemon/heat/cold-figures.js'
import { followCooling, noCooling, paceOf, type CoolingPace } from '../../daemon/heat/cooling-pace.js'
import { evaporativeLoss } from '../../daemon/heat/hours-until-cold.js'
import { twoBodiesAfter } from '../../daemon/heat/two-bodies.js'
import * as unit from '../../daemon/units/brands.js'
import { after, days, epochMs, minutes, type EpochMs } from '../../daemon/units/time.js'

const begin = epochMs(Date.parse('2027-01-10T20:00:00Z'))
const figures: HouseFigures = {
  cover: unit.squareMetres(310),
  uValue: unit.wattsPerSquareMetreKelvin(4),
  volume: unit.cubicMetres(640),
  airChanges: unit.perHour(1),
  water: unit.cubicMetres(15),
  waterToAir: unit.wattsPerKelvin(200),
  openWater: unit.squareMetres(6),
  humidity: unit.percent(85),
  airPace: null,
}
const value = <Value>(told: Value | null): Value => told ?? expect.fail('there is a value')

interface Night {
  /** The house holds so many times the usual warmth. */
  readonly factor: number
  readonly outside: number
  readonly hours: number
}

/** A house with a thermostat, minute by minute, by a probe that tells tenths. */
function watched({ factor, outside, hours }: Night): CoolingPace {
  const house = value(coldHouse({ ...figures, airPace: factor }, 'air', 'usual'))
  let [at, now, heating, memory] = [
    { water: unit.celsius(26), air: unit.celsius(14) },
    begin,
    false,
    noCooling,
  ]
  for (let minute = 0; minute < hours * 60; minute++) {
    heating = at.air < (heating ? 14.8 : 13.2)
    const taken = value(evaporativeLoss(at, house.openWater, house.humidity))
    const around = {
      outside: unit.celsius(outside),
      intoWater: unit.watts(-taken),
      intoAir: unit.watts(heating ? 40_000 : 0),
    }
    at = value(twoBodiesAfter(house.bodies, at, around, unit.inHours(1 / 60)))
    now = after(now, minutes(1))
    const air = unit.celsius(Math.round(at.air * 10) / 10)
    memory = followCooling(memory, { at: now, air, water: at.water, outside: unit.celsius(outside) }, figures)
  }
  return memory
}

const sample = (at: EpochMs, air: number) => ({
  ...{ at, air: unit.celsius(air), water: unit.celsius(26), outside: unit.celsius(-4) },
})

describe('the pace at which a house cools', () => {
  it('is found within a fifth from one cold night with a thermostat, whatever the house holds', () => {
    const factor = fc.double({ min: 0.5, max: 2, noNaN: true })
    const outside = fc.double({ min: -8, max: 2, noNaN: true })
    fc.assert(
      fc.property(factor, outside, (held, cold) => {
        const pace = paceOf(watched({ factor: held, outside: cold, hours: 10 }))
        expect(Math.abs(value(pace) / held - 1)).toBeLessThan(0.2)
      }),
      { numRuns: 30 },
    )
  })

  it('is not known before three falls', () => {
    const memory = watched({ factor: 1, outside: -4, hours: 10 })
    expect(memory.falls.length).toBeGreaterThan(3)
    expect(paceOf({ ...memory, falls: memory.falls.slice(0, 2) })).toBeNull()
    expect(paceOf(noCooling)).toBeNull()
  })

  it('is that of the quickest falls: one with heat left in it is passed over', () => {
    const falls = [0.8, 0.82, 0.8, 1.9, 2.2].map((pace) => ({ at: begin, pace }))
    expect(paceOf({ ...noCooling, falls })).toBe(0.8)
  })

  it('learns nothing from air that rises, stands still or is not heard for twenty minutes', () => {
    const courses = [(minute: number) => 10 + minute / 30, (minute: number) => 14 + (minute % 2) / 10]
    for (const course of courses) {
      let memory = noCooling
      for (let minute = 0; minute < 300; minute++)
        memory = followCooling(memory, sample(after(begin, minutes(minute)), course(minute)), figures)
      expect(memory.falls).toEqual([])
    }
    const seldom = [14, 12, 10, 13].reduce(
      (memory, air, index) => followCooling(memory, sample(after(begin, minutes(25 * index)), air), figures),
      noCooling,
    )
    expect(seldom.falls).toEqual([])
  })

  it('forgets after three days, and keeps twelve falls', () => {
    const memory = watched({ factor: 0.6, outside: -8, hours: 30 })
    expect(memory.falls).toHaveLength(12)
    const later = [14, 13.9, 13.5, 13.1, 12.6, 13.4].reduce(
      (one, air, index) =>
        followCooling(one, sample(after(after(begin, days(6)), minutes(5 * index)), air), figures),
      memory,
    )
    expect(later.falls.length).toBe(1)
  })
})
