// The same in the units of American greenhouse guides, by their own rounded factors, so that a keeper finds the
// guide's figure and not one that differs in the third digit. No brands: these units are used nowhere else.

const positive = (...values: readonly number[]): boolean => values.every((value) => value >= 0)

/**
 * Heat through the cover: ft2, Btu/(h.ft2.degF), difference in degF. Null below zero area or U-value. Unit: Btu/h.
 * @source University of Georgia Cooperative Extension (HT-2)
 */
export const conductionLossBtu = (area: number, uValue: number, difference: number): number | null =>
  positive(area, uValue) ? area * uValue * difference : null

/**
 * Heat with leaking air, sensible: ft3, 1/h, difference in degF. Null below zero. Unit: Btu/h.
 * @source 0.24 Btu/(lb.degF) x 0.075 lb/ft3 = 0.018 (HT-5); extension guides allow 0.02
 */
export const infiltrationLossBtu = (volume: number, airChanges: number, difference: number): number | null =>
  positive(volume, airChanges) ? 0.018 * volume * airChanges * difference : null

/** Evaporation of a pond: wind in miles an hour, pressures in inHg, latent heat in Btu/lb. */
export interface PondAir {
  readonly wind: number
  readonly waterVapourPressure: number
  readonly airVapourPressure: number
  readonly latentHeat: number
}

/**
 * Null below zero and unless the latent heat is above zero; negative where the air wets the water. Unit: lb/(h.ft2).
 * @source ASHRAE form W = (A + B V)(pw - pa)/Hv with A = 95, B = 37.4; a later US study fits 68 and 32 (HT-13)
 */
export function pondEvaporation(air: PondAir, [a, b]: readonly [a: number, b: number]): number | null {
  if (!positive(air.wind, air.waterVapourPressure, air.airVapourPressure) || !(air.latentHeat > 0))
    return null
  return ((a + b * air.wind) * (air.waterVapourPressure - air.airVapourPressure)) / air.latentHeat
}
