import { describe, expect, it } from 'vitest'
import { gapAfter } from '../../daemon/http/routes/signals.js'
import { epochMs, minutes } from '../../daemon/units/time.js'
import { brokenLine, extremesOf, gapsOf } from '../../dashboards/charts/gaps.js'
import { staffEnd } from '../../dashboards/screens/now/staff.js'

const at = (minute: number, value: number | string | null = 5, quality: 'good' | 'bad' = 'good') => ({
  at: epochMs(minute * 60_000),
  value,
  quality,
})
const twoMinutes = 120_000

describe('a course with holes', () => {
  it('is never bridged: the line is broken where the silence is longer than it may be', () => {
    const { times, values } = brokenLine([at(0), at(1), at(9), at(10)], twoMinutes)
    expect(values).toEqual([5, 5, null, 5, 5])
    expect(times).toEqual([...times].sort((one, other) => one - other))
  })

  it('has its gaps at both ends too, and one where only bad readings came', () => {
    const samples = [at(10), at(11), at(12, 99, 'bad'), at(13, null, 'bad'), at(16)]
    const gaps = gapsOf({ samples, from: 0, to: 30 * 60_000, gapAfter: twoMinutes })
    expect(gaps.map(({ from, to }) => [from / 60_000, to / 60_000])).toEqual([
      [0, 10],
      [11, 16],
      [16, 30],
    ])
    expect(brokenLine(samples, twoMinutes).values).toEqual([5, 5, null, 5])
  })

  it('is one gap when nothing came, and has no extremes then', () => {
    expect(gapsOf({ samples: [], from: 0, to: 600_000, gapAfter: twoMinutes })).toEqual([
      { from: 0, to: 600_000 },
    ])
    expect(extremesOf([at(1, 'OL'), at(2, 99, 'bad')])).toBeNull()
  })

  it('has its lowest and highest from usable readings only', () => {
    const found = extremesOf([at(1, 5), at(2, 99, 'bad'), at(3, 3.8), at(4, 7), at(5, 6)])
    expect([found?.lowest.value, found?.highest.value, found?.latest.value]).toEqual([3.8, 7, 6])
  })

  it('does not take samples of a quarter hour for gaps because the probe speaks every minute', () => {
    const quarters = Array.from({ length: 96 }, (_, index) => at(index * 15))
    const most = gapAfter(minutes(2), 1000, quarters)
    expect(gapsOf({ samples: quarters, from: 0, to: quarters.length * 900_000, gapAfter: most })).toEqual([])
    expect(most).toBe(45 * 60_000)
    expect(gapAfter(minutes(2), 1000, [])).toBe(twoMinutes)
  })
})

describe('the staff of a tank', () => {
  it.each([
    [6.9, 4.5, 10],
    [3.8, 4.5, 10],
    [0, null, 1],
    [12, 5, 20],
    [96, 60, 200],
  ])('stands high enough for %s with a limit of %s', (value, limit, end) => {
    expect(staffEnd(value, limit)).toBe(end)
  })
})
