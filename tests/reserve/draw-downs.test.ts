import { describe, expect, it } from 'vitest'
import { accountOf, larkfieldFarm, watchNight, type DrawDownCase } from '../support/draw-downs.js'

// A small, fixed part of `tests/bench/draw-downs.ts`; the limits are about one and a half times what the whole gives.

describe('oxygen minutes, whole core, practice greenhouse', () => {
  const farm = larkfieldFarm()
  const watched = [0, 1, 2, 3, 4, 5].map((night) => watchNight(farm, night, true))
  const cases = watched.flatMap((one) => one.cases)
  const account = (holds: (one: DrawDownCase) => boolean) => accountOf(cases.filter(holds))

  it.each([
    [30, 4.5],
    [15, 2.5],
    [5, 1],
  ] as const)('with %i min truly left the trend is off by less than %f min, half the time', (left, most) => {
    const {
      cases: count,
      median,
      silent,
    } = account(({ forecast, asked }) => forecast === 'oxygen_minutes_on_trend' && asked === left)
    expect(count).toBeGreaterThan(10)
    expect(silent).toBe(0)
    expect(median).toBeLessThan(most)
  })

  it('holds the truth in its interval of four fifths most of the time, both ways', () => {
    for (const forecast of ['oxygen_minutes_on_trend', 'oxygen_minutes_if_air_stops'])
      expect(account((one) => one.forecast === forecast && one.asked !== 'before').inside).toBeGreaterThan(
        0.75,
      )
  })

  it('knows before a power cut how long the tank will last, having seen one short stop', () => {
    const { cases: count, median } = account(
      ({ asked, kind }) => asked === 'before' && kind === 'mains-outage',
    )
    expect(count).toBeGreaterThan(5)
    expect(median).toBeLessThan(6)
  })

  it('foresees no end while nothing is wrong', () => {
    const quiet = watched.reduce((sum, one) => sum + one.quietHours, 0)
    const wrong = watched.reduce((sum, one) => sum + one.falseHours, 0)
    expect(quiet).toBeGreaterThan(20)
    expect(wrong / quiet).toBeLessThan(0.002)
  })
})
