import type { Figure } from './species.js'

/** What the cold does to a crop: starting limits, not advice; a keeper's own alarm goes before them. */
export interface Crop {
  readonly id: string
  readonly label: string
  /** Cel of the air, below which a night does harm. */
  readonly airLow: Figure
}

const tender = (value: number, why: string): Figure => ({
  value,
  source: `common practice: ${why}`,
})
const chills = (value: number): Figure => tender(value, 'crops from warm lands chill below 10 to 12 Cel')
const hardy = tender(0, 'hardened leaves bear the cold until they freeze')

const crop = (id: string, airLow: Figure): Crop => ({ id, label: id.replaceAll('_', ' '), airLow })

const rows: readonly Crop[] = [
  crop('lettuce', tender(2, 'light frost scorches; two degrees for leaves colder than the air')),
  crop('basil', chills(10)),
  crop('tomato', chills(10)),
  crop('cucumber', chills(12)),
  crop('pepper', chills(12)),
  crop('aubergine', chills(12)),
  crop('bean', chills(10)),
  crop('okra', chills(12)),
  crop('strawberry', hardy),
  crop('chard', hardy),
  crop('kale', hardy),
  crop('spinach', hardy),
  crop('parsley', hardy),
  crop('mint', hardy),
  crop('watercress', hardy),
  crop('pak_choi', tender(2, 'as lettuce')),
  crop('coriander', tender(2, 'as lettuce')),
]

/** Every crop that is known by name. */
export const crops: ReadonlyMap<string, Crop> = new Map(rows.map((row) => [row.id, row]))

/** Of a crop whose name is not known: as tender as basil, rather too early than too late. */
export const anyCrop: Crop = crop('any_crop', chills(10))
