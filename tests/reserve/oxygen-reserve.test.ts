import { describe, expect, it } from 'vitest'
import {
  demandNow,
  emptyReserve,
  followReserve,
  leftIfAirStops,
  leftOnTrend,
  noteSupply,
  type OxygenReserve,
  type TankNow,
} from '../../daemon/reserve/oxygen-reserve.js'
import { nothingLearnt } from '../../daemon/reserve/demand.js'
import { after, days, epochMs, minutes, seconds, type EpochMs } from '../../daemon/units/time.js'

const start = epochMs(1_800_000_000_000)
/** A made-up tank: 27 Cel, 8 mg/L when saturated, expected to breathe 4 mg/(L.h). */
const tankAt = (at: EpochMs, air: TankNow['supply']['air']): TankNow => ({
  at,
  supply: { air, water: 'unknown' },
  saturation: 8,
  temperature: 27,
  expectedDemand: 4,
  depth: 1,
  turnover: null,
  lag: 0,
})

interface Stretch {
  readonly minutes: number
  readonly air: TankNow['supply']['air']
  readonly rate: number
}

/** Readings every 15 s along straight stretches, mg/(L.h). */
function live(stretches: readonly Stretch[], oxygen = 6.5, from = emptyReserve(start), begin = start) {
  let [reserve, at, level]: [OxygenReserve, EpochMs, number] = [from, begin, oxygen]
  for (const { minutes: length, air, rate } of stretches) {
    for (let second = 0; second < 60 * length; second += 15) {
      at = after(at, seconds(15))
      level += (rate * 15) / 3600
      reserve = followReserve(reserve, tankAt(at, air), level)
    }
  }
  return { reserve, at, level }
}

const calm: Stretch = { minutes: 30, air: 'running', rate: 0 }
const minutesOf = (left: ReturnType<typeof leftOnTrend>): number | null =>
  'unknown' in left ? expect.fail(left.unknown) : left.minutes

