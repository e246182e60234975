import { describe, expect, it } from 'vitest'
import type { Now } from '../../daemon/http/contract.js'
import { nowOf } from '../../daemon/http/now.js'
import { converter } from '../../daemon/units/convert.js'
import { quantities } from '../../daemon/units/quantities.js'
import { en, type Manner } from '../../dashboards/wording/en.js'
import { shownBeside, shownNumber, shownValue, valueText } from '../../dashboards/wording/shown.js'
import { momentText, spanText } from '../../dashboards/wording/time.js'
import { trendOf, verdictOf } from '../../dashboards/wording/verdict.js'
import { wordsFor } from '../../dashboards/wording/words.js'
import { calmNight, larkfieldPlan, nightTime, outage } from '../support/web-farm.js'

const manner: Manner = { now: nightTime, timeZone: 'Europe/London', units: 'metric' }
const calm = nowOf(calmNight, larkfieldPlan, null)
const trouble = nowOf(outage, larkfieldPlan, null)
/** Spaces that keep a figure and its unit together read as spaces. */
const said = (now: Now, how = manner, spoken = false) =>
  en.verdict(verdictOf(now), how, spoken).replaceAll('\u00a0', ' ')

describe('the verdict', () => {
  it('claims that all is well only when everything is seen, heard, running and allowed to speak', () => {
    expect(said(calm)).toBe('All well since yesterday 21:40.')
    const doubts: readonly [Partial<Now>, string][] = [
      [{ counts: { ...calm.counts, stale: 2 } }, '2 signals not heard'],
      [{ counts: { ...calm.counts, shelved: 1 } }, '1 alarm shelved'],
      [{ counts: { ...calm.counts, suppressed: 1 } }, '1 alarm suppressed by design'],
      [{ counts: { ...calm.counts, outOfService: 3 } }, '3 alarms out of service'],
      [{ counts: { ...calm.counts, watched: 0 } }, 'nothing is watched yet'],
      [{ equipment: trouble.equipment }, '1 piece of equipment not normal'],
    ]
    for (const [part, doubt] of doubts) {
      expect(said({ ...calm, ...part })).toBe(`No alarm since yesterday 21:40, but ${doubt}.`)
    }
  })

  it('names the two worst and counts the rest', () => {
    expect(said(trouble)).toBe('Blower A stopped 4 min ago; tank 1 oxygen 3.8 mg/L, falling.')
    const [first] = trouble.alarms
    if (first === undefined) throw new Error('the outage has alarms')
    const more = { ...first, id: 'level-low@tank-2' }
    expect(said({ ...trouble, alarms: [...trouble.alarms, more, more] })).toMatch(/; 2 more alarms\.$/)
  })

  it('does not pass an old or bad value for a present one', () => {
    const alarms = trouble.alarms.filter(({ id }) => id === 'oxygen-low@tank-1')
    for (const doubt of [{ stale: true }, { quality: 'bad' as const }, { value: null }]) {
      const signals = trouble.signals.map((signal) => ({ ...signal, ...doubt }))
      const text = said({ ...trouble, alarms, signals })
      expect(text).toBe('Tank 1 oxygen 3.8 mg/L, limit 4.5, since 02:11.')
    }
  })

  it('tells the condition that is over but not answered as over', () => {
    const alarms = trouble.alarms
      .filter(({ id }) => id === 'equipment-fault@blower-a')
      .map((alarm) => ({ ...alarm, state: 'RTNUN' as const, active: false }))
    expect(said({ ...trouble, alarms })).toBe('Blower A stopped 4 min ago, over now.')
  })

  it('is read out without ages, so that the same news is not told every minute', () => {
    const later = { ...manner, now: nightTime + 60_000 }
    expect(said(trouble, manner, true)).toBe(said(trouble, later, true))
    expect(said(trouble)).not.toBe(said(trouble, later))
  })

  it('says falling only when ten minutes of it would change the figure shown', () => {
    const [oxygen] = calm.signals
    if (oxygen === undefined) throw new Error('the calm night has signals')
    const trend = (perMinute: number | null, stale = false) => trendOf({ ...oxygen, perMinute, stale })
    expect([trend(-0.02), trend(-0.005), trend(0.02), trend(null), trend(-1, true)]).toEqual([
      'falling',
      'steady',
      'rising',
      'steady',
      'steady',
    ])
  })
})

