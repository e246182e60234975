import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { changeOf, nowOf } from '../../daemon/http/now.js'
import { serverTime } from '../../dashboards/live/age.js'
import { merged } from '../../dashboards/live/merge.js'
import { calmNight, larkfieldPlan, outage } from '../support/web-farm.js'

const calm = nowOf(calmNight, larkfieldPlan, null)
const trouble = nowOf(outage, larkfieldPlan, { says: 'practice', tryThis: 'something' })

describe('what the page knows', () => {
  it('is what the daemon knows, however state changes and however many changes came', () => {
    const value = fc.option(fc.double({ noNaN: true, noDefaultInfinity: true }), { nil: null })
    const state = fc
      .record({ values: fc.array(value, { minLength: 3, maxLength: 3 }), bad: fc.boolean(), at: fc.nat() })
      .map(({ values, bad, at }) => {
        const base = bad ? trouble : calm
        const signals = calm.signals.map((signal, index) => ({
          ...signal,
          value: values[index] ?? signal.value,
        }))
        // Through JSON, as it comes over the wire.
        return JSON.parse(JSON.stringify({ ...base, at, signals })) as typeof calm
      })
    fc.assert(
      fc.property(fc.array(state, { minLength: 2, maxLength: 8 }), (states) => {
        let [known] = states
        if (known === undefined) return
        for (const [index, next] of states.entries()) {
          const before = states[Math.max(0, index - 1)] ?? next
          const change = changeOf(before, next)
          if (change !== null && change !== 'all') known = merged(known, change)
          expect({ ...known, at: next.at }).toEqual(next)
        }
      }),
      { numRuns: 60 },
    )
  })

  it('never looks younger than it is: the clock that moved further counts', () => {
    const anchor = { at: 1_000_000, wall: 500, tick: 100 }
    fc.assert(
      fc.property(fc.integer(), fc.nat(), (wall, tick) => {
        const now = serverTime(anchor, { wall, tick })
        expect(now).toBeGreaterThanOrEqual(anchor.at)
        expect(now).toBeGreaterThanOrEqual(anchor.at + tick - anchor.tick)
        expect(now).toBeGreaterThanOrEqual(anchor.at + wall - anchor.wall)
      }),
    )
  })
})
