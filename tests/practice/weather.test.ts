import { describe, expect, it } from 'vitest'
import { localMinutes } from '../../daemon/practice/local-time.js'
import { larkfieldSite, type Site } from '../../daemon/practice/larkfield.js'
import { normalNoise } from '../../daemon/practice/noise.js'
import { outdoorsAt, sineOfSun, sunshine, turnSky, type Sky } from '../../daemon/practice/weather.js'
import { epochMs, hours, type EpochMs } from '../../daemon/units/time.js'

const time = (text: string): EpochMs => epochMs(Date.parse(text))
const calm = { shift: 0, clearing: 0 }
const plainSky: Sky = { cover: 0, anomaly: 0 }

const dayMean = (day: string, site: Site = larkfieldSite): number => {
  const temperatures = Array.from(
    { length: 24 },
    (_, hour) => outdoorsAt(epochMs(time(day) + hours(hour)), site, plainSky, calm).temperature,
  )
  return temperatures.reduce((sum, value) => sum + value) / 24
}

describe('the sun', () => {
  it.each([
    ['midsummer', '2027-06-21T12:04:00Z', 60.8],
    ['midwinter', '2027-12-21T12:04:00Z', 14.0],
    ['equinox', '2027-03-21T12:04:00Z', 37.4],
  ])(
    'stands at 90 - latitude + declination degrees at noon, %s (geometry; declination +23.4, -23.4, 0)',
    (_day, at, height) => {
      expect(Math.abs((Math.asin(sineOfSun(time(at), larkfieldSite)) * 180) / Math.PI - height)).toBeLessThan(
        1,
      )
    },
  )

  it('gives nothing at night, and a quarter of itself under full cloud (Kasten & Czeplak 1980)', () => {
    expect(sunshine(-0.5, 0)).toBe(0)
    expect(sunshine(0.8, 1)).toBeCloseTo(0.25 * sunshine(0.8, 0), 9)
    expect(sunshine(1, 0)).toBeCloseTo(1037, 0)
  })
})

describe('the air outdoors', () => {
  it('has English seasons at Larkfield: some 4 degrees in January, 17 in July', () => {
    expect(Math.abs(dayMean('2027-01-20T00:00:00Z') - 3.5)).toBeLessThan(1.5)
    expect(Math.abs(dayMean('2027-07-20T00:00:00Z') - 16.5)).toBeLessThan(1.5)
  })

  it('has them the other way round in the south', () => {
    const south = { ...larkfieldSite, latitude: -37 }
    expect(dayMean('2027-01-20T00:00:00Z', south)).toBeGreaterThan(dayMean('2027-07-20T00:00:00Z', south) + 6)
  })

  it('is warmest in the afternoon and coldest before dawn', () => {
    const at = (hour: number) =>
      outdoorsAt(epochMs(time('2027-05-01T00:00:00Z') + hours(hour)), larkfieldSite, plainSky, calm)
        .temperature
    expect(at(14.5)).toBeGreaterThan(at(9))
    expect(at(2.5)).toBeLessThan(at(22))
  })

  it('never holds more vapour than it can', () => {
    for (let hour = 0; hour < 24; hour++) {
      const air = outdoorsAt(epochMs(time('2027-01-10T00:00:00Z') + hours(hour)), larkfieldSite, plainSky, {
        shift: -10,
        clearing: 1,
      })
      expect(air.vapourPressure).toBeLessThanOrEqual(
        0.6108 * Math.exp((17.27 * air.temperature) / (air.temperature + 237.3)),
      )
    }
  })

  it('wanders by days, with the spread it should have, however fine the steps', () => {
    for (const seconds of [60, 600]) {
      let sky = plainSky
      let squares = 0
      const steps = (400 * 86_400) / seconds
      for (let index = 0; index < steps; index++) {
        sky = turnSky(sky, [0, normalNoise({ seed: 5, stream: 1 }, index)], seconds)
        squares += sky.anomaly ** 2
      }
      expect(Math.abs(Math.sqrt(squares / steps) - 2.5)).toBeLessThan(0.5)
    }
  })
})

describe('the clock on the wall', () => {
  it('follows daylight saving', () => {
    const minutesAt = localMinutes('Europe/London')
    expect(minutesAt(time('2027-01-10T08:07:30Z'))).toBe(8 * 60 + 7.5)
    expect(minutesAt(time('2027-07-10T08:00:00Z'))).toBe(9 * 60)
    expect(minutesAt(time('2027-03-28T00:59:59Z'))).toBeLessThan(60)
    expect(minutesAt(time('2027-03-28T01:00:00Z'))).toBe(120)
  })

  it('knows zones off the hour, and midnight', () => {
    expect(localMinutes('Asia/Kathmandu')(time('2027-01-10T18:15:00Z'))).toBe(0)
  })
})
