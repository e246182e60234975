import { describe, expect, it } from 'vitest'
import { calculate } from '../../daemon/calculations/calculate.js'
import type { Given } from '../../daemon/calculations/read-input.js'
import { Fault } from '../../daemon/errors.js'

const value = (quantity: string, inputs: Readonly<Record<string, Given>>): number =>
  calculate(quantity, new Map(Object.entries(inputs))).value

function refusal(quantity: string, inputs: Readonly<Record<string, Given>>): string {
  try {
    return `it gave ${value(quantity, inputs)}`
  } catch (cause) {
    if (cause instanceof Fault) return `${cause.code}: ${cause.message} | ${cause.hint}`
    throw cause
  }
}

const greenwich = { latitude: '51.48 deg', longitude: '0 deg' }

describe('sunrise and sunset', () => {
  it('are hours from 0:00 UTC of the date (almanac for Greenwich at midsummer, from memory: 3:43 and 20:22)', () => {
    expect(value('sunrise', { ...greenwich, date: '2000-06-21' })).toBeCloseTo(3 + 43 / 60, 1)
    expect(value('sunset', { ...greenwich, date: '2000-06-21' })).toBeCloseTo(20 + 22 / 60, 1)
  })

  it('belong to the date at the place: far in the east the sun rises on the evening before, UTC', () => {
    const east = { latitude: '-37 deg', longitude: '175 deg', date: '2027-01-10' }
    expect(value('sunrise', east)).toBeLessThan(0)
    expect(value('sunset', east)).toBeGreaterThan(0)
  })

  it.each([
    ['yesterday', '"yesterday" is no date | write for example date=2027-01-10'],
    ['2027-02-30', '"2027-02-30" is no date'],
  ])('refuse %s as a date', (date, why) => {
    expect(refusal('sunrise', { ...greenwich, date })).toContain(why)
  })

  it('refuse the polar night in words', () => {
    const north = { latitude: '80 deg', longitude: '20 deg', date: '2027-12-21' }
    expect(refusal('sunset', north)).toContain('there is no sunset on that day at that latitude')
  })
})

describe('a house that cools', () => {
  const night = {
    ...{ limit: '25 degC', water_temperature: '27 degC', air_temperature: '14 degC', outside: '0 degC' },
    ...{ area: '310 m2', u_value: '4 W/(m2.K)', volume: '640 m3', air_changes: '1 /h' },
    ...{ water: '15 m3', water_to_air: '200 W/K', open_water: '6 m2', of: 'water' },
  }

  it('tells its hours and the ends of the interval in order', () => {
    const [soon, usual, late] = ['soon', 'usual', 'late'].map((one) =>
      value('hours_until_too_cold', { ...night, case: one }),
    )
    expect([soon, usual, late]).toEqual([soon, usual, late].toSorted((a = 0, b = 0) => a - b))
    // By hand: 200 W/K x 24 K and 6 m2 x 510 W of evaporation on 62.8 MJ/K: 0.45 K/h, slower as it cools.
    expect(usual).toBeGreaterThan(4)
    expect(usual).toBeLessThan(7)
  })

  it('says that it does not come to that, or is there already', () => {
    const mild = { ...night, outside: '26 degC', air_temperature: '27 degC', limit: '10 degC' }
    expect(refusal('hours_until_too_cold', mild)).toContain('not within 5 days')
    expect(value('hours_until_too_cold', { ...night, limit: '28 degC' })).toBe(0)
  })

  it('stands after no time where it stood, and after long where it rests', () => {
    const two = {
      ...{
        water_heat: '60000 kJ/K',
        air_heat: '8000 kJ/K',
        water_to_air: '200 W/K',
        air_to_outside: '1400 W/K',
      },
      ...{ water_temperature: '27 degC', air_temperature: '14 degC', outside: '0 degC' },
    }
    expect(value('water_temperature_after', { ...two, time: '0 h' })).toBeCloseTo(27, 9)
    expect(value('air_temperature_after', { ...two, time: '0 h' })).toBeCloseTo(14, 9)
    expect(value('air_temperature_after', { ...two, time: '5000 h', into_air: '14 kW' })).toBeCloseTo(10, 6)
  })
})
