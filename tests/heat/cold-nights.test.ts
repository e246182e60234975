import { beforeAll, describe, expect, it } from 'vitest'
import { accuracyOf, casesOf, larkfieldPlan, type ColdAccuracy } from '../support/cold-nights.js'

// Twelve of the nights of tests/bench/cold-nights.ts, which measures 220. The limits are a good deal wider than what was
// measured there: they catch a formula that became worse, not the chance of twelve nights.

const nights = [3, 7, 11, 19, 23, 31, 42, 57, 64, 71, 88, 95]

describe('hours until too cold, foreseen from the probes of the practice greenhouse whose heat stops', () => {
  let rows: readonly ColdAccuracy[] = []
  beforeAll(() => {
    const plan = larkfieldPlan()
    rows = accuracyOf(nights.flatMap((night) => casesOf(night, plan)))
  })
  const row = (of: 'tank' | 'house', asked: string): ColdAccuracy =>
    rows.find((one) => one.of === of && one.asked === asked) ??
    expect.fail(`nothing was asked of ${of}, ${asked}`)

  it.each([
    ['by 2 K, as the heat stops', 0.1, 0.2],
    ['by 2 K, 3 h before', 0.12, 0.25],
  ])(
    'the water of a tank, %s: half of the answers within %d of the truth, nine of ten within %d',
    (asked, half, most) => {
      const told = row('tank', asked)
      expect(told.cases).toBeGreaterThanOrEqual(10)
      expect(told.medianShare).toBeLessThan(half)
      expect(told.ninetiethShare).toBeLessThan(most)
      expect(told.covered).toBeGreaterThanOrEqual(0.8)
    },
  )

  it('the air of the house to 10 degC: half of the answers within a quarter of an hour, the interval holds', () => {
    const told = row('house', 'to 10 degC, as the heat stops')
    expect(told.cases).toBeGreaterThanOrEqual(10)
    expect(told.median).toBeLessThan(0.25)
    expect(told.covered).toBeGreaterThanOrEqual(0.8)
  })
})
