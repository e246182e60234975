/**
 * What each kind of fish bears. These are starting limits of culture guidance, not veterinary advice; every one of
 * them can be overridden in the configuration (`species:`, `alarms:` by id, `critical_oxygen:` on the fish).
 */

/** A figure and where it was read. "common practice" and "from memory" say plainly that no source was at hand. */
export interface Figure {
  readonly value: number
  readonly source: string
}

/** Limits at which a tank of this species starts to be in trouble. */
export interface Species {
  readonly id: string
  readonly label: string
  /** The row of this table that it breathes like; its own id for those that stand here. */
  readonly like: string
  /** Cel */
  readonly temperatureLow: Figure
  readonly temperatureHigh: Figure
  /** mg/L: below it growth and feeding suffer; the limit of `oxygen-low`. */
  readonly oxygenLow: Figure
  /** mg/L: below it fish are in distress; the limit of `oxygen-very-low`. */
  readonly oxygenVeryLow: Figure
  /** mg/L: below it fish die soon; what oxygen minutes count down to. */
  readonly criticalOxygen: Figure
  /** [pH] */
  readonly phLow: Figure
  readonly phHigh: Figure
  /** mg/L NH3 as N */
  readonly unionisedAmmonia: Figure
  /** mg/L as N */
  readonly nitrite: Figure
}

const fao = 'Somerville et al. 2014, FAO Fisheries and Aquaculture Technical Paper 589'
const hsi =
  'McMahon & Terrell 1982, Habitat suitability index models: Channel catfish, FWS/OBS-82/10.2, page 6'
const huetter = 'Huetter 1990, Wasser und Wasseruntersuchung'

const figure = (value: number, source: string): Figure => ({ value, source })
const table31 = (value: number, group: 'warm' | 'cold'): Figure =>
  figure(value, `${fao}, Table 3.1, ${group}-water fish`)
const table71 = (value: number): Figure => figure(value, `${fao}, Table 7.1`)
const table71FromMemory = (value: number): Figure => figure(value, `from memory of ${fao}, Table 7.1`)
const practice = (value: number, why: string): Figure => figure(value, `common practice: ${why}`)

// 0.05 and 0.03 mg/L NH3 do lasting harm; divided by 1.2159 (NH3 per N, IUPAC weights) they are 0.041 and 0.025 as N.
const ammoniaWarm = figure(0.041, `${huetter}: chronic damage from 0.05 mg/L NH3 (0.041 as N)`)
const ammoniaCold = figure(
  0.025,
  `${huetter}: chronic damage from 0.03 mg/L NH3 (0.025 as N), trout most sensitive`,
)

/** As they stand here, without what they are like: they are like themselves. */
type Row = Omit<Species, 'like'>

/** For warm-water fish of which nothing more is known. */
const warmWater: Row = {
  id: 'warm_water',
  label: 'warm-water fish',
  temperatureLow: figure(18, `${fao}, Table 3.2, aquaponic compromise`),
  temperatureHigh: table31(32, 'warm'),
  oxygenLow: table31(4, 'warm'),
  oxygenVeryLow: practice(3, 'halfway between low and critical'),
  criticalOxygen: practice(2, 'warm-water fish gasp at the surface'),
  phLow: table31(6, 'warm'),
  phHigh: figure(8.5, `from memory of ${fao}, Table 3.1, warm-water fish`),
  unionisedAmmonia: ammoniaWarm,
  nitrite: table31(1, 'warm'),
}

/** For cold-water fish of which nothing more is known. */
const coldWater: Row = {
  id: 'cold_water',
  label: 'cold-water fish',
  temperatureLow: practice(4, 'feeding has nearly stopped'),
  temperatureHigh: table31(18, 'cold'),
  oxygenLow: table31(6, 'cold'),
  oxygenVeryLow: practice(5, 'one below the lowest level for growth'),
  criticalOxygen: practice(3, 'salmonids lose balance'),
  phLow: figure(6, `from memory of ${fao}, Table 3.1, cold-water fish`),
  phHigh: table31(8.5, 'cold'),
  unionisedAmmonia: ammoniaCold,
  nitrite: practice(0.1, 'salmonids without added chloride'),
}

const toleratesLittleOxygen = {
  oxygenVeryLow: figure(3, `${fao}, section 3.3: carp and tilapia tolerate 2 to 3 mg/L, upper end`),
  criticalOxygen: figure(2, `${fao}, section 3.3: carp and tilapia tolerate 2 to 3 mg/L, lower end`),
}

const rows: readonly Row[] = [
  warmWater,
  coldWater,
  {
    ...warmWater,
    ...toleratesLittleOxygen,
    id: 'nile_tilapia',
    label: 'Nile tilapia',
    temperatureLow: figure(17, `${fao}, chapter 7: feeding stops below`),
    oxygenLow: table71(4),
    nitrite: table71(1),
  },
  {
    ...warmWater,
    ...toleratesLittleOxygen,
    id: 'common_carp',
    label: 'common carp',
    temperatureLow: table71FromMemory(4),
    oxygenLow: table71FromMemory(4),
    nitrite: table71(1),
  },
  {
    ...warmWater,
    id: 'channel_catfish',
    label: 'channel catfish',
    temperatureLow: figure(18, `${hsi}: growth ceases below`),
    oxygenVeryLow: table71FromMemory(3),
    nitrite: table71(1),
  },
  {
    ...coldWater,
    id: 'rainbow_trout',
    label: 'rainbow trout',
    temperatureHigh: table71(18),
    oxygenLow: table71(6),
    nitrite: table71FromMemory(0.3),
  },
  {
    ...warmWater,
    id: 'barramundi',
    label: 'barramundi',
    temperatureLow: table71(18),
    oxygenLow: table71(4),
    nitrite: table71FromMemory(1),
  },
  {
    ...warmWater,
    id: 'flathead_mullet',
    label: 'flathead mullet',
    temperatureLow: table71(8),
    oxygenLow: table71(4),
    nitrite: table71(1),
  },
  {
    ...warmWater,
    id: 'silver_perch',
    label: 'silver perch',
    temperatureHigh: figure(28, 'New South Wales DPIRD, aquaculture species pages: optimum 23 to 28 Cel'),
  },
  {
    ...warmWater,
    id: 'jade_perch',
    label: 'jade perch',
    temperatureLow: practice(16, 'three above 13 Cel, where Business Queensland reports mass deaths'),
  },
  {
    ...warmWater,
    id: 'yellow_perch',
    label: 'yellow perch',
    temperatureLow: practice(10, 'feeding slows'),
    temperatureHigh: figure(
      28,
      'Tidwell et al. 1999, Journal of the World Aquaculture Society 30(3):324-330: chronic stress near',
    ),
    oxygenLow: practice(5, 'cool-water fish need more than warm-water fish'),
    oxygenVeryLow: practice(4, 'one below the lowest level for growth'),
    criticalOxygen: practice(2.5, 'between warm-water and cold-water fish'),
  },
]

/** Every species that is known by name, and the two general ones. */
export const species: ReadonlyMap<string, Species> = new Map(
  rows.map((row) => [row.id, { ...row, like: row.id }]),
)

/** The row for fish of which the name is not known: warm-water fish. */
export const anySpecies: Species = { ...warmWater, like: warmWater.id }
