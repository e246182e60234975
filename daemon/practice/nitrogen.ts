import { respire } from './gases.js'
import { biofilterFigures } from './larkfield.js'
import { nitrogenIn, oxygenOf, phOf, temperatureOf, type WaterDraft } from './water.js'

const gramsPerMoleOfNitrogen = 14.007
/** g O2 for 1 g N, ammonia to nitrite and on to nitrate; together 4.57. @source stoichiometry, 1.5 and 0.5 mol O2 */
const oxygenForNitritation = 3.43
const oxygenForNitratation = 1.14

/**
 * Areal rate, g N/(m2.d): 0.50 S^0.7 1.09^(T - 15), S the ammonia that oxygen lets them work on (3.2 g O2 a g N).
 * @source Rusten, Eikebrokk, Ulgenes & Lygren (2006), Aquacultural Engineering 34:322
 */
function arealRate(nitrogen: number, oxygen: number, temperature: number): number {
  const within = Math.min(nitrogen, oxygen / 3.2)
  return 0.5 * Math.max(0, within) ** 0.7 * 1.09 ** (temperature - 15)
}

/** At pH 6.7 half of what it is at 7.3 (Rusten et al. 2006), straight in between, never more than 1 nor less than 0.1. */
const phShare = (ph: number): number => Math.min(1, Math.max(0.1, 1 - (7.3 - ph) / 1.2))

/** Nitrite is oxidised somewhat faster than it is made in a grown-in filter (common practice; gives 0.2 to 0.5 mg/L). */
const nitriteEagerness = 1.3

/**
 * Ammonia to nitrite to nitrate on the media for `seconds`, limited by oxygen, warmth and pH, and never more than there
 * is. Ammonia to nitrite sets two protons free. Returns the grams of oxygen taken.
 */
export function nitrify(water: WaterDraft, seconds: number): number {
  const temperature = temperatureOf(water)
  const days = seconds / 86_400
  const possible = biofilterFigures.mediaArea * phShare(phOf(water)) * days
  const first = Math.min(
    possible * arealRate(water.ammonia / water.volume, oxygenOf(water), temperature),
    0.5 * water.ammonia,
    (0.5 * water.oxygen) / oxygenForNitritation,
  )
  const second = Math.min(
    nitriteEagerness * possible * arealRate(water.nitrite / water.volume, oxygenOf(water), temperature),
    0.5 * water.nitrite,
    (0.5 * water.oxygen) / oxygenForNitratation,
  )
  water.ammonia -= first
  water.nitrite += first - second
  water.nitrate += second
  water.alkalinity -= (2 * first) / gramsPerMoleOfNitrogen
  const taken = oxygenForNitritation * first + oxygenForNitratation * second
  water.oxygen -= taken
  return taken
}

/** Droppings washed into the filter decay there; the same pace as in the tanks. Returns oxygen taken and what is left. */
export function decayInFilter(
  water: WaterDraft,
  film: number,
  seconds: number,
): { taken: number; left: number } {
  const oxygen = oxygenOf(water)
  const perHour = (1.5 / 24) * 1.07 ** (temperatureOf(water) - 27) * (oxygen / (oxygen + 0.2))
  const taken = respire(water, film * (1 - Math.exp((-perHour * seconds) / 3600)))
  return { taken, left: film - taken }
}

/** g N/(m2.d) in full light; lettuce-like crops take about 0.5 to 1.5 (common practice), a quarter of it in the dark. */
const uptakeInLight = 1.2
/** g O2/(m2.h) of roots and what lives on them (common practice, 0.05 to 0.2). */
const rootRespiration = 0.1

export interface BedTurn {
  /** g N */
  readonly takenUp: number
  /** g O2 */
  readonly breathed: number
}

/**
 * A bed's roots for `seconds`: nitrate first, some ammonia, more by day (`light` 0 to 1), and oxygen. A mole of nitrate
 * taken up leaves a mole of bicarbonate, a mole of ammonium takes one.
 */
export function growInBed(water: WaterDraft, bed: { area: number; light: number }, seconds: number): BedTurn {
  const days = seconds / 86_400
  const wanted = bed.area * uptakeInLight * (0.25 + 0.75 * bed.light) * days
  const there = nitrogenIn(water)
  const scarce = there / (there + water.volume)
  const nitrate = Math.min(0.9 * wanted * scarce, 0.5 * water.nitrate)
  const ammonia = Math.min(0.1 * wanted * scarce, 0.5 * water.ammonia)
  water.nitrate -= nitrate
  water.ammonia -= ammonia
  water.alkalinity += (nitrate - ammonia) / gramsPerMoleOfNitrogen
  water.carbon += (nitrate - ammonia) / gramsPerMoleOfNitrogen
  const oxygen = oxygenOf(water)
  const breathed = respire(water, (rootRespiration * bed.area * seconds * oxygen) / (3600 * (oxygen + 0.5)))
  return { takenUp: nitrate + ammonia, breathed }
}
