import { standardAtmosphere, standardPressure } from '../heat/atmosphere.js'
import {
  celsius,
  gramsPerKilogram,
  kilopascals,
  metres,
  percent,
  ph,
  type GramsPerKilogram,
  type Kilopascals,
} from '../units/brands.js'
import { days, hours, minutes } from '../units/time.js'
import { measured, measuredOrEntered, type SignalInput } from './derivation.js'

// How old a value may be is common practice: water warms and cools slowly, its pH swings within a day, what a test kit
// tells of the nitrogen holds for days. A probe's own stale time goes before these (see compile-graph.ts).

export const waterTemperature = measuredOrEntered('water_temperature', celsius, {
  maxAge: hours(12),
  uncertainAfter: hours(1),
})
export const acidity = measuredOrEntered('ph', ph, { maxAge: days(1), uncertainAfter: hours(1) })
export const airTemperature = measured('air_temperature', celsius, minutes(30))
export const relativeHumidity = measured('relative_humidity', percent, minutes(30))

/** An entry from a test kit counts for a week, and is uncertain after three days (common practice). */
export const testKit = { maxAge: days(7), uncertainAfter: days(3) } as const

/** Fresh water, unless salinity or conductivity is measured. */
export const salinity: SignalInput<GramsPerKilogram> = {
  ...measuredOrEntered('salinity', gramsPerKilogram, testKit),
  standIn: () => ({ value: 0, says: 'fresh water' }),
}

/**
 * Pressure at the site: a barometer anywhere on the farm, else the standard atmosphere at the farm's altitude (right
 * within 3 %, the weather's doing). A barometer that tells pressure reduced to sea level is wrong here.
 */
export const pressure: SignalInput<Kilopascals> = {
  ...measured('barometric_pressure', kilopascals, hours(3)),
  place: 'farm',
  standIn: ({ farm }) => {
    const standard = standardPressure(metres(farm.altitude))
    if (standard === null) return null
    return { value: standard / 1000, says: `standard atmosphere at ${farm.altitude} m` }
  },
}

/** kPa in one atmosphere. */
export const kilopascalsPerAtmosphere = standardAtmosphere / 1000
