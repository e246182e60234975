import { chlorideForNitrite, nitrateGain, plantUptake } from '../chemistry/nitrogen-balance.js'
import { forecastNitrogen, nitrogenHorizon, settledAmmonia } from '../chemistry/nitrogen-forecast.js'
import { nitrificationCapacity, nitrifierPaces, nitrifierRate } from '../chemistry/nitrifiers.js'
import * as unit from '../units/brands.js'
import { aboveZero, zeroOrMore } from '../units/range.js'
import { calculation, refused, type Values } from './calculation.js'
import { equations } from './equations.js'
import { acidity, area, asNitrogen, bare, concentration, measure, oxygen, unless } from './inputs.js'

// A loop of fish, media and plants: what the filter can do, and where ammonia, nitrite and nitrate go from here.

const pace = unless(measure(unit.gramsPerSquareMetreDay, 'g/(m2.d)', zeroOrMore), nitrifierPaces.usual)
const gramsPerDay = measure(unit.gramsPerDay, 'g/d', zeroOrMore)
const water = {
  temperature: measure(unit.celsius, 'degC', [4, 30]),
  dissolved_oxygen: unless(oxygen, unit.milligramsPerLitre(5)),
  pH: unless(acidity([6, 9]), unit.ph(7.3)),
}
const waterOf = (given: Values<typeof water>) => ({
  temperature: given.temperature,
  oxygen: given.dissolved_oxygen,
  ph: given.pH,
})
const grownIn = [
  'The pace of a filter is known within a factor of three either way, until its own measurements tell it (k15).',
]

const loop = {
  ...water,
  volume: measure(unit.cubicMetres, 'm3', aboveZero),
  media: area,
  load: gramsPerDay,
  total_ammonia_nitrogen: asNitrogen,
  nitrite_nitrogen: unless(asNitrogen, unit.milligramsPerLitreAsN(0)),
  time: unless(measure(unit.inHours, 'h', nitrogenHorizon), unit.inHours(24)),
  k15: pace,
  k15_nitrite: pace,
}

const later = (of: 'ammonia' | 'nitrite' | 'nitrateMade') => (given: Values<typeof loop>) =>
  forecastNitrogen(
    {
      volume: given.volume,
      media: given.media,
      load: given.load,
      water: waterOf(given),
      pace: { ammonia: given.k15, nitrite: given.k15_nitrite },
    },
    { ammonia: given.total_ammonia_nitrogen, nitrite: given.nitrite_nitrogen },
    given.time,
  )?.[of] ?? null

const forecasts = (
  [
    ['total_ammonia_nitrogen_after', 'total ammonia nitrogen of a loop after some hours', 'ammonia'],
    ['nitrite_nitrogen_after', 'nitrite nitrogen of a loop after some hours', 'nitrite'],
    ['nitrate_nitrogen_made', 'nitrate nitrogen that is made within some hours', 'nitrateMade'],
  ] as const
).map(([quantity, label, of]) =>
  calculation(quantity, {
    ...{ label, unit: 'mg/L', inputs: loop, equation: equations['NIT-14'] },
    compute: later(of),
    cautions: grownIn,
  }),
)

export const nitrogenLoopCalculations = [
  ...forecasts,
  calculation('nitrifier_rate', {
    label: 'nitrogen that a square metre of media turns over, with oxygen and pH',
    unit: 'g/(m2.d)',
    inputs: { nitrogen: asNitrogen, ...water, k15: pace },
    equation: equations['NIT-12'],
    compute: (given) => nitrifierRate(given.nitrogen, waterOf(given), given.k15),
    cautions: grownIn,
  }),
  calculation('nitrification_capacity', {
    label: 'ammonia nitrogen that media can turn over in a day, if there is enough',
    unit: 'g/d',
    inputs: { media: area, ...water, k15: pace },
    equation: equations['NIT-13'],
    compute: (given) => nitrificationCapacity(given.media, waterOf(given), given.k15),
    cautions: grownIn,
  }),
  calculation('total_ammonia_nitrogen_settled', {
    label: 'total ammonia nitrogen at which a loop settles',
    unit: 'mg/L',
    inputs: { media: area, load: gramsPerDay, ...water, k15: pace },
    equation: equations['NIT-15'],
    compute: ({ media, load, k15, ...rest }) =>
      settledAmmonia({ media, load, water: waterOf(rest), pace: { ammonia: k15, nitrite: k15 } }) ??
      refused('it does not settle: the load is more than the media can turn over'),
    cautions: grownIn,
  }),
  calculation('plant_nitrogen_uptake', {
    label: 'nitrogen that plants take up',
    unit: 'g/d',
    inputs: { area, ratio: measure(unit.gramsPerSquareMetreDay, 'g/(m2.d)', aboveZero) },
    equation: equations['NB-1'],
    compute: (given) => plantUptake(given.area, given.ratio),
  }),
  calculation('nitrate_gain', {
    label: 'nitrate nitrogen that a loop gains in a day',
    unit: 'mg/(L.d)',
    inputs: { nitrified: gramsPerDay, uptake: unless(bare('g/d'), 0), volume: loop.volume },
    equation: equations['NB-2'],
    compute: (given) => nitrateGain(given.nitrified, unit.gramsPerDay(given.uptake), given.volume),
  }),
  calculation('chloride_to_nitrite_ratio', {
    label: 'chloride for each nitrite (as NO2)',
    unit: '1',
    inputs: {
      chloride: concentration,
      nitrite_nitrogen: measure(unit.milligramsPerLitreAsN, 'mg/L', aboveZero, { countedAs: 'N' }),
    },
    equation: equations['NC-2'],
    compute: (given) => chlorideForNitrite(given.chloride, given.nitrite_nitrogen),
  }),
]
