import { celsius, type Celsius } from '../units/brands.js'

/** One calm and clear night of the past: what was measured two hours after sunset, and what the minimum became. */
export interface FrostNight {
  readonly temperature: Celsius
  readonly dewPoint: Celsius
  readonly minimum: Celsius
}

/** Fewer nights than this make no line (common practice). */
export const frostNightsMin = 5

/**
 * Minimum of the coming night by radiation, from two hours after sunset: the minimum regressed on the temperature, then
 * what is left on the dew point. Only for calm, clear nights like those given, of this site. Null with fewer than five
 * nights, or when their temperatures (or dew points) are all the same. Unit: degC.
 * @source Snyder, R.L. & de Melo-Abreu, J.P. (2005) Frost Protection, vol. 1, FAO (HT-17)
 */
export function frostMinimum(
  nights: readonly FrostNight[],
  tonight: { readonly temperature: Celsius; readonly dewPoint: Celsius },
): Celsius | null {
  if (nights.length < frostNightsMin) return null
  const byTemperature = line(nights.map((night) => [night.temperature, night.minimum]))
  if (byTemperature === null) return null
  const rest = line(nights.map((night) => [night.dewPoint, night.minimum - byTemperature(night.temperature)]))
  return rest === null ? null : celsius(byTemperature(tonight.temperature) + rest(tonight.dewPoint))
}

/** Least-squares line through the points; null when all have the same x. */
function line(points: readonly (readonly [x: number, y: number])[]): ((x: number) => number) | null {
  const meanX = points.reduce((sum, [x]) => sum + x, 0) / points.length
  const meanY = points.reduce((sum, [, y]) => sum + y, 0) / points.length
  const spread = points.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0)
  if (!(spread > 0)) return null
  const slope = points.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0) / spread
  return (x) => meanY + slope * (x - meanX)
}
