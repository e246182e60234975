import { feedForPlantArea, fishForFeed, plantAreaForFeed, staggeredPlantArea } from '../chemistry/plants.js'
import * as unit from '../units/brands.js'
import { zeroOrMore, type Range } from '../units/range.js'
import { calculation } from './calculation.js'
import { equations } from './equations.js'
import { area, measure, plain } from './inputs.js'

const aboveZero: Range = [Number.MIN_VALUE, Number.MAX_VALUE]
const feed = measure(unit.gramsPerDay, 'g/d', zeroOrMore)
const ratio = measure(unit.gramsPerSquareMetreDay, 'g/(m2.d)', aboveZero)

export const plantCalculations = [
  calculation('plant_area_from_feed', {
    label: 'plants that the feed nourishes',
    unit: 'm2',
    inputs: { feed, ratio },
    equation: equations['PL-1'],
    compute: (given) => plantAreaForFeed(given.feed, given.ratio),
  }),
  calculation('feed_from_plant_area', {
    label: 'feed that the plants can use',
    unit: 'g/d',
    inputs: { area, ratio },
    equation: equations['PL-2'],
    compute: (given) => feedForPlantArea(given.area, given.ratio),
  }),
  calculation('plant_area_staggered', {
    label: 'area of a bed that is sown and cut every week',
    unit: 'm2',
    inputs: {
      heads_per_week: plain(zeroOrMore),
      weeks: plain(zeroOrMore),
      density: measure(unit.perSquareMetre, '1/m2', aboveZero),
    },
    equation: equations['PL-3'],
    compute: ({ heads_per_week: headsPerWeek, weeks, density }) =>
      staggeredPlantArea({ headsPerWeek, weeks }, density),
  }),
  calculation('fish_biomass_from_feed', {
    label: 'fish that eat that much',
    unit: 'kg',
    inputs: { feed, feeding_rate: measure(unit.percentPerDay, '%/d', aboveZero) },
    equation: equations['PL-4'],
    compute: (given) => fishForFeed(given.feed, given.feeding_rate),
  }),
]
