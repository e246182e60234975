import { inside, type Range } from '../units/range.js'
import {
  milligramsPerLitre,
  percent,
  type Atmospheres,
  type Celsius,
  type GramsPerKilogram,
  type MilligramsPerLitre,
  type Percent,
} from '../units/brands.js'

/** The water whose oxygen is asked for, and the air above it. */
export interface WaterUnderAir {
  readonly temperature: Celsius
  /** Practical salinity; 0 for fresh water. */
  readonly salinity: GramsPerKilogram
  /** Absolute pressure at the site, not reduced to sea level. */
  readonly pressure: Atmospheres
}

/** Where the equations of this file were fitted (USGS 2011.03). */
export const oxygenValidity = {
  temperature: [0, 40] as Range,
  salinity: [0, 40] as Range,
  pressure: [0.5, 1.1] as Range,
}

/**
 * Oxygen in water that is in equilibrium with moist air: 100 % saturation.
 * Null outside `oxygenValidity` (0 to 40 degC, salinity 0 to 40, 0.5 to 1.1 atm). Unit: mg/L.
 * @source Benson, B.B. & Krause, D. (1984) Limnol. Oceanogr. 29(3):620-632, eq. 32 and 24; USGS Office of Water
 *   Quality Technical Memorandum 2011.03 (DO-1)
 */
export function oxygenSaturationConcentration(water: WaterUnderAir): MilligramsPerLitre | null {
  const { temperature, salinity, pressure } = water
  if (!inside(oxygenValidity.temperature, temperature) || !inside(oxygenValidity.salinity, salinity))
    return null
  if (!inside(oxygenValidity.pressure, pressure)) return null
  const kelvin = temperature + 273.15
  const inverse = 1 / kelvin
  const fresh =
    -139.34411 +
    inverse * (1.575701e5 + inverse * (-6.642308e7 + inverse * (1.2438e10 + inverse * -8.621949e11)))
  const salt = salinity * (0.017674 + inverse * (-10.754 + inverse * 2140.7))
  return milligramsPerLitre(Math.exp(fresh - salt) * pressureFactor(temperature, pressure))
}

/** By how much the solubility differs from that at 1 atm (eq. 24). */
function pressureFactor(temperature: Celsius, pressure: Atmospheres): number {
  const vapour = vapourPressureAtm(temperature)
  const theta = secondVirial(temperature)
  return (pressure * (1 - vapour / pressure) * (1 - theta * pressure)) / ((1 - vapour) * (1 - theta))
}

/**
 * Vapour pressure over fresh water as the oxygen equations take it (use heat/humid-air.ts for air). Null outside
 * 0 to 40 degC. Unit: atm.
 * @source USGS Technical Memorandum 2011.03, from Benson & Krause 1984 (DO-2)
 */
export const waterVapourPressureOverWater = (temperature: Celsius): Atmospheres | null =>
  inside(oxygenValidity.temperature, temperature) ? vapourPressureAtm(temperature) : null

function vapourPressureAtm(temperature: Celsius): Atmospheres {
  const kelvin = temperature + 273.15
  return Math.exp(11.8571 - 3840.7 / kelvin - 216961 / (kelvin * kelvin)) as Atmospheres
}

/**
 * Second virial coefficient of oxygen (theta). Null outside 0 to 40 degC. Unit: 1/atm.
 * @source USGS Technical Memorandum 2011.03, from Benson & Krause 1984 (DO-3)
 */
export const oxygenSecondVirialTheta = (temperature: Celsius): number | null =>
  inside(oxygenValidity.temperature, temperature) ? secondVirial(temperature) : null

const secondVirial = (temperature: Celsius): number =>
  0.000975 - 1.426e-5 * temperature + 6.436e-8 * temperature * temperature

/**
 * Saturation of measured oxygen. More than 100 is possible (plants and algae in the sun). Null for water outside
 * `oxygenValidity` and for oxygen below zero. Unit: %.
 * @source definition: 100 C / C* (DO-4)
 */
export function oxygenSaturationPercent(oxygen: MilligramsPerLitre, water: WaterUnderAir): Percent | null {
  const saturated = oxygenSaturationConcentration(water)
  return saturated === null || !(oxygen >= 0) ? null : percent((100 * oxygen) / saturated)
}

/**
 * Oxygen of a saturation given in per cent. Null for water outside `oxygenValidity` and below 0 %. Unit: mg/L.
 * @source inverse of DO-4
 */
export function oxygenFromPercent(saturation: Percent, water: WaterUnderAir): MilligramsPerLitre | null {
  const saturated = oxygenSaturationConcentration(water)
  return saturated === null || !(saturation >= 0) ? null : milligramsPerLitre((saturation / 100) * saturated)
}

/**
 * Mass of oxygen in a millilitre of the real gas at 0 degC and 1 atm. Unit: mg/mL.
 * @source USGS Technical Memorandum 2011.03 (DO-5); it replaces the wrong 1.4276 of 81.11
 */
export const oxygenMassPerVolumeOfGas = 1.42905

/** Oxygen given in mL of gas per litre of water, in mg/L. Null below zero. @source DO-5 */
export const oxygenFromGasVolume = (millilitresPerLitre: number): MilligramsPerLitre | null =>
  millilitresPerLitre >= 0 ? milligramsPerLitre(millilitresPerLitre * oxygenMassPerVolumeOfGas) : null
