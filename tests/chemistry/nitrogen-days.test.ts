import { describe, expect, it } from 'vitest'
import { nitrogenDays, type NitrogenCase } from '../support/nitrogen-days.js'

// Against other physics: see nitrogen-days.ts. Measurements are off by up to a tenth.

const days = [1, 2, 3].flatMap((seed) => nitrogenDays(seed, 7, []))
const [first, learnt] = [days.filter(({ day }) => day < 1), days.filter(({ day }) => day >= 2)]

const errorOf = ({ value, truth }: NitrogenCase): number => Math.abs(value / truth - 1)
const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN
const covered = (cases: readonly NitrogenCase[]): number =>
  cases.filter(({ low, high, truth }) => truth >= low && truth <= high).length / cases.length

describe.each(['ammonia', 'nitrite'] as const)('%s of the practice greenhouse a day ahead', (of) => {
  const isOf = (one: NitrogenCase): boolean => one.of === of
  it('is foretold within a tenth, once a day has been measured, and lies in the interval as often as it says', () => {
    const cases = learnt.filter(isOf)
    expect(cases.length).toBeGreaterThanOrEqual(50)
    expect(median(cases.map(errorOf))).toBeLessThan(0.12)
    expect(covered(cases)).toBeGreaterThanOrEqual(0.8)
  })
  it('is told with a wide interval before, and the truth lies in it', () => {
    const cases = first.filter(isOf)
    for (const { low, high } of cases) expect(high / low).toBeGreaterThan(2.5)
    expect(covered(cases)).toBeGreaterThanOrEqual(0.7)
  })
})
