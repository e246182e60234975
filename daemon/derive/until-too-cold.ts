import type { HouseFigures } from '../heat/cold-figures.js'
import { foreseeCold, type ColdForecast } from '../heat/foresee-cold.js'
import { coldHorizon } from '../heat/hours-until-cold.js'
import { hoursUntilSunrise } from '../heat/sun.js'
import { percent, type Celsius, type Percent } from '../units/brands.js'
import type { EpochMs } from '../units/time.js'
import type { Told } from './derivation.js'
import { coolingInputs } from './house-figures.js'
import { forecastMinimum, outsideTemperature, siteInputs } from './house-inputs.js'
import { atMostSaturated } from './saturated-air.js'

export const untilTooCold = 'hours_until_too_cold_if_heat_stops'

/** What fish and crops are told by. */
export const coldInputs = {
  ...{ outside: outsideTemperature, forecast: forecastMinimum, ...siteInputs },
  ...coolingInputs,
}

export const coldEquation = {
  equation: 'HT-18',
  source: 'heat balances of water and air (first principles); figures of common practice, hence the interval',
} as const

/** The values of `coldInputs`, and of the place itself. */
export interface ColdKnown extends Omit<HouseFigures, 'humidity' | 'airPace'> {
  /** Null where nothing measures how warm the water is. */
  readonly tank: Celsius | null
  readonly air: Celsius
  readonly humidity: Percent | null
  readonly limit: Celsius
  readonly outside: Celsius
  readonly forecast: Celsius | null
  readonly latitude: number | null
  readonly longitude: number | null
}

/** Of a shut house at night whose humidity nobody measures (common practice). */
const usualHumidity = percent(85)

export const figuresOf = (known: ColdKnown, airPace: number | null): HouseFigures => ({
  ...known,
  humidity: atMostSaturated(known.humidity ?? usualHumidity),
  airPace,
})

/** Hours until the water or the air of the house has cooled to the limit. Null outside -20 to 60 degC. No sun is counted. */
export function tellUntilTooCold(
  of: 'water' | 'air',
  known: ColdKnown,
  at: EpochMs,
  airPace: number | null,
): Told | null {
  const { tank, air, limit, latitude, longitude } = known
  const sunrise =
    latitude === null || longitude === null ? null : hoursUntilSunrise(at, { latitude, longitude })
  const forecast = foreseeCold(
    figuresOf(known, airPace),
    { water: tank ?? air, air },
    { of, limit },
    { now: known.outside, forecast: known.forecast, hoursUntilSunrise: sunrise },
  )
  if (forecast === null) return null
  const doubts = tank === null ? ['the warmth of the water is not known, and not counted'] : []
  return { ...inWords(forecast, doubts), limit, doubtful: tank === null }
}

function inWords({ usual, low, high }: ColdForecast, doubts: readonly string[]) {
  const never = usual.kind === 'never' ? [`not foreseen within ${coldHorizon / 24} days`] : []
  const says = [...never, ...doubts].join('; ')
  const value = usual.kind === 'never' ? null : usual.kind === 'now' ? 0 : usual.hours
  return { value, low, high, says: says === '' ? null : says }
}
