import { inside, zeroOrMore, type Range } from '../units/range.js'
import {
  milligramsPerLitre,
  type Atmospheres,
  type Celsius,
  type MilligramsPerLitre,
  type MilligramsPerLitreAsCaCO3,
  type MilligramsPerLitreAsHCO3,
  type PartsPerMillion,
  type Ph,
} from '../units/brands.js'
import { calciumCarbonatePerEquivalent, molarMass } from './molar-masses.js'

export const carbonateValidity = {
  temperature: [0, 90] as Range,
  /** Below it other acids count, above it carbonate carries part of the alkalinity. */
  ph: [6, 8.3] as Range,
}

type Coefficients = readonly [number, number, number, number, number]

/** log10 K = a + b T + c/T + d log10 T + e/T^2, T in kelvin. */
function logarithm([a, b, c, d, e]: Coefficients, temperature: Celsius): number | null {
  if (!inside(carbonateValidity.temperature, temperature)) return null
  const kelvin = temperature + 273.15
  return a + b * kelvin + c / kelvin + d * Math.log10(kelvin) + e / (kelvin * kelvin)
}

const first: Coefficients = [-356.3094, -0.06091964, 21834.37, 126.8339, -1684915]
const second: Coefficients = [-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9]
const henry: Coefficients = [108.3865, 0.01985076, -6919.53, -40.45154, 669365]

/**
 * pK1 of carbonic acid in fresh water (low ionic strength). Null outside 0 to 90 degC.
 * @source Plummer, L.N. & Busenberg, E. (1982) Geochim. Cosmochim. Acta 46:1011-1040 (CO2-2)
 */
export const carbonicAcidPk1 = (temperature: Celsius): number | null => negated(logarithm(first, temperature))

/** pK2 of carbonic acid. Null outside 0 to 90 degC. @source Plummer & Busenberg 1982 (CO2-3) */
export const carbonicAcidPk2 = (temperature: Celsius): number | null =>
  negated(logarithm(second, temperature))

/** pK of Henry's law for CO2, KH in mol/(kg.atm). Null outside 0 to 90 degC. @source same (CO2-4) */
export const carbonDioxidePkh = (temperature: Celsius): number | null =>
  negated(logarithm(henry, temperature))

const negated = (value: number | null): number | null => (value === null ? null : -value)

/**
 * Free carbon dioxide from pH, temperature and alkalinity, for waters whose alkalinity is bicarbonate. An error of
 * 0.1 in pH is 26 % in the result. Null outside pH 6 to 8.3, 0 to 90 degC, and below zero alkalinity. Unit: mg/L.
 * @source definition with Plummer & Busenberg's pK1 (CO2-1)
 */
export function freeCarbonDioxide(
  { temperature, ph }: { readonly temperature: Celsius; readonly ph: Ph },
  alkalinity: MilligramsPerLitreAsCaCO3,
): MilligramsPerLitre | null {
  const pk1 = carbonicAcidPk1(temperature)
  if (pk1 === null || !inside(carbonateValidity.ph, ph) || !inside(zeroOrMore, alkalinity)) return null
  return milligramsPerLitre((molarMass.CO2 / calciumCarbonatePerEquivalent) * 10 ** (pk1 - ph) * alkalinity)
}

/**
 * The same by a field rule for water near 25 degC with less than 800 mg/L of solutes. Null outside pH 6 to 8.3
 * (range taken from CO2-1) and below zero bicarbonate. Unit: mg/L.
 * @source Skougstad, M.W. et al. (1979) USGS TWRI 5-A1, p. 280 (CO2-5)
 */
export const freeCarbonDioxideByRule = (
  ph: Ph,
  bicarbonate: MilligramsPerLitreAsHCO3,
): MilligramsPerLitre | null =>
  inside(carbonateValidity.ph, ph) && inside(zeroOrMore, bicarbonate)
    ? milligramsPerLitre(1.6 * 10 ** (6 - ph) * bicarbonate)
    : null

/**
 * Carbon dioxide that water holds in equilibrium with air of that CO2 (mole fraction of dry air; the water vapour
 * is neglected, 2 % at 20 degC). Null outside 0 to 90 degC and below zero. Unit: mg/L.
 * @source Henry's law with Plummer & Busenberg's KH (CO2-6)
 */
export function carbonDioxideUnderAir(
  temperature: Celsius,
  inAir: PartsPerMillion,
  pressure: Atmospheres,
): MilligramsPerLitre | null {
  const pkh = carbonDioxidePkh(temperature)
  if (pkh === null || !inside(zeroOrMore, inAir) || !inside(zeroOrMore, pressure)) return null
  return milligramsPerLitre(10 ** -pkh * inAir * 1e-6 * pressure * molarMass.CO2 * 1000)
}
