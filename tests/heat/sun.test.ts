import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { hoursUntilSunrise, isDaylight, solarNoon, sunTimes } from '../../daemon/heat/sun.js'
import { sineOfSun } from '../../daemon/practice/weather.js'
import {
  after,
  between,
  epochMs,
  hours,
  milliseconds,
  minutes,
  type EpochMs,
} from '../../daemon/units/time.js'

const at = (text: string): EpochMs => epochMs(Date.parse(text))
const greenwich = { latitude: 51.48, longitude: 0 }

/** Days of this century, places from the tropics to where the sun always rises and sets. */
const moment = fc.integer({ min: 946_684_800_000, max: 4_000_000_000_000 }).map(epochMs)
const site = fc.record({
  latitude: fc.double({ min: -60, max: 60, noNaN: true }),
  longitude: fc.double({ min: -180, max: 180, noNaN: true }),
})

describe('sun times', () => {
  it.each([
    ['midsummer', '2000-06-21T12:00:00Z', '2000-06-21T03:43:00Z', '2000-06-21T20:22:00Z'],
    ['midwinter', '2000-12-21T12:00:00Z', '2000-12-21T08:04:00Z', '2000-12-21T15:53:00Z'],
  ])('at Greenwich at %s are those of almanacs (from memory) to 2 min', (_, noon, rise, set) => {
    const times = sunTimes(at(noon), greenwich) ?? expect.fail('the sun rises there')
    expect(Math.abs(between(at(rise), times.sunrise))).toBeLessThan(minutes(2))
    expect(Math.abs(between(at(set), times.sunset))).toBeLessThan(minutes(2))
  })

  it('stand at -0.833 deg, within 1.8 deg, by the simpler sun of the practice greenhouse (Cooper 1969, no equation of time)', () => {
    fc.assert(
      fc.property(moment, site, (day, { latitude, longitude }) => {
        const times = sunTimes(day, { latitude, longitude }) ?? expect.fail('the sun rises there')
        // Cooper's declination is up to 1.6 deg off near the equinoxes.
        // The mean sun is up to 16.5 min off: held against the middle of the day instead of each by itself.
        const half = between(times.sunrise, times.sunset) / 2
        const noon = solarNoon(
          at(new Date(Math.floor(day / 86_400_000) * 86_400_000).toISOString()),
          longitude,
        )
        const where = { latitude, longitude, altitude: 0, timeZone: 'UTC' }
        const height = Math.asin(sineOfSun(after(noon, milliseconds(hours(12) - half)), where))
        expect(Math.abs((height * 180) / Math.PI + 0.833)).toBeLessThan(1.8)
      }),
    )
  })

  it('the next sunrise lies ahead, at most a day and some minutes', () => {
    fc.assert(
      fc.property(moment, site, (now, where) => {
        const left = hoursUntilSunrise(now, where) ?? expect.fail('the sun rises there')
        expect(left).toBeGreaterThan(0)
        expect(left).toBeLessThan(24.3)
        const rise = after(now, hours(left))
        expect([
          isDaylight(after(rise, minutes(5)), where),
          isDaylight(after(rise, minutes(-5)), where),
        ]).toEqual([true, false])
      }),
    )
  })

  it('are none in the polar night, and nowhere beyond the poles', () => {
    expect(sunTimes(at('2027-12-21T12:00:00Z'), { latitude: 80, longitude: 20 })).toBeNull()
    expect(hoursUntilSunrise(at('2027-12-21T12:00:00Z'), { latitude: 80, longitude: 20 })).toBeNull()
    expect(isDaylight(at('2027-06-21T12:00:00Z'), { latitude: 80, longitude: 20 })).toBeNull()
    expect(sunTimes(at('2027-12-21T12:00:00Z'), { latitude: 91, longitude: 20 })).toBeNull()
  })
})
