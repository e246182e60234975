import { sources } from '../sources.js'
import type { Fact } from './fact.js'

type Values = Readonly<Record<string, number>>
type Citation = readonly [source: string, where: string]

/** The unit that follows from how the quantity is named. */
function unitOf(quantity: string): string {
  if (quantity.endsWith('_F')) return 'degF'
  if (/temperature|lethal_low|stops_below/.test(quantity)) return 'degC'
  if (quantity.startsWith('ph_')) return '1'
  if (quantity.startsWith('protein')) return '%'
  if (quantity.startsWith('salinity')) return 'g/kg'
  if (quantity.startsWith('stocking_density')) return 'kg/m3'
  if (/^(feeding_rate|water_use)/.test(quantity)) return '%/d'
  return 'mg/L'
}

/** What a publication says of one species; a third argument holds what of it was written from memory. */
const said =
  ([source, where]: Citation) =>
  (species: string, read: Values, remembered: Values = {}): readonly Fact[] => {
    const facts = (values: Values, how: string) =>
      Object.entries(values).map(([quantity, value]) => ({
        quantity,
        value,
        unit: unitOf(quantity),
        of: { species },
        source,
        where: how === '' ? where : `${where}, ${how}`,
      }))
    return [...facts(read, ''), ...facts(remembered, 'from memory')]
  }

/** Total ammonia, nitrite and nitrate as FAO prints them: mg/L, as nitrogen in the text of the paper. */
const group = said([sources.fao589, 'Table 3.1, general water quality tolerances'])
const compromise = said([sources.fao589, 'Table 3.2, ideal parameters for aquaponics as a compromise'])
const cultured = said([sources.fao589, 'Table 7.1, p. 109'])

const fao: readonly Fact[] = [
  ...group(
    'warm-water fish',
    { temperature_high: 32, ph_low: 6, ammonia_max: 3, nitrite_max: 1, oxygen_low: 4, oxygen_high: 6 },
    { temperature_low: 22, ph_high: 8.5, nitrate_max: 400 },
  ),
  ...group(
    'cold-water fish',
    { temperature_high: 18, ph_high: 8.5, ammonia_max: 1, nitrate_max: 400, oxygen_low: 6 },
    { temperature_low: 10, ph_low: 6, nitrite_max: 0.1, oxygen_high: 8 },
  ),
  ...group(
    'plants',
    { temperature_low: 16, temperature_high: 30, ph_high: 7.5, ammonia_max: 30, oxygen_low: 3 },
    { ph_low: 5.5, nitrite_max: 1 },
  ),
  ...group(
    'nitrifying bacteria',
    { temperature_low: 14, ph_low: 6, ph_high: 8.5, nitrite_max: 1, oxygen_high: 8 },
    { temperature_high: 34, ammonia_max: 3, oxygen_low: 4 },
  ),
  ...compromise(
    'aquaponic compromise',
    {
      temperature_low: 18,
      ph_low: 6,
      ph_high: 7,
      nitrite_max: 1,
      nitrate_low: 5,
      nitrate_max: 150,
      oxygen_low: 5,
    },
    { temperature_high: 30, ammonia_max: 1, nitrate_high: 150 },
  ),
  ...cultured(
    'nile tilapia',
    {
      temperature_vital_low: 14,
      temperature_optimum_low: 27,
      temperature_optimum_high: 30,
      nitrite_max: 1,
      oxygen_low: 4,
      protein_high: 32,
    },
    { temperature_vital_high: 36, ammonia_max: 2, protein_low: 28 },
  ),
  ...cultured(
    'common carp',
    {
      temperature_vital_high: 34,
      temperature_optimum_low: 25,
      ammonia_max: 1,
      nitrite_max: 1,
      protein_low: 30,
      protein_high: 38,
    },
    { temperature_vital_low: 4, temperature_optimum_high: 30, oxygen_low: 4 },
  ),
  ...cultured(
    'channel catfish',
    {
      temperature_vital_high: 34,
      temperature_optimum_low: 24,
      ammonia_max: 1,
      nitrite_max: 1,
      protein_low: 25,
      protein_high: 36,
    },
    { temperature_vital_low: 5, temperature_optimum_high: 30, oxygen_low: 3 },
  ),
  ...cultured(
    'rainbow trout',
    {
      temperature_vital_high: 18,
      temperature_optimum_high: 16,
      ammonia_max: 0.5,
      oxygen_low: 6,
      protein_low: 42,
    },
    { temperature_vital_low: 10, temperature_optimum_low: 14, nitrite_max: 0.3, protein_high: 42 },
  ),
  ...cultured(
    'barramundi',
    { temperature_vital_low: 18, temperature_vital_high: 34, temperature_optimum_high: 29 },
    {
      temperature_optimum_low: 26,
      ammonia_max: 1,
      nitrite_max: 1,
      oxygen_low: 4,
      protein_low: 38,
      protein_high: 45,
    },
  ),
  ...cultured(
    'flathead mullet',
    {
      temperature_vital_low: 8,
      temperature_vital_high: 32,
      temperature_optimum_high: 27,
      nitrite_max: 1,
      oxygen_low: 4,
    },
    { temperature_optimum_low: 20, ammonia_max: 1, protein_low: 30, protein_high: 34 },
  ),
  ...cultured(
    'giant river prawn',
    { temperature_vital_high: 34, temperature_optimum_low: 26, ammonia_max: 0.5, nitrite_max: 1 },
    {
      temperature_vital_low: 17,
      temperature_optimum_high: 32,
      oxygen_low: 3,
      protein_low: 35,
      protein_high: 35,
    },
  ),
  ...said([sources.fao589, 'section on tilapia, chapter 7'])('nile tilapia', {
    feeding_stops_below: 17,
    lethal_low: 12,
  }),
  ...said([sources.fao589, 'section 7.3.3, p. 109'])('any (small systems)', { stocking_density_max: 20 }),
  ...said([sources.fao589, 'p. 125: 1 kg per 100 L'])('any, tank below 500 L', {
    stocking_density_max_small_tank: 10,
  }),
  ...said([sources.fao589, 'chapters 7 and 8'])('growing fish above 50 g', {
    feeding_rate_low: 1,
    feeding_rate_high: 2,
  }),
  ...said([sources.fao589, 'section 7.3: lethal within 12-24 h (24 from memory)'])('fish', {
    ph_change_max: 0.3,
  }),
  ...said([sources.fao589, 'section 3.4, p. 29'])('system', { water_use_low: 1, water_use_high: 3 }),
  ...said([sources.fao589, 'section 3.3'])('all three organisms', {
    oxygen_optimum_low: 5,
    oxygen_optimum_high: 8,
  }),
  ...said([sources.fao589, 'section 3.3'])('carp and tilapia', {
    oxygen_tolerated_low: 2,
    oxygen_tolerated_high: 3,
  }),
]