describe('a tank’s reserve of oxygen', () => {
  it('knows no number before anything was read, and no trend before it was watched', () => {
    const tank = tankAt(start, 'running')
    expect(leftOnTrend(emptyReserve(start), tank, 2)).toEqual({ unknown: 'no oxygen reading yet' })
    const { reserve, at } = live([{ ...calm, minutes: 1 }])
    expect(leftOnTrend(reserve, tankAt(at, 'running'), 2)).toEqual({
      unknown: 'the oxygen has not been watched long enough for a trend',
    })
    expect(leftIfAirStops(reserve, tankAt(at, 'running'), 2)).toHaveProperty('minutes')
  })

  it('foresees nothing on a level course, and by what is expected if the air stops', () => {
    const { reserve, at } = live([calm])
    const tank = tankAt(at, 'running')
    expect(minutesOf(leftOnTrend(reserve, tank, 2))).toBeNull()
    // 4.5 mg/L at 4 mg/(L.h), somewhat longer for what the surface gives
    const left = leftIfAirStops(reserve, tank, 2)
    expect(minutesOf(left)).toBeGreaterThan(67)
    expect(minutesOf(left)).toBeLessThan(80)
  })

  it('turns with the news that the air is gone, before the oxygen has moved', () => {
    const { reserve, at } = live([calm])
    const tank = tankAt(after(at, seconds(5)), 'lost')
    const left = minutesOf(leftOnTrend(noteSupply(reserve, tank), tank, 2))
    expect(left).toBeGreaterThan(60)
    expect(left).toBeLessThan(85)
  })

  it('learns from a draw-down what the tank breathes, how surely, and how well its air replaces it', () => {
    const { reserve, at } = live([calm, { minutes: 15, air: 'lost', rate: -6 }])
    const tank = tankAt(at, 'lost')
    expect(demandNow(reserve, tank).value).toBeGreaterThan(6)
    expect(demandNow(reserve, tank).value).toBeLessThan(6.7)
    expect(reserve.learnt.seen.drawDowns).toBe(1)
    // More than expected, though one hour does not speak for all: between 4 and what was seen, nearer to that.
    expect(Math.exp(reserve.learnt.factor.log)).toBeGreaterThan(1.25)
    expect(Math.exp(reserve.learnt.factor.log)).toBeLessThan(1.6)
    expect(reserve.learnt.factor.variance).toBeLessThan(nothingLearnt(start).factor.variance / 2)
    // It held a deficit of 8 x 0.97 - 6.5 = 1.26 mg/L against some 6.3 mg/(L.h): 5 1/h at 27, 4.2 at 20 Cel.
    expect(Math.exp(reserve.learnt.air?.log ?? NaN)).toBeGreaterThan(3.4)
    expect(Math.exp(reserve.learnt.air?.log ?? NaN)).toBeLessThan(5)
  })

  it('counts a draw-down once, however long it lasts', () => {
    const short = live([calm, { minutes: 10, air: 'lost', rate: -5 }]).reserve
    const long = live([calm, { minutes: 30, air: 'lost', rate: -5 }], 8).reserve
    expect([short.learnt.seen.drawDowns, long.learnt.seen.drawDowns]).toEqual([1, 1])
    expect(long.learnt.factor.variance).toBeCloseTo(short.learnt.factor.variance, 2)
  })

  it('then sees by the deficit that the fish breathe more after a meal', () => {
    const stop: Stretch = { minutes: 12, air: 'lost', rate: -6 }
    const back: Stretch = { minutes: 12, air: 'running', rate: 6 }
    const learnt = live([calm, stop, back, calm])
    const fed = live(
      [{ minutes: 10, air: 'running', rate: -4.2 }, calm],
      learnt.level,
      learnt.reserve,
      learnt.at,
    )
    const usual = demandNow(learnt.reserve, tankAt(learnt.at, 'running')).value
    expect(demandNow(fed.reserve, tankAt(fed.at, 'running')).value).toBeGreaterThan(1.15 * usual)
  })

  it('is less sure of it as months go by', () => {
    const { reserve, at } = live([
      calm,
      { minutes: 15, air: 'lost', rate: -6 },
      { minutes: 12, air: 'running', rate: 6 },
    ])
    const sure = (span: number) =>
      demandNow({ ...reserve, track: null }, tankAt(after(at, days(span)), 'unknown')).logDeviation
    expect(sure(30)).toBeGreaterThan(sure(0))
    expect(sure(200)).toBeGreaterThan(sure(30))
    expect(sure(200)).toBeLessThan(0.5)
  })

  it('learns from the decline of a night where nothing blows air in', () => {
    const dusk: Stretch = { minutes: 20, air: 'none', rate: 0.2 }
    const night: Stretch = { minutes: 40, air: 'none', rate: -3 }
    const { reserve } = live([dusk, night], 8)
    expect(reserve.learnt.seen.drawDowns).toBe(1)
    expect(live([dusk, { ...night, air: 'running' }], 8).reserve.learnt.seen.drawDowns).toBe(0)
  })

  it('learns nothing from a stop in which something still gives air', () => {
    const { reserve } = live([calm, { minutes: 15, air: 'lost', rate: -0.2 }])
    expect(reserve.learnt).toEqual(nothingLearnt(start))
  })

  it('counts on the water that still runs through only while the air is known to be gone', () => {
    const { reserve, at } = live([calm, { minutes: 10, air: 'lost', rate: -4 }])
    const tank = tankAt(at, 'lost')
    const through = { ...tank, supply: { air: 'lost', water: 'running' }, turnover: 0.8 } as const
    const still = minutesOf(leftOnTrend(reserve, tank, 2)) ?? Infinity
    expect(minutesOf(leftOnTrend(reserve, through, 2)) ?? Infinity).toBeGreaterThan(still)
  })

  it('is at its end at the critical level', () => {
    const { reserve, at } = live([{ minutes: 20, air: 'lost', rate: -6 }], 3.5)
    expect(minutesOf(leftOnTrend(reserve, tankAt(after(at, minutes(1)), 'lost'), 2))).toBe(0)
  })
})
