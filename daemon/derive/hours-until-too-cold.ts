import { anyCrop, crops } from '../farm/crops.js'
import type { FarmPlan } from '../farm/plan.js'
import { speciesOf } from '../farm/resolve-places.js'
import type { HouseFigures } from '../heat/cold-figures.js'
import { foreseeCold, type ColdForecast } from '../heat/foresee-cold.js'
import { coldHorizon } from '../heat/hours-until-cold.js'
import { hoursUntilSunrise } from '../heat/sun.js'
import { celsius, percent, type Celsius, type Percent } from '../units/brands.js'
import type { EpochMs } from '../units/time.js'
import { airTemperature, relativeHumidity, waterTemperature } from './common-inputs.js'
import { derivation, given, whereMeasured, type Told } from './derivation.js'
import { coolingInputs } from './house-figures.js'
import {
  forecastMinimum,
  houseHumidity,
  houseTemperature,
  outsideTemperature,
  siteInputs,
} from './house-inputs.js'
import { atMostSaturated } from './saturated-air.js'

/** What the fish bear, for tanks that have any. */
const fishLimit = given(['lowest for the fish', 'Cel'], celsius, (_plan, place) => {
  if (place.fish === null) return null
  const { label, temperatureLow } = speciesOf(place)
  return { value: temperatureLow.value, says: `${label}: ${temperatureLow.source}` }
})

/** What the tenderest crop of the farm bears. */
const cropLimit = given(['lowest for the crop', 'Cel'], celsius, (plan) => {
  const [tenderest] = cropsOf(plan).toSorted((a, b) => b.airLow.value - a.airLow.value)
  if (tenderest === undefined) return null
  return { value: tenderest.airLow.value, says: `${tenderest.label}: ${tenderest.airLow.source}` }
})

const cropsOf = ({ places }: FarmPlan) =>
  [...places.values()].flatMap(({ plants }) => (plants === null ? [] : [crops.get(plants.crop) ?? anyCrop]))

/** What both are made from. */
const inputs = {
  ...{ outside: outsideTemperature, forecast: forecastMinimum, ...siteInputs },
  ...coolingInputs,
}

type Known = Omit<HouseFigures, 'humidity'> & {
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

function tell(of: 'water' | 'air', known: Known, at: EpochMs): Told | null {
  const { tank, air, limit, latitude, longitude } = known
  const humidity = atMostSaturated(known.humidity ?? usualHumidity)
  const sunrise =
    latitude === null || longitude === null ? null : hoursUntilSunrise(at, { latitude, longitude })
  const forecast = foreseeCold(
    { ...known, humidity },
    { water: tank ?? air, air },
    { of, limit },
    { now: known.outside, forecast: known.forecast, hoursUntilSunrise: sunrise },
  )
  if (forecast === null) return null
  const doubts = tank === null ? ['the warmth of the water is not known, and not counted'] : []
  return { ...valueOf(forecast, doubts), limit, doubtful: tank === null }
}

function valueOf({ usual, low, high }: ColdForecast, doubts: readonly string[]) {
  const never = usual.kind === 'never' ? [`not foreseen within ${coldHorizon / 24} days`] : []
  const says = [...never, ...doubts].join('; ')
  const value = usual.kind === 'never' ? null : usual.kind === 'now' ? 0 : usual.hours
  return { value, low, high, says: says === '' ? null : says }
}

const described = {
  equation: 'HT-18',
  source: 'heat balances of water and air (first principles); figures of common practice, hence the interval',
  valid: '-20 to 60 degC',
} as const

/** Hours until the fish of a tank have it too cold, if all heat stops now. No sun is counted. */
export const fishUntilTooCold = derivation('hours_until_too_cold_if_heat_stops', {
  ...described,
  places: ['tank'],
  inputs: {
    ...{ tank: waterTemperature, air: houseTemperature, humidity: whereMeasured(houseHumidity) },
    ...{ limit: fishLimit, ...inputs },
  },
  compute: (known, at) => tell('water', known, at),
})

/** The same for the crops, by the air of the house. */
export const cropsUntilTooCold = derivation('hours_until_too_cold_if_heat_stops', {
  ...described,
  places: ['air'],
  inputs: {
    air: airTemperature,
    tank: whereMeasured({ ...waterTemperature, place: 'farm' as const }),
    humidity: whereMeasured(relativeHumidity),
    ...{ limit: cropLimit, ...inputs },
  },
  compute: (known, at) => tell('air', known, at),
})
