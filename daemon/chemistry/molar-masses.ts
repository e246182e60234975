/**
 * g/mol.
 * @source IUPAC standard atomic weights (abridged): N 14.007, H 1.008, O 15.999, C 12.011, Ca 40.078, Na 22.990,
 *   K 39.098, Mg 24.305, Cl 35.45
 */
const atomic = {
  N: 14.007,
  H: 1.008,
  O: 15.999,
  C: 12.011,
  Ca: 40.078,
  Na: 22.99,
  K: 39.098,
  Mg: 24.305,
  Cl: 35.45,
}
const { N, H, O, C, Ca, Na, K, Mg, Cl } = atomic

export const molarMass = {
  N,
  Cl,
  NH3: N + 3 * H,
  NH4: N + 4 * H,
  NO2: N + 2 * O,
  NO3: N + 3 * O,
  O2: 2 * O,
  CO2: C + 2 * O,
  HCO3: H + C + 3 * O,
  CaCO3: Ca + C + 3 * O,
  NaCl: Na + Cl,
  NaHCO3: Na + H + C + 3 * O,
  KHCO3: K + H + C + 3 * O,
  K2CO3: 2 * K + C + 3 * O,
  CaO: Ca + O,
  CaOH2: Ca + 2 * (O + H),
  CaMgCO32: Ca + Mg + 2 * (C + 3 * O),
} as const

/** mg of CaCO3 that carries as much alkalinity as one milliequivalent: half its molar mass, 50.0435. */
export const calciumCarbonatePerEquivalent = molarMass.CaCO3 / 2

/**
 * mg/L as CaCO3 in one German degree of carbonate hardness: 10 mg CaO per litre.
 * @source definition of the degree; 17.848
 */
export const calciumCarbonatePerDegree = (10 / molarMass.CaO) * molarMass.CaCO3

/** What one species is reported as instead of another, nitrogen by nitrogen: multiply by this. */
export const reportedAs = (from: NitrogenSpecies, to: NitrogenSpecies): number =>
  molarMass[to] / molarMass[from]

export type NitrogenSpecies = 'N' | 'NH3' | 'NH4' | 'NO2' | 'NO3'
