import { describe, expect, it } from 'vitest'
import {
  ailsOf,
  mishapsUnderWay,
  ordersOf,
  quietOrders,
  wellProbe,
  type Mishap,
} from '../../daemon/practice/mishaps.js'
import { everyKind, randomNight } from '../../daemon/practice/random-night.js'
import { after, epochMs, hours, minutes, seconds } from '../../daemon/units/time.js'

const at = epochMs(Date.parse('2027-01-10T20:00:00Z'))
const span = { at, for: minutes(10) }

describe('mishaps', () => {
  it('are under way from their beginning until just before their end', () => {
    const list: readonly Mishap[] = [{ kind: 'mains-outage', ...span }]
    expect(mishapsUnderWay(list, epochMs(at - 1))).toEqual([])
    expect(mishapsUnderWay(list, at)).toEqual(list)
    expect(mishapsUnderWay(list, epochMs(at + minutes(10) - 1))).toEqual(list)
    expect(mishapsUnderWay(list, after(at, minutes(10)))).toEqual([])
  })

  it('may be a course instead of a list', () => {
    const course = (moment: number): readonly Mishap[] =>
      moment >= at ? [{ kind: 'pump-stop', ...span }] : []
    expect(mishapsUnderWay(course, at)).toHaveLength(1)
    expect(mishapsUnderWay(course, epochMs(at - 1))).toEqual([])
  })

  it('add up', () => {
    const orders = ordersOf(
      [
        { kind: 'blower-stop', blower: 'blower-a', ...span },
        { kind: 'air-line-open', blower: 'blower-b', size: 0.4, ...span },
        { kind: 'air-line-open', blower: 'blower-b', size: 0.7, ...span },
        { kind: 'leak', basin: 'sump', size: 3, ...span },
        { kind: 'leak', basin: 'sump', size: 4, ...span },
        { kind: 'pump-stop', ...span },
        { kind: 'heater-failure', ...span },
      ],
      at,
    )
    expect([...orders.machines.stopped].sort()).toEqual(['blower-a', 'heater', 'main-pump'])
    expect(orders.machines.openLine).toEqual({ 'blower-a': 0, 'blower-b': 0.7 })
    expect(orders.leaks).toEqual({ sump: 7 })
    expect(orders.machines.mains).toBe(true)
  })

  it('none: everything stays as it is', () => {
    expect(ordersOf([], at)).toBe(quietOrders)
    expect(ailsOf({ signal: 'tank-1/ph', gateway: 'wet-side' }, [], at)).toBe(wellProbe)
  })

  it('throw in the extra feed within their time', () => {
    const { extraFeed } = ordersOf(
      [{ kind: 'overfeeding', tank: 'tank-1', size: 0.5, at, for: hours(1) }],
      at,
    )
    expect(extraFeed['tank-1'] / 24).toBeCloseTo(0.5, 12)
  })

  it('a cold night comes and goes gently', () => {
    const night: Mishap = { kind: 'cold-night', size: 8, at, for: hours(10) }
    const shifts = [0, 1, 5, 9, 10].map((hour) => ordersOf([night], after(at, hours(hour))).sky.shift)
    expect(shifts.map((shift) => Math.round(shift))).toEqual([0, -4, -8, -4, 0])
  })

  it('at probes ail only the probe they are meant for', () => {
    const list: readonly Mishap[] = [
      { kind: 'probe-flat', signal: 'tank-1/ph', ...span },
      { kind: 'probe-clock-wrong', signal: 'tank-1/ph', size: seconds(90), ...span },
      { kind: 'gateway-lost', gateway: 'house', keeps: true, ...span },
    ]
    expect(ailsOf({ signal: 'tank-1/ph', gateway: 'wet-side' }, list, at)).toEqual({
      ...wellProbe,
      flat: true,
      clockAhead: 90_000,
    })
    expect(ailsOf({ signal: 'tank-2/ph', gateway: 'wet-side' }, list, at)).toEqual(wellProbe)
    expect(ailsOf({ signal: 'house/air_temperature', gateway: 'house' }, list, at)).toEqual({
      ...wellProbe,
      silent: true,
      kept: true,
    })
  })

  it('fouling grows with the hours and ends at four fifths', () => {
    const fouled: Mishap = { kind: 'probe-fouled', signal: 's/q', size: 0.2, at, for: hours(24) }
    const lost = (hour: number) =>
      ailsOf({ signal: 's/q', gateway: '' }, [fouled], after(at, hours(hour))).fouled
    expect(lost(2)).toBeCloseTo(0.4, 12)
    expect(lost(23)).toBe(0.8)
  })
})

describe('random nights', () => {
  const nights = Array.from({ length: 400 }, (_, seed) => randomNight(seed, { at }))

  it('are the same for the same seed and different for others', () => {
    expect(randomNight(7, { at })).toEqual(nights[7])
    expect(new Set(nights.map((night) => JSON.stringify(night))).size).toBeGreaterThan(280)
  })

  it('are quiet one time in four, and never busier than asked', () => {
    const quiet = nights.filter((night) => night.length === 0).length
    expect(quiet).toBeGreaterThan(70)
    expect(quiet).toBeLessThan(130)
    expect(Math.max(...nights.map((night) => night.length))).toBe(3)
  })

  it('bring everything sooner or later, within the night, in order', () => {
    const all = nights.flat()
    expect(new Set(all.map(({ kind }) => kind))).toEqual(new Set(everyKind))
    for (const mishap of all) {
      expect(mishap.at).toBeGreaterThanOrEqual(at)
      expect(mishap.at).toBeLessThanOrEqual(at + 0.8 * hours(12))
      expect(mishap.for).toBeGreaterThanOrEqual(minutes(3))
    }
    for (const night of nights) expect(night).toEqual([...night].sort((a, b) => a.at - b.at))
  })

  it('bring only what is asked for', () => {
    const kinds = Array.from({ length: 50 }, (_, seed) => randomNight(seed, { at, kinds: ['blower-stop'] }))
      .flat()
      .map(({ kind }) => kind)
    expect(new Set(kinds)).toEqual(new Set(['blower-stop']))
  })
})