describe('values', () => {
  it.each([
    'dissolved_oxygen',
    'water_temperature',
    'flow',
    'water_level',
    'air_pressure',
    'barometric_pressure',
  ])('are converted for the United States as the daemon converts them: %s', (name) => {
    const quantity = quantities.find((one) => one.name === name)
    if (quantity === undefined) throw new Error(`no quantity ${name}`)
    const scale = { quantity: name, unit: quantity.unit }
    const { sign } = shownValue(scale, 0, 'us')
    const daemon = converter(quantity.unit, sign)
    for (const value of [-10, 0, 3.8, 1234.5]) {
      // One part in 100 000: a column of mercury is told to six digits in one table and to more in another.
      const difference = Math.abs(shownNumber(value, scale, 'us') - daemon(value))
      expect(difference).toBeLessThanOrEqual(1e-5 * Math.max(1, Math.abs(daemon(value))))
    }
  })

  it('have the decimals that a person cares for, a true minus, and no minus zero', () => {
    const temperature = { quantity: 'water_temperature', unit: 'Cel' }
    expect(valueText(temperature, 26.44, 'metric')).toBe('26.4\u00a0°C')
    expect(valueText(temperature, 26.44, 'us')).toBe('79.6\u00a0°F')
    expect(valueText(temperature, -3.21, 'metric')).toBe('−3.2\u00a0°C')
    expect(valueText(temperature, -0.04, 'metric')).toBe('0.0\u00a0°C')
    expect(valueText({ quantity: 'oxygen_saturation', unit: '%' }, 96.2, 'metric')).toBe('96%')
    expect(valueText({ quantity: 'ph', unit: '[pH]' }, 6.81, 'metric')).toBe('6.8')
    expect(valueText({ quantity: 'present', unit: '1' }, 0, 'metric')).toBe('off')
    expect(valueText({ quantity: 'status', unit: '' }, 'OL CHRG', 'metric')).toBe('OL CHRG')
  })

  it('are written finer beside a limit that rounding would make equal', () => {
    const oxygen = { quantity: 'dissolved_oxygen', unit: 'mg/L' }
    const figures = (value: number) => shownBeside(oxygen, value, 4.5, 'metric').map(({ figure }) => figure)
    expect(figures(3.8)).toEqual(['3.8', '4.5'])
    expect(figures(4.47)).toEqual(['4.47', '4.50'])
    expect(figures(4.5)).toEqual(['4.5', '4.5'])
  })
})

describe('times', () => {
  it('carry the day when it is another one, in the farm’s own zone', () => {
    const at = (...parts: [number, number, number, number, number]) => Date.UTC(...parts)
    const text = (moment: number, zone = 'Europe/London') => momentText(moment, nightTime, zone)
    expect(text(at(2027, 0, 10, 2, 10))).toBe('02:10')
    expect(text(at(2027, 0, 9, 23, 59))).toBe('yesterday 23:59')
    expect(text(at(2027, 0, 6, 8, 0))).toBe('Wed 08:00')
    expect(text(at(2026, 11, 3, 8, 0))).toBe('3 Dec 08:00')
    // In New York it is still the evening of the ninth.
    expect(text(at(2027, 0, 9, 23, 59), 'America/New_York')).toBe('18:59')
  })

  it('round ages down, in one unit', () => {
    const minute = 60_000
    expect(
      [-5, 0, 59_999, minute, 59 * minute, 60 * minute, 47 * 60 * minute, 48 * 60 * minute].map(spanText),
    ).toEqual([
      '0\u00a0s',
      '0\u00a0s',
      '59\u00a0s',
      '1\u00a0min',
      '59\u00a0min',
      '1\u00a0h',
      '47\u00a0h',
      '2\u00a0days',
    ])
  })
})

describe('words', () => {
  it('fall back to English, and keep a capital of their own', () => {
    expect(wordsFor(['xx-YY', 'en-GB']).language).toBe('en')
    expect(wordsFor([]).language).toBe('en')
    expect([en.sentence('tank 1'), en.sentence('pH')]).toEqual(['Tank 1', 'pH'])
  })
})
