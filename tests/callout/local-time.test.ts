import { describe, expect, it } from 'vitest'
import { localTime } from '../../daemon/callout/local-time.js'
import { sayDate, saySpan, sayTime, voiceOf } from '../../daemon/callout/manner.js'
import { moment, night } from './sample-facts.js'

describe('the farm’s clock', () => {
  it('knows summer time: before and after the change of March 2027 in Europe/London', () => {
    expect(localTime(moment('2027-03-28T00:59:00Z'), 'Europe/London').clock).toBe('00:59')
    expect(localTime(moment('2027-03-28T01:00:00Z'), 'Europe/London').clock).toBe('02:00')
  })
  it('shows midnight as 00, the day before or after where the zone says so, half hours too', () => {
    expect(localTime(moment('2026-11-25T00:00:00Z'), 'Europe/London')).toEqual({
      year: 2026,
      month: 11,
      day: 25,
      weekday: 3,
      hour: 0,
      minute: 0,
      clock: '00:00',
    })
    expect(localTime(moment('2026-11-25T23:30:00Z'), 'Asia/Kathmandu')).toMatchObject({
      day: 26,
      clock: '05:15',
    })
    expect(localTime(moment('2026-12-31T23:30:00Z'), 'America/St_Johns')).toMatchObject({
      year: 2026,
      clock: '20:00',
    })
  })
})

describe('moments as people read them', () => {
  const voice = voiceOf(night)
  it.each([
    ['2026-11-25T00:10:00Z', '00:10'],
    ['2026-11-24T23:50:00Z', '23:50'],
    ['2026-11-24T10:00:00Z', 'Tue 10:00'],
    ['2026-11-03T10:00:00Z', '3 Nov 10:00'],
    ['2026-11-25T21:00:00Z', '21:00'],
  ])('%s is %s, at 02:15 on Wednesday 25 November 2026', (at, says) => {
    expect(sayTime(moment(at), voice)).toBe(says)
  })
  it('writes the whole date, in the person’s language', () => {
    expect(sayDate(moment('2026-08-25T02:12:00Z'), voice)).toBe('25 Aug 2026, 03:12')
    expect(sayDate(moment('2026-08-25T02:12:00Z'), voiceOf({ ...night, language: 'es' }))).toBe(
      '25 ago 2026, 03:12',
    )
  })
  it('rounds a time that is left down, and never below nothing', () => {
    expect(saySpan(24.99, voice)).toBe('24 min')
    expect(saySpan(-3, voice)).toBe('0 min')
    expect(saySpan(239, voice)).toBe('3.9 h')
  })
})
