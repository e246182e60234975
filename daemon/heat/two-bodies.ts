import { aboveZero, inside, zeroOrMore } from '../units/range.js'
import {
  celsius,
  type Celsius,
  type InHours,
  type JoulesPerKelvin,
  type Watts,
  type WattsPerKelvin,
} from '../units/brands.js'

/** Water in a house: the water gives its warmth to the air, and the air to the outdoors. */
export interface TwoBodies {
  readonly waterHeat: JoulesPerKelvin
  /** Of the air and of everything that follows it within the hour. */
  readonly airHeat: JoulesPerKelvin
  /** Between water and air. */
  readonly waterToAir: WattsPerKelvin
  /** Between air and outdoors: cover and leaks. */
  readonly airToOutside: WattsPerKelvin
}

export interface BodyTemperatures {
  readonly water: Celsius
  readonly air: Celsius
}

/** What acts on the two while they settle; negative where heat is taken away. */
export interface Surroundings {
  readonly outside: Celsius
  readonly intoWater: Watts
  readonly intoAir: Watts
}

const valid = ({ waterHeat, airHeat, waterToAir, airToOutside }: TwoBodies): boolean =>
  [waterHeat, airHeat, waterToAir, airToOutside].every((value) => inside(aboveZero, value))

/** Where both would stand in the end. Null unless all four figures are above zero. Unit: degC. @source HT-18, t without end */
export const restOf = (bodies: TwoBodies, around: Surroundings): BodyTemperatures | null =>
  valid(bodies) ? restAt(bodies, around) : null

function restAt(bodies: TwoBodies, around: Surroundings): BodyTemperatures {
  const air = around.outside + (around.intoWater + around.intoAir) / bodies.airToOutside
  return { air: celsius(air), water: celsius(air + around.intoWater / bodies.waterToAir) }
}

/**
 * The way of the two from any start, worked out once for all spans. Null unless all four figures are above zero.
 * @source Cw dTw/dt = K (Ta - Tw) + Qw, Ca dTa/dt = K (Tw - Ta) + U (To - Ta) + Qa (first principles, HT-18)
 */
export function settlingOf(
  bodies: TwoBodies,
): ((start: BodyTemperatures, around: Surroundings, span: InHours) => BodyTemperatures) | null {
  if (!valid(bodies)) return null
  const { waterHeat, airHeat, waterToAir, airToOutside } = bodies
  // d(water)/dt = -a water + a air; d(air)/dt = b water - c air, both counted from where they come to rest.
  const a = waterToAir / waterHeat
  const b = waterToAir / airHeat
  const c = (waterToAir + airToOutside) / airHeat
  const apart = Math.sqrt((a - c) ** 2 + 4 * a * b)
  const fast = -(a + c + apart) / 2
  // By the product of the two rates, not their difference: exact even where one is a millionth of the other.
  const slow = (a * (airToOutside / airHeat)) / fast
  return (start, around, span) => {
    const rest = restAt(bodies, around)
    const slowly = Math.exp(slow * span * 3600) / apart
    const quickly = Math.exp(fast * span * 3600) / apart
    const water = start.water - rest.water
    const air = start.air - rest.air
    const [toWater, toAir] = [a * (air - water), b * water - c * air]
    return {
      water: celsius(rest.water + slowly * (toWater - fast * water) - quickly * (toWater - slow * water)),
      air: celsius(rest.air + slowly * (toAir - fast * air) - quickly * (toAir - slow * air)),
    }
  }
}

/**
 * Temperatures after `span` of unchanging surroundings, exact. Null unless all four figures are above zero and the span
 * is not negative. Unit: degC.
 * @source HT-18
 */
export function twoBodiesAfter(
  bodies: TwoBodies,
  start: BodyTemperatures,
  around: Surroundings,
  span: InHours,
): BodyTemperatures | null {
  const settle = settlingOf(bodies)
  return settle === null || !inside(zeroOrMore, span) ? null : settle(start, around, span)
}
