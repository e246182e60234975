import { inside, zeroOrMore } from '../units/range.js'
import { grams, type CubicMetres, type Grams, type MilligramsPerLitreAsCaCO3 } from '../units/brands.js'
import { calciumCarbonatePerEquivalent, molarMass } from './molar-masses.js'

/** A base that keepers add to bring back the alkalinity that nitrification uses up. */
export interface Base {
  readonly name: string
  readonly formula: string
  /** g of the pure base that bring as much alkalinity as 1 g of CaCO3. */
  readonly gramsPerGramCaCO3: number
  /** What to mind. Common practice where no source is named. */
  readonly cautions: readonly string[]
}

/** What holds for every one of them (common practice). */
export const dosingCautions: readonly string[] = [
  'Dissolve it first, give it slowly over hours, far from the fish, and measure again before giving more.',
  'A rise of pH turns more of the total ammonia into poison: look at the ammonia before you dose.',
  // FAO 589 (2014), section 7.3: a change of 0.3 in pH within 12 to 24 h can be lethal (24 from memory).
  'Keep the change of pH below 0.3 in a day.',
]

const base = (name: string, formula: string, perEquivalent: number, cautions: readonly string[]): Base => ({
  name,
  formula,
  gramsPerGramCaCO3: perEquivalent / calciumCarbonatePerEquivalent,
  cautions,
})

/** @source equivalents from IUPAC atomic weights; pure substances (ask the supplier for the purity) */
export const bases: readonly Base[] = [
  base('sodium bicarbonate', 'NaHCO3', molarMass.NaHCO3, [
    'Sodium builds up and harms plants: not for every week.',
  ]),
  base('potassium bicarbonate', 'KHCO3', molarMass.KHCO3, [
    'Alternate with a calcium base: too much potassium starves plants of calcium and magnesium.',
  ]),
  base('potassium carbonate', 'K2CO3', molarMass.K2CO3 / 2, [
    'Strong: raises pH above 11 where it dissolves. Gloves and glasses.',
  ]),
  base('calcium carbonate', 'CaCO3', molarMass.CaCO3 / 2, [
    'Dissolves only slowly, and hardly at all above pH 7.5.',
  ]),
  base('dolomite', 'CaMg(CO3)2', molarMass.CaMgCO32 / 4, [
    'Dissolves very slowly: for a bag in the flow, not for a dose.',
  ]),
  base('calcium hydroxide', 'Ca(OH)2', molarMass.CaOH2 / 2, [
    'Caustic: burns skin and eyes. Gloves and glasses.',
    'An overdose kills within minutes: give a tenth of the dose, wait, measure.',
  ]),
]

export const baseNamed = (name: string): Base | undefined =>
  bases.find((one) => one.name === name || one.formula === name)

/**
 * Mass of a pure base that raises the alkalinity of the water from `now` to `wanted`; 0 when it is there already.
 * Null below zero. Unit: g.
 * @source mass balance in equivalents
 */
export function baseDose(
  substance: Base,
  { now, wanted }: { readonly now: MilligramsPerLitreAsCaCO3; readonly wanted: MilligramsPerLitreAsCaCO3 },
  volume: CubicMetres,
): Grams | null {
  if (!inside(zeroOrMore, now) || !inside(zeroOrMore, wanted) || !inside(zeroOrMore, volume)) return null
  return grams(Math.max(0, wanted - now) * volume * substance.gramsPerGramCaCO3)
}
