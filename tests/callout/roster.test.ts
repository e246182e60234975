import { describe, expect, it } from 'vitest'
import type { RosterRule } from '../../daemon/callout/people.js'
import { localMinuteOfDay, nextLocalMinute, onDuty } from '../../daemon/callout/roster.js'
import { epochMs, type EpochMs } from '../../daemon/units/time.js'

const zone = 'Europe/London'
const moment = (text: string): EpochMs => epochMs(Date.parse(text))
/** Minutes of the week; Monday is day 0. */
const minute = (day: number, hour: number, past = 0): number => day * 1440 + hour * 60 + past
const sunday = 6
const duty = (rules: readonly RosterRule[], text: string) => onDuty(rules, zone, moment(text))

const week: readonly RosterRule[] = [
  { from: minute(0, 20), to: minute(4, 8), who: ['first'] },
  { from: minute(4, 8), to: minute(0, 20), who: ['second'] },
]

describe('who is on duty', () => {
  it('the minute of hand-over belongs to the next, also over the end of the week', () => {
    expect(duty(week, '2027-01-15T07:59:59.999Z')).toEqual(['first'])
    expect(duty(week, '2027-01-15T08:00:00Z')).toEqual(['second'])
    expect(duty(week, '2027-01-18T00:00:00Z')).toEqual(['second'])
    expect(duty(week, '2027-01-18T20:00:00Z')).toEqual(['first'])
  })

  it('goes by the clock of the farm in summer', () => {
    expect(duty(week, '2027-07-16T06:59:00Z')).toEqual(['first'])
    expect(duty(week, '2027-07-16T07:00:00Z')).toEqual(['second'])
  })

  it('from a moment to itself is the whole week; everyone once, in the order of the rules', () => {
    const always = { from: minute(2, 5), to: minute(2, 5), who: ['second', 'first'] }
    expect(duty([...week, always], '2027-01-13T01:00:00Z')).toEqual(['first', 'second'])
    expect(duty([], '2027-01-13T01:00:00Z')).toEqual([])
  })
})

// Great Britain: forward at 01:00 UTC on the last Sunday of March, back at 01:00 UTC on the last of October (tz database).
describe('the nights when the clocks change (AL-48)', () => {
  const rules: readonly RosterRule[] = [
    { from: minute(sunday, 1, 30), to: minute(sunday, 3), who: ['night'] },
    { from: minute(sunday, 3), to: minute(sunday, 1, 30), who: ['day'] },
  ]

  it('a time that does not exist moves forward to the first that does', () => {
    expect(duty(rules, '2027-03-28T00:59:59Z')).toEqual(['day'])
    expect(duty(rules, '2027-03-28T01:00:00Z')).toEqual(['night'])
    expect(duty(rules, '2027-03-28T01:59:59Z')).toEqual(['night'])
    expect(duty(rules, '2027-03-28T02:00:00Z')).toEqual(['day'])
  })

  it('duty that lies wholly within the hour that does not exist is none', () => {
    const short = [{ from: minute(sunday, 1, 15), to: minute(sunday, 1, 45), who: ['night'] }]
    for (const text of ['00:59:59', '01:00:00', '01:30:00'])
      expect(duty(short, `2027-03-28T${text}Z`)).toEqual([])
  })

  it('a time that occurs twice means the first, and is not undone by the second', () => {
    expect(duty(rules, '2027-10-31T00:29:59Z')).toEqual(['day'])
    expect(duty(rules, '2027-10-31T00:30:00Z')).toEqual(['night'])
    expect(duty(rules, '2027-10-31T01:10:00Z')).toEqual(['night'])
    expect(duty(rules, '2027-10-31T02:59:59Z')).toEqual(['night'])
    expect(duty(rules, '2027-10-31T03:00:00Z')).toEqual(['day'])
  })

  it('duty that ends in the hour that comes twice ends the first time', () => {
    const ends = [{ from: minute(sunday, 0), to: minute(sunday, 1, 30), who: ['night'] }]
    expect(duty(ends, '2027-10-31T00:29:59Z')).toEqual(['night'])
    expect(duty(ends, '2027-10-31T00:30:00Z')).toEqual([])
    expect(duty(ends, '2027-10-31T01:15:00Z')).toEqual([])
  })
})

describe('the next time the clock shows a minute', () => {
  const next = (text: string, minuteOfDay: number) => nextLocalMinute(zone, moment(text), minuteOfDay)

  it('strictly later: at 07:00 it is tomorrow', () => {
    expect(next('2027-01-13T06:59:59Z', 420)).toBe(moment('2027-01-13T07:00:00Z'))
    expect(next('2027-01-13T07:00:00Z', 420)).toBe(moment('2027-01-14T07:00:00Z'))
  })

  it('07:00 after a change of the clocks is 07:00 by the new one', () => {
    expect(next('2027-03-27T12:00:00Z', 420)).toBe(moment('2027-03-28T06:00:00Z'))
    expect(next('2027-10-30T12:00:00Z', 420)).toBe(moment('2027-10-31T07:00:00Z'))
  })

  it('01:30 that does not exist is 02:00; 01:30 that comes twice comes once', () => {
    expect(next('2027-03-28T00:00:00Z', 90)).toBe(moment('2027-03-28T01:00:00Z'))
    expect(next('2027-10-30T23:00:00Z', 90)).toBe(moment('2027-10-31T00:30:00Z'))
    expect(next('2027-10-31T00:30:00Z', 90)).toBe(moment('2027-11-01T01:30:00Z'))
  })

  it('minute of the day', () => {
    expect(localMinuteOfDay(zone, moment('2027-07-16T06:00:00Z'))).toBe(420)
  })
})
