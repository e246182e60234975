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
export function restOf(bodies: TwoBodies, around: Surroundings): BodyTemperatures | null {
  if (!valid(bodies)) return null
  const air = around.outside + (around.intoWater + around.intoAir) / bodies.airToOutside
  return { air: celsius(air), water: celsius(air + around.intoWater / bodies.waterToAir) }
}

/**
 * Temperatures after `span` of unchanging surroundings: the exact solution of the two heat balances. Null unless all four
 * figures are above zero and the span is not negative. Unit: degC.
 * @source Cw dTw/dt = K (Ta - Tw) + Qw, Ca dTa/dt = K (Tw - Ta) + U (To - Ta) + Qa (first principles, HT-18)
 */
export function twoBodiesAfter(
  bodies: TwoBodies,
  start: BodyTemperatures,
  around: Surroundings,
  span: InHours,
): BodyTemperatures | null {
  const rest = restOf(bodies, around)
  if (rest === null || !inside(zeroOrMore, span)) return null
  const seconds = span * 3600
  const { waterHeat, airHeat, waterToAir, airToOutside } = bodies
  // d(water)/dt = -a water + a air; d(air)/dt = b water - c air, both counted from where they come to rest.
  const [a, b, c] = [waterToAir / waterHeat, waterToAir / airHeat, (waterToAir + airToOutside) / airHeat]
  const apart = Math.sqrt((a - c) ** 2 + 4 * a * b)
  const fast = -(a + c + apart) / 2
  // By the product of the two rates, not their difference: exact even where one is a millionth of the other.
  const slow = (a * (airToOutside / airHeat)) / fast
  const [slowly, quickly] = [Math.exp(slow * seconds), Math.exp(fast * seconds)]
  const [water, air] = [start.water - rest.water, start.air - rest.air]
  const along = (own: number, cross: number, [self, other]: readonly [number, number]): number =>
    (slowly * ((own - fast) * self + cross * other) - quickly * ((own - slow) * self + cross * other)) / apart
  return {
    water: celsius(rest.water + along(-a, a, [water, air])),
    air: celsius(rest.air + along(-c, b, [air, water])),
  }
}
