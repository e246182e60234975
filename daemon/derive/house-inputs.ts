import { celsius, watts } from '../units/brands.js'
import { hours } from '../units/time.js'
import { airTemperature, relativeHumidity } from './common-inputs.js'
import { given, measured, whereMeasured, whereWritten } from './derivation.js'

/** Air outdoors, at the first place of that kind. */
export const outsideTemperature = { ...airTemperature, place: 'outdoors' } as const

/** Air of the first house, for what stands in it. */
export const houseTemperature = { ...airTemperature, place: 'air' } as const
export const houseHumidity = { ...relativeHumidity, place: 'air' } as const

/** The coming night's minimum, if anything forecasts it; a forecast counts for a day (common practice). */
export const forecastMinimum = whereMeasured({
  ...measured('air_temperature_forecast_minimum', celsius, hours(24)),
  place: 'outdoors',
})

const degrees = (value: number): number => value
const site = (axis: 'latitude' | 'longitude') =>
  whereWritten(
    given([axis, 'deg'], degrees, ({ farm }) => {
      const value = farm[axis]
      return value === null ? null : { value, says: 'as in the configuration' }
    }),
  )
/** Where the farm lies, for the sun. */
export const siteInputs = { latitude: site('latitude'), longitude: site('longitude') }

/** What the plates of all heaters of the place say together; null without any. */
export const ratedPower = given(['power of the heaters', 'W'], watts, ({ equipment }, place) => {
  const heaters = [...equipment.values()].filter(
    ({ kind, serves, ratedPower: rated }) => kind === 'heater' && rated !== null && serves.includes(place.id),
  )
  if (heaters.length === 0) return null
  const total = heaters.reduce((sum, { ratedPower: rated }) => sum + (rated ?? 0), 0)
  return { value: total, says: heaters.map(({ label }) => label).join(', ') }
})
