import type { EpochMs } from '../units/time.js'
import type { Site } from './larkfield.js'

/** What the sky remembers from one step to the next. */
export interface Sky {
  /** Wanders about 0: negative clears up, positive covers. */
  readonly cover: number
  /** K by which these days are warmer than the season's usual */
  readonly anomaly: number
}

/** What a scripted night does to the weather. */
export interface SkyOrders {
  /** K added to the air outdoors */
  readonly shift: number
  /** 0 leaves the clouds alone, 1 takes them away */
  readonly clearing: number
}

export interface Outdoors {
  /** Cel */
  readonly temperature: number
  /** kPa of water vapour */
  readonly vapourPressure: number
  /** W/m2 on level ground */
  readonly sunshine: number
  /** 0 to 1 */
  readonly cloud: number
}

/** How long weather lasts: clouds hours, warm and cold spells days (common practice for mid-latitudes). */
const persistence = { cloudHours: 6, anomalyHours: 48, anomalySpread: 2.5 } as const

/** The sky after `seconds`: two wandering numbers that forget (Ornstein-Uhlenbeck), fed with two normal numbers. */
export function turnSky(sky: Sky, noise: readonly [cloud: number, air: number], seconds: number): Sky {
  const keepCloud = Math.exp(-seconds / (persistence.cloudHours * 3600))
  const keepAir = Math.exp(-seconds / (persistence.anomalyHours * 3600))
  return {
    cover: sky.cover * keepCloud + noise[0] * Math.sqrt(1 - keepCloud ** 2),
    anomaly: sky.anomaly * keepAir + noise[1] * persistence.anomalySpread * Math.sqrt(1 - keepAir ** 2),
  }
}

/** kPa over water. @source Allen et al. (1998), FAO-56, equation 11 */
export const saturationPressure = (temperature: number): number =>
  0.6108 * Math.exp((17.27 * temperature) / (temperature + 237.3))

const dayLength = 86_400_000
const yearLength = 365.2422
/** 1 January 2000, 00:00 UTC. */
const newYear2000 = 946_684_800_000

/** Days since the last new year, about; good enough for seasons. */
const dayOfYear = (at: EpochMs): number => (((at - newYear2000) / dayLength) % yearLength) + 1

/** Hours of the sun's day: 12 when it stands highest (mean sun; the equation of time is left out). */
const solarHour = (at: EpochMs, longitude: number): number =>
  (((at / 3_600_000 + longitude / 15) % 24) + 24) % 24

const radians = Math.PI / 180

/** Sine of the sun's height. @source Cooper (1969): declination = 23.45 sin(360 (284 + n)/365) degrees */
export function sineOfSun(at: EpochMs, site: Site): number {
  const declination = 23.45 * radians * Math.sin((2 * Math.PI * (284 + dayOfYear(at))) / 365)
  const hourAngle = 15 * radians * (solarHour(at, site.longitude) - 12)
  const latitude = site.latitude * radians
  return (
    Math.sin(latitude) * Math.sin(declination) +
    Math.cos(latitude) * Math.cos(declination) * Math.cos(hourAngle)
  )
}

/**
 * Sunshine on level ground, W/m2.
 * @source clear sky Haurwitz (1945): 1098 s exp(-0.057/s), s the sine of the sun's height; under cloud c it is
 * 1 - 0.75 c^3.4 of that, Kasten & Czeplak (1980) (both from memory)
 */
export function sunshine(sineOfHeight: number, cloud: number): number {
  if (sineOfHeight <= 0.001) return 0
  return 1098 * sineOfHeight * Math.exp(-0.057 / sineOfHeight) * (1 - 0.75 * cloud ** 3.4)
}

/** 0 at night, 1 in full daylight: what fish and crops go by. */
export const daylightOf = (sineOfHeight: number): number =>
  Math.min(1, Math.max(0, (sineOfHeight + 0.1) / 0.3))

/**
 * The air outdoors. The season's mean and swing follow latitude (10 and 6.5 degrees at 52.6 north, as in the English
 * Midlands; from memory), the warmest hour is about 14:30 by the sun, and clear days swing more than covered ones.
 */
export function outdoorsAt(at: EpochMs, site: Site, sky: Sky, orders: SkyOrders): Outdoors {
  const cloud = (1 - orders.clearing) / (1 + Math.exp(-1.6 * sky.cover - 0.4))
  const reach = Math.abs(site.latitude)
  const season = -Math.cos((2 * Math.PI * (dayOfYear(at) - 22)) / yearLength) * Math.sign(site.latitude)
  const mean = 30 - 0.38 * reach + 0.124 * reach * season + sky.anomaly + orders.shift
  const swing = (1.5 + 4 * (1 - cloud)) * (1 + 0.3 * season)
  const temperature = mean + swing * Math.cos((2 * Math.PI * (solarHour(at, site.longitude) - 14.5)) / 24)
  const dewPoint = mean - swing * 0.7 - 2 * (1 - cloud)
  return {
    temperature,
    vapourPressure: Math.min(saturationPressure(dewPoint), saturationPressure(temperature)),
    sunshine: sunshine(sineOfSun(at, site), cloud),
    cloud,
  }
}
