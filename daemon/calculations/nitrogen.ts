import {
  ammoniaFromFeed,
  ammoniaFromFeedByFao,
  ammoniaNitrogenPerProtein,
  ammoniaPerFeed,
  faoArealRate,
  feedCapacityOfMedia,
} from '../chemistry/feed-nitrogen.js'
import {
  alkalinityPerNitrogen,
  arealNitrificationRate,
  arealRateAt15,
  mediaVolume,
  nitrificationDemand,
  oxygenPerNitrogen,
  printedAlkalinityPerNitrogen,
  printedOxygenPerNitrogen,
} from '../chemistry/nitrification.js'
import { chlorideToNitriteRatio, saltCautions, saltDose } from '../chemistry/nitrite-chloride.js'
import * as unit from '../units/brands.js'
import { zeroOrMore, type Range } from '../units/range.js'
import { calculation } from './calculation.js'
import { equations } from './equations.js'
import { bare, concentration, measure, plain, share, unless, volume } from './inputs.js'

const aboveZero: Range = [Number.MIN_VALUE, Number.MAX_VALUE]
const gramsPerDay = measure(unit.gramsPerDay, 'g/d', zeroOrMore)
const surface = measure(unit.squareMetresPerCubicMetre, 'm2/m3', aboveZero)
const rate = measure(unit.gramsPerSquareMetreDay, 'g/(m2.d)', aboveZero)
const protein = unless(share, unit.fraction(0.32))
const factor = (printed: number) => unless(bare('g/g'), printed)

export const nitrogenCalculations = [
  calculation('tan_per_feed_protein', {
    label: 'total ammonia nitrogen per protein fed',
    unit: '1',
    inputs: {},
    equation: equations['NIT-0'],
    compute: () => ammoniaNitrogenPerProtein,
  }),
  calculation('tan_production', {
    label: 'total ammonia nitrogen from the feed',
    unit: 'g/d',
    inputs: { feed: measure(unit.kilogramsPerDay, 'kg/d', zeroOrMore), protein: share },
    equation: equations['NIT-1'],
    compute: (given) => ammoniaFromFeed(given.feed, given.protein),
  }),
  calculation('ammonia_production_fao', {
    label: 'ammonia from the feed, as NH3',
    unit: 'g/d',
    inputs: { feed: gramsPerDay, protein: share },
    equation: equations['NIT-2'],
    compute: (given) => ammoniaFromFeedByFao(given.feed, given.protein),
  }),
  calculation('feed_capacity_per_media_volume', {
    label: 'feed a day that a litre of media can treat',
    unit: 'g/(L.d)',
    inputs: { specific_surface: surface, protein },
    equation: equations['NIT-3'],
    compute: (given) => feedCapacityOfMedia(given.specific_surface, given.protein),
  }),
  calculation('biofilter_media_volume', {
    label: 'media that the feed needs',
    unit: 'L',
    inputs: { feed: gramsPerDay, specific_surface: surface, protein },
    equation: equations['NIT-4'],
    compute: (given) =>
      mediaVolume(
        unit.gramsPerDay(given.feed * ammoniaPerFeed(given.protein)),
        given.specific_surface,
        faoArealRate,
      ),
  }),
  calculation('biofilter_media_volume_from_tan', {
    label: 'media that an ammonia load needs',
    unit: 'L',
    inputs: { tan: gramsPerDay, specific_surface: surface, areal_rate: rate },
    equation: equations['NIT-11'],
    compute: (given) => mediaVolume(given.tan, given.specific_surface, given.areal_rate),
  }),
  calculation('oxygen_per_g_N_theory', {
    label: 'oxygen that nitrification takes per nitrogen',
    unit: 'g/g',
    inputs: {},
    equation: equations['NIT-5'],
    compute: () => oxygenPerNitrogen,
  }),
  calculation('alkalinity_per_g_N_theory', {
    label: 'alkalinity as CaCO3 that nitrification takes per nitrogen',
    unit: 'g/g',
    inputs: {},
    equation: equations['NIT-6'],
    compute: () => alkalinityPerNitrogen,
  }),
  calculation('alkalinity_demand', {
    label: 'alkalinity that nitrification takes, as CaCO3',
    unit: 'g/d as CaCO3',
    inputs: { tan_nitrified: gramsPerDay, factor: factor(printedAlkalinityPerNitrogen) },
    equation: equations['NIT-8'],
    compute: (given) => nitrificationDemand(given.tan_nitrified, given.factor),
  }),
  calculation('oxygen_demand_nitrification', {
    label: 'oxygen that nitrification takes',
    unit: 'g/d',
    inputs: { tan_nitrified: gramsPerDay, factor: factor(printedOxygenPerNitrogen) },
    equation: equations['NIT-8'],
    compute: (given) => nitrificationDemand(given.tan_nitrified, given.factor),
  }),
  calculation('nitrification_areal_rate', {
    label: 'nitrogen that moving-bed media turn over',
    unit: 'g/(m2.d)',
    inputs: {
      tan: measure(unit.milligramsPerLitreAsN, 'mg/L', [0, 2.5], { countedAs: 'N' }),
      temperature: measure(unit.celsius, 'degC', [4, 30]),
      k15: unless(rate, unit.gramsPerSquareMetreDay(arealRateAt15)),
    },
    equation: equations['NIT-9'],
    compute: (given) => arealNitrificationRate(given.tan, given.temperature, given.k15),
  }),
  calculation('salt_dose', {
    label: 'salt that protects fish from nitrite',
    unit: 'g',
    inputs: {
      nitrite: measure(unit.milligramsPerLitreAsNO2, 'mg/L', zeroOrMore, { countedAs: 'NO2' }),
      chloride: concentration,
      volume,
      ratio: unless(plain(zeroOrMore), chlorideToNitriteRatio),
    },
    equation: equations['NC-3'],
    compute: (given) =>
      saltDose({ nitrite: given.nitrite, chloride: given.chloride }, given.volume, given.ratio),
    cautions: saltCautions,
  }),
]
