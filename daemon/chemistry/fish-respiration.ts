import { inside, type Range } from '../units/range.js'
import {
  celsius,
  milligramsPerKilogramHour,
  type Celsius,
  type Grams,
  type MilligramsPerKilogramHour,
} from '../units/brands.js'

// Fed fish breathe 1.1 to 2.4 times what resting metabolism says (OX-1 against OX-2 for tilapia at 24 to 32 degC):
// whoever turns these into minutes of oxygen should give a range.

export const tilapiaRespirationValidity = { temperature: [24, 32] as Range, mass: [3, 226] as Range }

/**
 * Oxygen that fed tilapia take. A fit, never to be stretched: below 26 degC it even falls with temperature for 200 g
 * fish. Null outside 24 to 32 degC and 3 to 226 g, and where the fit goes below zero. Unit: mg O2/(kg.h).
 * @source Khater, E. et al. (2021) Scientific Reports 11:24130, eq. 4 (OX-1; author names from memory)
 */
export function tilapiaRespiration(mass: Grams, temperature: Celsius): MilligramsPerKilogramHour | null {
  const { temperature: warm, mass: heavy } = tilapiaRespirationValidity
  if (!inside(warm, temperature) || !inside(heavy, mass)) return null
  const bySize = 2.75 * mass + 0.007 * mass * mass - 0.21 * mass * temperature
  const rate = 2014.45 + bySize - 165.2 * temperature + 3.93 * temperature * temperature
  return rate > 0 ? milligramsPerKilogramHour(rate) : null
}

/** Respiration that rises to an optimum temperature and ends at a lethal one (equation 2 of the bioenergetics model). */
export interface OptimumRespiration {
  readonly kind: 'optimum'
  /** g O2/g of a 1 g fish in a day, and the exponent of mass. */
  readonly RA: number
  readonly RB: number
  /** How fast it rises with temperature (like a Q10). */
  readonly RQ: number
  readonly RTO: Celsius
  readonly RTM: Celsius
  /** Multiplier for swimming. */
  readonly ACT: number
}

/** Respiration that rises exponentially with temperature (equation 1). */
export interface ExponentialRespiration {
  readonly kind: 'exponential'
  readonly RA: number
  readonly RB: number
  readonly RQ: number
  readonly activity: number
}

const gramsPerGramDayToMilligramsPerKilogramHour = 1e6 / 24

/**
 * Routine respiration without the cost of digesting feed. Null outside 0 degC to the lethal temperature (left out), for
 * a mass that is not above zero, and for an RQ that is not above 1. Unit: mg O2/(kg.h).
 * @source Kitchell, J.F. et al. (1977); Deslauriers, D. et al. (2017) Fisheries 42(11):586-596 (OX-2)
 */
export function respirationToOptimum(
  fish: Omit<OptimumRespiration, 'kind'>,
  mass: Grams,
  temperature: Celsius,
): MilligramsPerKilogramHour | null {
  const { RA, RB, RQ, RTO, RTM, ACT } = fish
  if (!(temperature >= 0 && temperature < RTM) || !(mass > 0) || !(RQ > 1) || !(RTM > RTO)) return null
  const v = (RTM - temperature) / (RTM - RTO)
  const z = Math.log(RQ) * (RTM - RTO)
  const y = Math.log(RQ) * (RTM - RTO + 2)
  const x = (z * z * (1 + Math.sqrt(1 + 40 / y)) ** 2) / 400
  const rate = RA * mass ** RB * ACT * v ** x * Math.exp(x * (1 - v))
  return milligramsPerKilogramHour(rate * gramsPerGramDayToMilligramsPerKilogramHour)
}

/** Temperatures for which the exponential is trusted here (common practice): water in which such fish are kept. */
export const exponentialRespirationTemperature: Range = [0, 35]

/**
 * The same for species whose parameters have no optimum. Null outside 0 to 35 degC and unless mass is above zero.
 * Unit: mg O2/(kg.h).
 * @source as above, equation 1 (OX-3)
 */
export function exponentialRespiration(
  { RA, RB, RQ, activity }: Omit<ExponentialRespiration, 'kind'>,
  mass: Grams,
  temperature: Celsius,
): MilligramsPerKilogramHour | null {
  if (!inside(exponentialRespirationTemperature, temperature) || !(mass > 0)) return null
  const rate = RA * mass ** RB * Math.exp(RQ * temperature) * activity
  return milligramsPerKilogramHour(rate * gramsPerGramDayToMilligramsPerKilogramHour)
}

const optimum = (RA: number, RB: number, [RQ, RTO, RTM]: readonly [number, number, number], ACT: number) =>
  ({ kind: 'optimum', RA, RB, RQ, RTO: celsius(RTO), RTM: celsius(RTM), ACT }) as const
const exponential = (RA: number, RB: number, RQ: number, activity: number) =>
  ({ kind: 'exponential', RA, RB, RQ, activity }) as const

/**
 * Parameters of adult fish by species.
 * @source official parameter table of Deslauriers et al. 2017, with the study behind each line
 */
export const respirationOf: Readonly<Record<string, OptimumRespiration | ExponentialRespiration>> = {
  tilapia: optimum(0.0274, -0.348, [2.3, 37, 41], 1), // Nitithamyong 1988
  'rainbow trout': optimum(0.013, -0.217, [2.2, 22, 26], 1.3), // Railsback & Rose 1999
  'yellow perch': optimum(0.0108, -0.2, [2.1, 28, 33], 1), // Kitchell et al. 1977
  bluegill: optimum(0.0154, -0.2, [2.1, 36, 40], 1), // Kitchell et al. 1974
  'largemouth bass': exponential(0.008352, -0.355, 0.0313, 1.019793), // Rice et al. 1983
  'bighead carp': exponential(0.0053, -0.299, 0.048, 1), // Cooke & Hill 2010
  'silver carp': exponential(0.0028, -0.239, 0.076, 1), // Cooke & Hill 2010
}
