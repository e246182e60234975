import { basins, houseFigures, waterIds, type WaterId } from './larkfield.js'
import { heatCapacityOfWater, temperatureOf, type WaterDraft } from './water.js'
import { saturationPressure, type Outdoors } from './weather.js'

/** The air of the house. */
export interface House {
  /** Cel */
  readonly temperature: number
  /** kg of water vapour in it */
  readonly vapour: number
  /** Whether the thermostat calls for warm air; it switches late in both directions. */
  readonly heating: boolean
  /** 0 shut to 1 wide open; needs no mains. */
  readonly vent: number
}

export interface HeatingOutput {
  /** W into the air, W into the sump */
  readonly air: number
  readonly water: number
}

/** What one step of the house let in and out: kJ, and m3 of water. */
export interface HouseTurn {
  readonly house: House
  readonly heating: HeatingOutput
  readonly sun: number
  readonly envelope: number
  readonly exchange: number
  /** Heat that went into vapour, and with it. */
  readonly latent: number
  readonly ventilated: number
  readonly condensed: number
}

/** kJ/kg */
const heatOfEvaporation = 2450
/** kPa.m3/(kg.K): gas constant of water vapour, 8.314 / 18.015 */
const vapourConstant = 0.4615
/** kJ/(m3.K): 1.2 kg/m3 x 1.006 kJ/(kg.K) */
const heatCapacityOfAir = 1.207

/** kPa of vapour in the house. */
export const vapourPressureIn = (house: House): number =>
  (house.vapour * vapourConstant * (house.temperature + 273.15)) / houseFigures.volume

/** %, at most 100. */
export const humidityIn = (house: House): number =>
  Math.min(100, (100 * vapourPressureIn(house)) / saturationPressure(house.temperature))

/** kg of vapour that makes `humidity` (0 to 1) at `temperature`. */
export const vapourFor = (humidity: number, temperature: number): number =>
  (humidity * saturationPressure(temperature) * houseFigures.volume) /
  (vapourConstant * (temperature + 273.15))

/** Humidity ratio, kg/kg, at 101 kPa. */
const ratioOf = (pressure: number): number => (0.622 * pressure) / (101 - pressure)

/**
 * Warms, cools, wets and dries the house for `seconds`, and the water with it. Changes the drafts in `water`.
 * Sensible heat leaves through the cover (U.A) and with the air that leaks or is vented; water gives off warmth and vapour.
 */
export function airHouse(
  before: House,
  water: Readonly<Record<WaterId, WaterDraft>>,
  { outdoors, heaterRuns }: { outdoors: Outdoors; heaterRuns: boolean },
  seconds: number,
): HouseTurn {
  const heating = heat(before, temperatureOf(water.sump), heaterRuns)
  water.sump.heat += (heating.water * seconds) / 1000
  const fromWater = warmFromWater(water, before.temperature, seconds)
  const evaporated = evaporate(water, before, outdoors.sunshine, seconds)
  const changes = (houseFigures.airChanges + before.vent * houseFigures.vents.airChanges) / 3600
  const apart = before.temperature - outdoors.temperature
  const sun = (houseFigures.sunShare * houseFigures.floor * outdoors.sunshine * seconds) / 1000
  const envelope = (houseFigures.envelopeConductance * apart * seconds) / 1000
  const exchange = heatCapacityOfAir * houseFigures.volume * changes * apart * seconds
  const gain =
    sun +
    (heating.air * seconds) / 1000 +
    fromWater -
    envelope -
    exchange -
    evaporated.crop * heatOfEvaporation
  const temperature = before.temperature + gain / houseFigures.heatCapacity
  const outside = vapourFor(
    outdoors.vapourPressure / saturationPressure(before.temperature),
    before.temperature,
  )
  const ventilated = (before.vapour - outside) * (1 - Math.exp(-changes * seconds))
  const vapour = before.vapour + evaporated.open + evaporated.crop - ventilated
  const condensed = Math.max(0, vapour - vapourFor(1, temperature))
  return {
    house: { temperature, vapour: vapour - condensed, heating: heating.air > 0, vent: ventAt(temperature) },
    heating,
    sun,
    envelope,
    exchange,
    latent: (evaporated.open + evaporated.crop) * heatOfEvaporation + evaporated.carried,
    ventilated: ventilated / 1000,
    condensed: condensed / 1000,
  }
}

function heat(house: House, sumpTemperature: number, runs: boolean): HeatingOutput {
  const { airSetPoint, hysteresis, airPower, waterSetPoint, waterPower } = houseFigures.heater
  if (!runs) return { air: 0, water: 0 }
  const limit = house.heating ? airSetPoint + hysteresis : airSetPoint - hysteresis
  return {
    air: house.temperature < limit ? airPower : 0,
    water: waterPower * Math.min(1, Math.max(0, waterSetPoint + 0.5 - sumpTemperature)),
  }
}

function ventAt(temperature: number): number {
  const { from, until } = houseFigures.vents
  return Math.min(1, Math.max(0, (temperature - from) / (until - from)))
}

function warmFromWater(water: Readonly<Record<WaterId, WaterDraft>>, air: number, seconds: number): number {
  let total = 0
  for (const id of waterIds) {
    const given = (basins[id].heatConductance * (temperatureOf(water[id]) - air) * seconds) / 1000
    water[id].heat -= given
    total += given
  }
  return total
}

/** kg/(m2.h) of crop in full sun; 2 to 4 mm a day (common practice). */
const transpirationInSun = 0.4

/**
 * Evaporation from open water, (25 + 19 v) A (xs - x) kg/h in still air (v = 0.05 m/s), and transpiration of the beds,
 * which the sun drives and moist air holds back. Vapour takes its heat from the water, or from the air for the crop.
 * @source (25 + 19 v) form: common engineering reference for pools
 */
function evaporate(
  water: Readonly<Record<WaterId, WaterDraft>>,
  house: House,
  sun: number,
  seconds: number,
): { open: number; crop: number; carried: number } {
  const pressure = vapourPressureIn(house)
  const ratio = ratioOf(pressure)
  const dryness = 1 - Math.min(1, pressure / saturationPressure(house.temperature))
  let open = 0
  let crop = 0
  let carried = 0
  for (const id of waterIds) {
    const { area, open: share } = basins[id]
    const basin = water[id]
    const drive = Math.max(0, ratioOf(saturationPressure(temperatureOf(basin))) - ratio)
    const lost = ((25 + 19 * 0.05) * area * share * drive * seconds) / 3600
    carried += takeWater(basin, lost)
    basin.heat -= lost * heatOfEvaporation
    open += lost
    if (id !== 'bed-1' && id !== 'bed-2') continue
    const drunk =
      (area * (transpirationInSun * Math.min(1, sun / 800) + 0.05 * dryness) * (0.3 + dryness) * seconds) /
      3600
    carried += takeWater(basin, drunk)
    crop += drunk
  }
  return { open, crop, carried }
}

/** Pure water leaves with the warmth it has (kJ, returned); everything dissolved stays. */
function takeWater(basin: WaterDraft, kilograms: number): number {
  const warmth = (kilograms / 1000) * heatCapacityOfWater * temperatureOf(basin)
  basin.heat -= warmth
  basin.volume -= kilograms / 1000
  return warmth
}