const srac283 = said([
  'Popma, T. & Masser, M. (1999) Tilapia: Life History and Biology, SRAC Publication 283',
  'water temperature, salinity',
])
const kenya = said([
  'National Farmers Information Service (Kenya), Fish farming - tilapia',
  'water quality, sections b to f',
])
const habitat = said([
  'McMahon, T.E. & Terrell, J.W. (1982) Habitat suitability index models: channel catfish',
  'p. 6',
])
const classes = said([
  "Swann, L., A Fish Farmer's Guide to Understanding Water Quality",
  'Figure 3, general temperature ranges',
])
const water = said(['Huetter, L.A. (1990) Wasser und Wasseruntersuchung, as quoted', 'ammonia'])
const newSouthWales = said(['New South Wales DPIRD, aquaculture species pages', 'temperature'])
const queensland = said([
  'Business Queensland (Queensland Government), aquaculture species pages',
  'temperature',
])

const others: readonly Fact[] = [
  ...srac283('tilapia', {
    feeding_stops_below_F: 63,
    temperature_optimum_low_F: 85,
    temperature_optimum_high_F: 88,
  }),
  ...srac283('nile tilapia', { salinity_max: 15 }),
  ...kenya('tilapia', {
    oxygen_optimum: 4,
    ph_survival_low: 5,
    ph_survival_high: 10,
    ph_high: 9,
    unionised_ammonia_acute: 2,
  }),
  ...kenya('tilapia (fresh water)', { nitrite_max: 27 }),
  ...said([
    'Pullin, R.S.V. & Lowe-McConnell, R.H. (eds) (1982) The Biology and Culture of Tilapias',
    '48 h median lethal concentration',
  ])('blue tilapia', { unionised_ammonia_lc50_48h: 2.4 }),
  ...habitat('channel catfish', {
    oxygen_adequate: 5,
    oxygen_optimum: 7,
    oxygen_feeding_reduced: 5,
    temperature_optimum_low_growth: 26,
    temperature_optimum_high_growth: 29,
    growth_stops_below: 18,
  }),
  ...said([
    'Tidwell, J.H. et al. (1999) Effect of culture temperature on growth of yellow perch',
    'abstract',
  ])('yellow perch', {
    temperature_optimum: 24,
    temperature_stress: 28,
  }),
  ...queensland('barramundi', {
    temperature_optimum_low_bq: 25,
    temperature_optimum_high_bq: 30,
    lethal_low: 13,
  }),
  ...queensland('jade perch', { lethal_low: 13 }),
  ...newSouthWales('silver perch', { temperature_optimum_low: 23, temperature_optimum_high: 28 }),
  ...newSouthWales('rainbow trout', { temperature_stress: 19, temperature_optimum: 15 }),
  ...classes('coldwater', { temperature_class_low_F: 55, temperature_class_high_F: 65 }),
  ...classes('coolwater', { temperature_class_high_F: 75 }, { temperature_class_low_F: 65 }),
  ...classes('warmwater', { temperature_class_high_F: 90 }, { temperature_class_low_F: 75 }),
  ...said([
    "Swann, L., A Fish Farmer's Guide to Understanding Water Quality",
    'metabolic rate doubles per 18 degF',
  ])('fish', {
    metabolic_doubling_F: 18,
  }),
  ...said(['common practice', 'typical culture optimum 24-27 degC'])(
    'bluegill',
    {},
    { temperature_optimum_low: 24, temperature_optimum_high: 27 },
  ),
  ...water('fish at 15 degC', { unionised_ammonia_lethal: 1 }),
  ...water('fish, trout most sensitive', {
    unionised_ammonia_chronic_low: 0.03,
    unionised_ammonia_chronic_high: 0.05,
  }),
]

/** What fish, plants and bacteria tolerate. Guidance for culture, not veterinary advice; the sources disagree. */
export const tolerances: readonly Fact[] = [...fao, ...others]
