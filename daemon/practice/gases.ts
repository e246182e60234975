import {
  freeCarbonDioxide,
  gramsPerMoleOfCarbonDioxide,
  oxygenOf,
  temperatureOf,
  type WaterDraft,
} from './water.js'

/**
 * Oxygen of fresh water in equilibrium with moist air, mg/L, 0 to 40 degrees.
 * ln C (mL/L) = -173.4292 + 249.6339 (100/T) + 143.3483 ln(T/100) - 21.8492 (T/100); 1.42905 mg/mL. Chosen because it is
 * another fit than the one the daemon computes with. Pressure lowers it in proportion.
 * @source Weiss (1970), Deep-Sea Research 17:721, equation 4 (coefficients from memory)
 */
export function oxygenSaturation(temperature: number, altitude: number): number {
  const hundreds = (temperature + 273.15) / 100
  const millilitres = Math.exp(
    -173.4292 + 249.6339 / hundreds + 143.3483 * Math.log(hundreds) - 21.8492 * hundreds,
  )
  return 1.42905 * millilitres * pressureShare(altitude)
}

/** Pressure of the air over that at sea level. @source ICAO standard atmosphere (1993), equation for the troposphere */
const pressureShare = (altitude: number): number => (1 - 2.25577e-5 * altitude) ** 5.2559

/** mg/L of carbon dioxide in balance with 420 ppm; Henry's law, 0.034 mol/(L.atm) at 25 degrees (from memory). */
export function carbonDioxideInBalance(temperature: number): number {
  const henry = 0.034 * Math.exp(2400 * (1 / (temperature + 273.15) - 1 / 298.15))
  return henry * 420e-6 * gramsPerMoleOfCarbonDioxide * 1000
}

/** Wastewater takes up oxygen to some 98 % of what clean water does. @source ASCE/EWRI 2-06 (beta factor) */
const saltAndSoap = 0.98

/** Carbon dioxide leaves more slowly than oxygen comes: diffused bubbles fill up with it. Common practice, 0.3 to 0.9. */
const carbonDioxideTransferShare = 0.4

/**
 * Exchange with the air for `seconds`. `transfer` is the coefficient at 20 degrees, 1/h; it grows by 2.4 % a degree.
 * Returns the grams of oxygen that the water took up (negative when it gave off).
 * @source ASCE/EWRI 2-06, Measurement of Oxygen Transfer in Clean Water (form and 1.024)
 */
export function breatheAir(water: WaterDraft, transfer: number, altitude: number, seconds: number): number {
  const temperature = temperatureOf(water)
  const perHour = transfer * 1.024 ** (temperature - 20)
  const share = 1 - Math.exp((-perHour * seconds) / 3600)
  const uptake =
    share * (saltAndSoap * oxygenSaturation(temperature, altitude) - oxygenOf(water)) * water.volume
  water.oxygen += uptake
  const balance = (carbonDioxideInBalance(temperature) * water.volume) / gramsPerMoleOfCarbonDioxide
  const shareOfCarbon = 1 - Math.exp((-carbonDioxideTransferShare * perHour * seconds) / 3600)
  water.carbon += shareOfCarbon * (balance - freeCarbonDioxide(water))
  return uptake
}

const gramsPerMoleOfOxygen = 32

/**
 * Takes `grams` of oxygen, or what there is if that is less, and gives back one mole of carbon dioxide for each mole of
 * oxygen (respiratory quotient 1, common practice). Returns what was taken.
 */
export function respire(water: WaterDraft, grams: number): number {
  const taken = Math.min(grams, water.oxygen)
  water.oxygen -= taken
  water.carbon += taken / gramsPerMoleOfOxygen
  return taken
}
