import {
  inHours,
  kilogramsPerKilogram,
  metresPerSecond,
  squareMetres,
  watts,
  type Celsius,
  type InHours,
  type KilogramsPerKilogram,
  type Percent,
  type SquareMetres,
  type Watts,
} from '../units/brands.js'
import { evaporation } from './evaporation.js'
import { outsideAfter, type OutsideCourse } from './outside-course.js'
import { settlingOf, type BodyTemperatures, type TwoBodies } from './two-bodies.js'
import { saturationVapourPressureTetens } from './vapour-pressure.js'
import type { UntilTemperature } from './water-temperature.js'

/** A house with water in it and no heat. */
export interface ColdHouse {
  readonly bodies: TwoBodies
  /** Water that lies open to the air. */
  readonly openWater: SquareMetres
  /** Of the air inside; taken to stay as it is while the house cools. */
  readonly humidity: Percent
}

/** Which of the two must not fall below what. */
export interface ColdLimit {
  readonly of: 'water' | 'air'
  readonly limit: Celsius
}

/** Nobody knows the weather beyond. */
export const coldHorizon = inHours(120)

/** J/kg at about 20 degC. @source FAO-56 (HT-16) */
const latentHeat = 2.45e6
/** m/s over the water of a shut house (common practice). */
export const stillAir = metresPerSecond(0.1)

const ratioOf = (temperature: Celsius, humidity: number): KilogramsPerKilogram | null => {
  const saturated = saturationVapourPressureTetens(temperature)
  if (saturated === null) return null
  const pressure = (saturated * humidity) / 100
  // At sea level: the altitude moves it by less than the humidity is uncertain.
  return kilogramsPerKilogram((0.622 * pressure) / (101.3 - pressure))
}

/** Heat that evaporation takes from open water; none where the air would wet it. Null outside -20 to 60 degC. Unit: W. @source HT-12 */
export function evaporativeLoss(
  at: BodyTemperatures,
  openWater: SquareMetres,
  humidity: Percent,
): Watts | null {
  const [saturated, air] = [ratioOf(at.water, 100), ratioOf(at.air, humidity)]
  if (saturated === null || air === null) return null
  const lost = evaporation(stillAir, squareMetres(openWater), { saturated, air })
  return lost === null ? null : watts((Math.max(0, lost) * latentHeat) / 3600)
}

/** h, and share of the time gone by. Halving both moves the 31.0 h of a tank of the example farm to 31.1 h. */
const [firstStep, laterSteps] = [0.5, 1 / 8]

/**
 * Time until water or air reaches the limit without any heat: no heater, no sun, no fish. Steps of half an hour,
 * later of an eighth of the time gone by, each solved exactly with the outside air of its middle and the evaporation of its
 * beginning. 'never': not within `coldHorizon`. Null where the figures are not above zero or the temperatures leave
 * -20 to 60 degC. Unit: h.
 * @source two heat balances (HT-18), evaporation HT-12, infiltration HT-4 in `airToOutside`
 */
export function hoursUntilCold(
  house: ColdHouse,
  start: BodyTemperatures,
  { of, limit }: ColdLimit,
  course: OutsideCourse,
): UntilTemperature | null {
  const settle = settlingOf(house.bodies)
  if (settle === null) return null
  if (start[of] <= limit) return { kind: 'now' }
  let [now, at] = [0, start]
  while (now < coldHorizon) {
    const span = inHours(Math.min(Math.max(firstStep, now * laterSteps), coldHorizon - now))
    const taken = evaporativeLoss(at, house.openWater, house.humidity)
    if (taken === null) return null
    const around = {
      outside: outsideAfter(course, inHours(now + span / 2)),
      intoWater: watts(-taken),
      intoAir: watts(0),
    }
    const from = at
    const next = settle(from, around, span)
    if (next[of] <= limit) {
      const within = crossing((part) => settle(from, around, part)[of] <= limit, span)
      return { kind: 'in', hours: inHours(now + within) }
    }
    now += span
    at = next
  }
  return { kind: 'never' }
}

/** When it comes true within `span`, to a second: by halving. */
function crossing(isThere: (part: InHours) => boolean, span: InHours): InHours {
  let [before, there] = [0, span as number]
  while (there - before > 1 / 3600) {
    const half = inHours((before + there) / 2)
    if (isThere(half)) there = half
    else before = half
  }
  return inHours(there)
}
