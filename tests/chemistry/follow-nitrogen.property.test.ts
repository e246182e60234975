import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  followNitrogen,
  foretellNitrogen,
  noNitrogen,
  type NitrogenSeen,
} from '../../daemon/chemistry/follow-nitrogen.js'
import * as unit from '../../daemon/units/brands.js'
import { after, epochMs, hours } from '../../daemon/units/time.js'

const start = epochMs(1_800_000_000_000)
const figures = {
  volume: unit.cubicMetres(17.8),
  media: unit.squareMetres(200),
  load: unit.gramsPerDay(106),
  water: { temperature: unit.celsius(26), oxygen: unit.milligramsPerLitre(6.4), ph: unit.ph(7.1) },
}

/** What is foretold after these results, so many hours apart. */
function foretold(results: readonly number[], apart: number) {
  let memory = noNitrogen
  let now: NitrogenSeen | null = null
  for (const [index, result] of results.entries()) {
    const value = unit.milligramsPerLitreAsN(result)
    now = { at: after(start, hours(index * apart)), ammonia: value, nitrite: value }
    memory = followNitrogen(memory, now, figures)
  }
  if (now === null) return expect.fail('nothing was measured')
  const [ammonia, nitrite] = [
    foretellNitrogen('ammonia', memory, now, figures),
    foretellNitrogen('nitrite', memory, now, figures),
  ]
  return { ammonia, nitrite }
}

describe('tomorrow, whatever was measured', () => {
  const results = fc.array(fc.double({ min: 0, max: 20, noNaN: true }), { minLength: 1, maxLength: 12 })

  it('is a number inside its interval, never below nothing', () => {
    fc.assert(
      fc.property(results, fc.constantFrom(1, 6, 24, 200), (all, apart) => {
        for (const one of Object.values(foretold(all, apart))) {
          if (one === null) return expect.fail('it must be told')
          expect(one.low).toBeGreaterThanOrEqual(0)
          expect(one.value).toBeGreaterThanOrEqual(one.low)
          expect(one.high).toBeGreaterThan(one.value)
          expect(Number.isFinite(one.high)).toBe(true)
        }
      }),
      { numRuns: 15 },
    )
  })

  it('is never told as surely nothing: a kit that shows 0 after 0.25 says that there is little', () => {
    const { ammonia, nitrite } = foretold([0.25, 0.25, 0.25, 0.25, 0], 6)
    for (const one of [ammonia, nitrite]) expect(one?.high).toBeGreaterThan(0.05)
  })
})
