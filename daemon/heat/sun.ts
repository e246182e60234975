import { getTimes } from 'suncalc'
import { inHours, type InHours } from '../units/brands.js'
import { after, between, days, epochMs, hours, type EpochMs } from '../units/time.js'

/** Degrees north, degrees east. */
export interface Site {
  readonly latitude: number
  readonly longitude: number
}

export interface SunTimes {
  readonly sunrise: EpochMs
  readonly sunset: EpochMs
}

const onEarth = ({ latitude, longitude }: Site): boolean =>
  Math.abs(latitude) <= 90 && Math.abs(longitude) <= 180

/**
 * Sunrise and sunset of the solar day that `at` falls into. Null where the sun does not rise or set on that day, and
 * outside -90 to 90 degrees north, -180 to 180 east. The sun's upper edge stands on a flat horizon, refraction counted.
 * @source suncalc 2.0 (Meeus, Astronomical Algorithms), SUN-1
 */
export function sunTimes(at: EpochMs, site: Site): SunTimes | null {
  if (!onEarth(site) || !Number.isFinite(at)) return null
  const { sunrise, sunset } = getTimes(new globalThis.Date(at), site.latitude, site.longitude)
  if (sunrise === null || sunset === null) return null
  return { sunrise: epochMs(sunrise.getTime()), sunset: epochMs(sunset.getTime()) }
}

/** Noon by the sun on that date at that longitude: what `sunTimes` asks for. */
export const solarNoon = (utcNoon: EpochMs, longitude: number): EpochMs =>
  after(utcNoon, hours(-longitude / 15))

/** From `at` to the next sunrise. Null where none comes within two days. Unit: h. @source SUN-1 */
export function hoursUntilSunrise(at: EpochMs, site: Site): InHours | null {
  for (const day of [0, 1, 2]) {
    const times = sunTimes(after(at, days(day)), site)
    if (times !== null && times.sunrise > at) return inHours(between(at, times.sunrise) / 3_600_000)
  }
  return null
}

/** Whether the sun is up; null where it neither rises nor sets on that day. @source SUN-1 */
export function isDaylight(at: EpochMs, site: Site): boolean | null {
  const times = sunTimes(at, site)
  return times === null ? null : at >= times.sunrise && at < times.sunset
}
