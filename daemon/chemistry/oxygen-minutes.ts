import {
  inMinutes,
  type CubicMetres,
  type InMinutes,
  type Kilograms,
  type MilligramsPerKilogramHour,
  type MilligramsPerLitre,
  type MilligramsPerLitreHour,
  type PerHour,
} from '../units/brands.js'

/** What a course of oxygen comes to. Kept apart so that nobody reads "never" as zero or as a large number. */
export type UntilCritical =
  | { readonly kind: 'in'; readonly minutes: InMinutes }
  /** It is there or below already. */
  | { readonly kind: 'now' }
  /** It settles at this level, which is not below the critical one. */
  | { readonly kind: 'never'; readonly settlesAt: MilligramsPerLitre }

/** Oxygen now and the level below which fish die soon. */
export interface OxygenReserve {
  readonly oxygen: MilligramsPerLitre
  readonly critical: MilligramsPerLitre
}

/**
 * Respiration of a stocked tank per litre of water, fish alone. Null unless the volume is above zero. Unit: mg/(L.h).
 * @source mass balance
 */
export function tankRespiration(
  biomass: Kilograms,
  consumption: MilligramsPerKilogramHour,
  volume: CubicMetres,
): MilligramsPerLitreHour | null {
  if (!(volume > 0) || !(biomass >= 0) || !(consumption >= 0)) return null
  return ((biomass * consumption) / (volume * 1000)) as MilligramsPerLitreHour
}

/**
 * Time until the critical oxygen if no air comes in at all and consumption stays as it is: the shortest guess. Null for
 * negative figures. Unit: min.
 * @source mass balance, constant consumption (OX-9)
 */
export function minutesWithoutAir(
  { oxygen, critical }: OxygenReserve,
  respiration: MilligramsPerLitreHour,
): UntilCritical | null {
  if (!(oxygen >= 0) || !(critical >= 0) || !(respiration >= 0)) return null
  if (oxygen <= critical) return { kind: 'now' }
  if (respiration === 0) return { kind: 'never', settlesAt: oxygen }
  return { kind: 'in', minutes: inMinutes((60 * (oxygen - critical)) / respiration) }
}

/** What the surface, or a weak aerator, still gives. */
export interface Reaeration {
  readonly saturation: MilligramsPerLitre
  readonly coefficient: PerHour
}

/**
 * The same with some air: dC/dt = k (Cs - C) - R, which settles at Cs - R/k. Null for negative figures. Unit: min.
 * @source mass balance, well mixed (OX-10)
 */
export function minutesWithReaeration(
  reserve: OxygenReserve,
  respiration: MilligramsPerLitreHour,
  { saturation, coefficient }: Reaeration,
): UntilCritical | null {
  if (!(saturation >= 0) || !(coefficient >= 0)) return null
  const still = minutesWithoutAir(reserve, respiration)
  if (still === null || still.kind === 'now' || coefficient === 0) return still
  const settlesAt = (saturation - respiration / coefficient) as MilligramsPerLitre
  if (settlesAt >= reserve.critical) return { kind: 'never', settlesAt }
  const hours = Math.log((reserve.oxygen - settlesAt) / (reserve.critical - settlesAt)) / coefficient
  return { kind: 'in', minutes: inMinutes(hours * 60) }
}
