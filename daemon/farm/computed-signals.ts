import { signalName, type SignalName } from '../readings/signal.js'
import type { Quantity } from '../units/quantities.js'
import { isHeated } from './equipment-alarms.js'
import { holdsWater } from './labels.js'
import { entered } from './on-demand.js'
import type { Equipment, Place, ProbePattern, SignalPlan } from './plan.js'

interface Known {
  readonly places: ReadonlyMap<string, Place>
  readonly equipment: ReadonlyMap<string, Equipment>
  readonly quantities: ReadonlyMap<string, Quantity>
}

/**
 * The values that Bellwater computes. A tank with fish gets all of them, whatever its probes: what is missing may be
 * entered from a test kit. Other places get those whose inputs have probes.
 */
export function computedSignals(
  known: Known,
  declared: ReadonlyMap<SignalName, SignalPlan>,
  patterns: readonly ProbePattern[],
): readonly SignalPlan[] {
  const may = (place: Place, quantity: string): boolean =>
    declared.has(signalName(place.id, quantity)) ||
    patterns.some((one) => (one.place ?? place.id) === place.id && one.quantity === quantity)
  return [...known.places.values()].flatMap((place) =>
    computedAt(place, may, known).flatMap((name) => {
      const quantity = known.quantities.get(name)
      const signal = signalName(place.id, name)
      return quantity === undefined
        ? []
        : [{ signal, quantity, ...entered, plausible: null, tests: null, origin: 'computed' as const }]
    }),
  )
}

type May = (place: Place, quantity: string) => boolean

function computedAt(place: Place, may: May, known: Known): readonly string[] {
  const names: string[] = []
  const has = (quantity: string): boolean => may(place, quantity)
  const air = firstOf('air', known)
  const stocked = place.fish !== null
  if (holdsWater(place.kind)) {
    if (stocked || (has('dissolved_oxygen') && has('water_temperature'))) names.push('oxygen_saturation')
    if (stocked || (has('total_ammonia_nitrogen') && has('ph'))) names.push('unionised_ammonia_nitrogen')
    if (stocked && place.volume !== null)
      names.push('oxygen_demand', 'oxygen_minutes_if_air_stops', 'oxygen_minutes_on_trend')
    const cools = stocked && place.volume !== null && housesOf(known).length > 0
    if (cools && air !== undefined && knowsBoth(air, may, known))
      names.push('hours_until_too_cold_if_heat_stops')
    const evaporates = (place.kind === 'tank' || place.kind === 'sump') && place.surfaceArea !== null
    if (evaporates && has('water_temperature') && air !== undefined && isHumid(air, may))
      names.push('evaporation')
    return [...names, ...ofWater(place, has), ...ofNitrogen(place, may, known)]
  }
  if (isHumid(place, may)) names.push('vapour_pressure_deficit', 'dew_point', 'humidity_ratio')
  if (isHeated(place, known.equipment)) names.push('heater_margin')
  return place.envelope === null || !knowsBoth(place, may, known)
    ? names
    : [...names, ...ofHouse(place, may, known)]
}

/** What salts and acids of a water tell. */
function ofWater({ fish }: Place, has: (quantity: string) => boolean): readonly string[] {
  const names = has('conductivity') ? ['salinity'] : []
  const isWarmAndSour = has('ph') && has('water_temperature')
  if (isWarmAndSour && has('alkalinity')) names.push('carbon_dioxide')
  if (isWarmAndSour) names.push('ammonia_criterion_chronic')
  if (fish !== null) names.push('ph_where_ammonia_harms')
  if (has('chloride') && has('nitrite_nitrogen')) names.push('chloride_to_nitrite_ratio')
  return names
}

/** What the feed brings, and what becomes of it at a filter. */
function ofNitrogen({ kind, fish, media, volume }: Place, may: May, { places }: Known): readonly string[] {
  const isFed = (one: Place['fish']): boolean => one !== null && one.feedPerDay !== null
  if (kind === 'tank') return isFed(fish) ? ['ammonia_load'] : []
  if (kind !== 'biofilter') return []
  const tanks = [...places.values()].filter((one) => one.fish !== null)
  const names = media === null ? [] : ['nitrification_capacity']
  if (tanks.length === 0 || !tanks.every((one) => isFed(one.fish))) return names
  names.push('ammonia_load', 'alkalinity_consumption')
  const isSized = volume !== null || tanks.some((one) => one.volume !== null)
  if (!isSized) return names
  names.push('nitrate_gain')
  const isMeasured = (quantity: string): boolean => [...places.values()].some((one) => may(one, quantity))
  if (media === null || !isMeasured('total_ammonia_nitrogen')) return names
  names.push('total_ammonia_nitrogen_tomorrow')
  return isMeasured('nitrite_nitrogen') ? [...names, 'nitrite_nitrogen_tomorrow'] : names
}

/** What follows from the air inside, the air outdoors and the envelope. */
function ofHouse(house: Place, may: May, known: Known): readonly string[] {
  const names = ['heat_loss', 'cover_temperature', 'frost_margin']
  if (isHumid(house, may)) names.push('condensation_margin')
  const places = [...known.places.values()]
  const grows = places.some(({ plants }) => plants !== null)
  const holds = places.some(({ kind, volume }) => holdsWater(kind) && volume !== null)
  if (grows && holds && house.envelope?.volume !== null) names.push('hours_until_too_cold_if_heat_stops')
  return names
}

const isHumid = (place: Place, may: May): boolean =>
  may(place, 'air_temperature') && may(place, 'relative_humidity')

/** Air temperature inside and outdoors. */
function knowsBoth(house: Place, may: May, known: Known): boolean {
  const outdoors = firstOf('outdoors', known)
  return outdoors !== undefined && may(house, 'air_temperature') && may(outdoors, 'air_temperature')
}

const firstOf = (kind: Place['kind'], { places }: Known): Place | undefined =>
  [...places.values()].find((place) => place.kind === kind)

/** Houses of which it is known how much air they hold: what it takes to tell how fast they cool. */
const housesOf = ({ places }: Known): readonly Place[] =>
  [...places.values()].filter(({ envelope }) => envelope !== null && envelope.volume !== null)
