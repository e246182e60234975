import type { Figure } from './species.js'

/** What the cold does to a crop: starting limits, not advice; a keeper's own alarm goes before them. */
export interface Crop {
  readonly id: string
  readonly label: string
  /** Cel of the air, below which a night does harm. */
  readonly airLow: Figure
  /** g of feed a day whose nutrients a square metre of it takes up. */
  readonly feedRatio: Figure
}

const tender = (value: number, why: string): Figure => ({
  value,
  source: `common practice: ${why}`,
})
const chills = (value: number): Figure => tender(value, 'crops from warm lands chill below 10 to 12 Cel')
const hardy = tender(0, 'hardened leaves bear the cold until they freeze')

const fao = 'Somerville et al. 2014, FAO Fisheries and Aquaculture Technical Paper 589, chapter 8'
const leafy: Figure = { value: 45, source: `${fao}: leafy vegetables 40 to 50` }
const fruiting: Figure = { value: 65, source: `${fao}: fruiting vegetables 50 to 80` }

const crop = (id: string, airLow: Figure, feedRatio = leafy): Crop => ({
  id,
  label: id.replaceAll('_', ' '),
  airLow,
  feedRatio,
})

const rows: readonly Crop[] = [
  crop('lettuce', tender(2, 'light frost scorches; two degrees for leaves colder than the air')),
  crop('basil', chills(10)),
  crop('tomato', chills(10), fruiting),
  crop('cucumber', chills(12), fruiting),
  crop('pepper', chills(12), fruiting),
  crop('aubergine', chills(12), fruiting),
  crop('bean', chills(10), fruiting),
  crop('okra', chills(12), fruiting),
  crop('strawberry', hardy, fruiting),
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
