import {
  acuteAmmoniaCriterion,
  chronicAmmoniaCriterion,
  fourDayFactor,
} from '../chemistry/ammonia-criteria.js'
import {
  ammoniumNitrogen,
  ammoniumPka,
  headroomPh,
  totalAmmoniaForLimit,
  unionisedAmmoniaAsNH3,
  unionisedAmmoniaFraction,
  unionisedAmmoniaNitrogen,
} from '../chemistry/ammonia.js'
import { celsius, milligramsPerLitreAsNH4 } from '../units/brands.js'
import { zeroOrMore } from '../units/range.js'
import { calculation } from './calculation.js'
import { equations } from './equations.js'
import { acidity, asNitrogen, flag, measure, salinity, unless, word } from './inputs.js'

const temperature = measure(celsius, 'degC', [0, 50])
const water = { pH: acidity([0, 14]), temperature, salinity }
const criterion = { pH: acidity([6.5, 9]), temperature: measure(celsius, 'degC', [0, 30]) }
const wildWaters = ['A criterion for wild waters and all their species, no stocking limit.']
const culture = ['Guidance for keepers, not veterinary advice.']

export const ammoniaCalculations = [
  calculation('ammonium_pKa', {
    label: 'pKa of ammonium',
    unit: '1',
    // Hobiger (1996) prints the same equation.
    inputs: { temperature, salinity, source: unless(word('emerson', 'hobiger'), 'emerson') },
    equation: (given) => (given.salinity > 0 ? equations['NH-2'] : equations['NH-1']),
    compute: (given) => ammoniumPka(given.temperature, given.salinity),
  }),
  calculation('unionised_ammonia_percent', {
    label: 'part of the total ammonia that is un-ionised (poison)',
    unit: '%',
    inputs: { ...water, rounding: unless(word('none', 'whole percent'), 'none') },
    equation: (given) => (given.salinity > 0 ? equations['NH-2'] : equations['NH-1']),
    compute: ({ pH: ph, rounding, ...rest }) => {
      const part = unionisedAmmoniaFraction({ ph, ...rest })
      if (part === null) return null
      return rounding === 'none' ? part * 100 : Math.round(part * 100)
    },
  }),
  calculation('unionised_ammonia_nitrogen', {
    label: 'un-ionised ammonia, as nitrogen',
    unit: 'mg/L',
    inputs: { total_ammonia_nitrogen: asNitrogen, ...water },
    equation: equations['NH-3'],
    compute: ({ total_ammonia_nitrogen: total, pH: ph, ...rest }) =>
      unionisedAmmoniaNitrogen(total, { ph, ...rest }),
    cautions: culture,
  }),
  calculation('ammonium_nitrogen', {
    label: 'ammonium, as nitrogen',
    unit: 'mg/L',
    inputs: { total_ammonia_nitrogen: asNitrogen, ...water },
    equation: equations['NH-3i'],
    compute: ({ total_ammonia_nitrogen: total, pH: ph, ...rest }) => ammoniumNitrogen(total, { ph, ...rest }),
  }),
  calculation('unionised_ammonia_as_NH3', {
    label: 'un-ionised ammonia, as NH3, from a total reported as NH4',
    unit: 'mg/L',
    inputs: {
      total_ammonium_as_NH4: measure(milligramsPerLitreAsNH4, 'mg/L', zeroOrMore, { countedAs: 'NH4' }),
      ...water,
    },
    equation: equations['NH-4'],
    compute: ({ total_ammonium_as_NH4: total, pH: ph, ...rest }) =>
      unionisedAmmoniaAsNH3(total, { ph, ...rest }),
    cautions: culture,
  }),
  calculation('total_ammonia_nitrogen_for_limit', {
    label: 'total ammonia at which its un-ionised part reaches a limit, as nitrogen',
    unit: 'mg/L',
    inputs: { unionised_ammonia_nitrogen: asNitrogen, ...water },
    equation: equations['NH-6'],
    compute: ({ unionised_ammonia_nitrogen: limit, pH: ph, ...rest }) =>
      totalAmmoniaForLimit(limit, { ph, ...rest }),
    cautions: culture,
  }),
  calculation('ammonia_headroom_pH', {
    label: 'pH up to which the un-ionised part stays within a limit',
    unit: '1',
    inputs: {
      total_ammonia_nitrogen: asNitrogen,
      unionised_ammonia_nitrogen: asNitrogen,
      temperature,
      salinity,
    },
    equation: equations['NH-7'],
    compute: ({ total_ammonia_nitrogen: total, unionised_ammonia_nitrogen: limit, ...rest }) =>
      headroomPh(total, limit, rest),
    cautions: culture,
  }),
  calculation('ammonia_cmc', {
    label: 'acute criterion for total ammonia nitrogen',
    unit: 'mg/L',
    inputs: { ...criterion, salmonids_present: flag, averaging: unless(word('1 h'), '1 h') },
    equation: (given) => ({
      ...equations['EPA-CMC'],
      id: given.salmonids_present ? 'EPA-CMC-P' : 'EPA-CMC-A',
    }),
    compute: (given) =>
      acuteAmmoniaCriterion({ temperature: given.temperature, ph: given.pH }, given.salmonids_present),
    cautions: wildWaters,
  }),
  calculation('ammonia_ccc', {
    label: 'chronic criterion for total ammonia nitrogen',
    unit: 'mg/L',
    inputs: { ...criterion, averaging: unless(word('30 d', '4 d'), '30 d') },
    equation: equations['EPA-CCC'],
    compute: (given) => {
      const monthly = chronicAmmoniaCriterion({ temperature: given.temperature, ph: given.pH })
      return monthly === null || given.averaging === '30 d' ? monthly : monthly * fourDayFactor
    },
    cautions: wildWaters,
  }),
]
