import { describe, expect, it } from 'vitest'
import { extremeOf, incidentsOf, timesOf } from '../../daemon/incidents/timeline.js'
import type { JournalLine, Sample } from '../../daemon/ports/history.js'
import { epochMs, minutes } from '../../daemon/units/time.js'

const at = (minute: number) => epochMs(minute * 60_000)
const state = (minute: number, alarm: string, to: string): JournalLine => ({
  seq: minute,
  at: at(minute),
  event: 'state',
  about: alarm,
  doc: { alarm, to, condition_since: at(minute - 2) },
})
const sample = (minute: number, value: number | null): Sample => ({
  at: at(minute),
  value,
  quality: value === null ? 'bad' : 'good',
})

describe('the worst of a course and the time beyond its limit', () => {
  const oxygen = { signal: 'tank-1/dissolved_oxygen', unit: 'mg/L', beyond: 'below' as const, limit: 4.5 }

  it('a straight fall from 6 to 3 and back within 60 minutes lies below 4.5 for 30 (closed form)', () => {
    const course = [sample(0, 6), sample(30, 3), sample(60, 6)]
    expect(extremeOf(course, oxygen, minutes(40))).toEqual({
      signal: oxygen.signal,
      at: at(30),
      value: 3,
      unit: 'mg/L',
      limit: 4.5,
      beyondFor: minutes(30),
    })
  })

  it('what lies in a gap is not claimed', () => {
    const course = [sample(0, 4), sample(5, 4), sample(65, 4), sample(70, 4)]
    expect(extremeOf(course, oxygen, minutes(10))?.beyondFor).toBe(minutes(10))
  })

  it('bad samples count neither as low nor as time', () => {
    expect(extremeOf([sample(0, 6), sample(5, null), sample(8, 6)], oxygen, minutes(10))).toMatchObject({
      value: 6,
      beyondFor: 0,
    })
    expect(extremeOf([sample(0, null)], oxygen, minutes(10))).toBeNull()
  })
})

describe('incidents in the journal', () => {
  const night = [
    state(10, 'mains-lost@mains', 'UNACK'),
    state(15, 'oxygen-low@tank-1', 'UNACK'),
    state(20, 'mains-lost@mains', 'RTNUN'),
    state(30, 'oxygen-low@tank-1', 'RTNUN'),
    state(200, 'ph-low@tank-1', 'UNACK'),
    state(210, 'ph-low@tank-1', 'RTNUN'),
  ]

  it('alarms that overlap are one, a quiet of more than half an hour parts', () => {
    expect(incidentsOf(night, minutes(30))).toEqual([
      { from: at(8), to: at(30), first: 'mains-lost@mains' },
      { from: at(198), to: at(210), first: 'ph-low@tank-1' },
    ])
  })

  it('all is well only when the last of them is normal', () => {
    expect(timesOf(night.slice(0, 4))).toMatchObject({
      conditionAt: at(8),
      alarmAt: at(10),
      allWellAt: at(30),
    })
    expect(timesOf(night.slice(0, 3)).allWellAt).toBeNull()
  })
})
