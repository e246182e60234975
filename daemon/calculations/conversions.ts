import {
  calciumCarbonatePerDegree,
  calciumCarbonatePerEquivalent,
  molarMass,
  reportedAs,
} from '../chemistry/molar-masses.js'
import { chlorideFractionOfSalt } from '../chemistry/nitrite-chloride.js'
import { uValueOfBtu } from '../heat/heat-loss.js'
import { calculation, type Calculation } from './calculation.js'
import { equations } from './equations.js'
import { bare } from './inputs.js'

const pairs = [
  ['ammonium', 'N', 'NH4'],
  ['ammonia', 'N', 'NH3'],
  ['nitrite', 'N', 'NO2'],
  ['nitrate', 'N', 'NO3'],
] as const

const nitrogen: readonly Calculation[] = pairs.flatMap(([name, ...both]) =>
  [both, both.toReversed()].flatMap(([from, to]) =>
    from === undefined || to === undefined
      ? []
      : [
          calculation(`${name}_${from}_to_${to}`, {
            label: `${name} counted as ${from}, counted as ${to}`,
            unit: 'mg/L',
            inputs: { value: bare('mg/L', undefined, { countedAs: from }) },
            equation: equations.CONV,
            compute: ({ value }) => value * reportedAs(from, to),
          }),
        ],
  ),
)

const ways = [
  ['alkalinity_dKH_to_CaCO3', 'dKH', 'mg/L', calciumCarbonatePerDegree],
  ['alkalinity_CaCO3_to_dKH', 'mg/L', 'dKH', 1 / calciumCarbonatePerDegree],
  ['alkalinity_meq_to_CaCO3', 'meq/L', 'mg/L', calciumCarbonatePerEquivalent],
  ['alkalinity_CaCO3_to_meq', 'mg/L', 'meq/L', 1 / calciumCarbonatePerEquivalent],
  ['alkalinity_dKH_to_meq', 'dKH', 'meq/L', calciumCarbonatePerDegree / calciumCarbonatePerEquivalent],
  ['alkalinity_CaCO3_to_HCO3', 'mg/L', 'mg/L', molarMass.HCO3 / calciumCarbonatePerEquivalent],
] as const

const alkalinity: readonly Calculation[] = ways.map(([quantity, from, unit, factor]) =>
  calculation(quantity, {
    label: quantity.replaceAll('_', ' '),
    unit,
    inputs: { value: from === 'mg/L' ? bare(from, undefined, { countedAs: 'CaCO3' }) : bare(from) },
    equation: equations.CONV,
    compute: ({ value }) => value * factor,
  }),
)

/** m3. @source definition: 43 560 ft3, 0.3048 m to the foot */
const acreFoot = 43_560 * 0.3048 ** 3
const cubicFoot = 0.3048 ** 3
const usGallon = 231 * 0.0254 ** 3
const gramsPerPound = 453.59237

const constants: readonly Calculation[] = [
  {
    quantity: 'mass_per_ppm_acre_foot',
    unit: 'lb',
    value: acreFoot / gramsPerPound,
    equation: equations['NC-4'],
  },
  { quantity: 'mass_per_ppm_gallon', unit: 'g', value: usGallon, equation: equations['NC-5'] },
  { quantity: 'mass_per_ppm_cubic_foot', unit: 'g', value: cubicFoot, equation: equations['NC-7'] },
  {
    quantity: 'salt_per_ppm_chloride_acre_foot',
    unit: 'lb',
    value: acreFoot / gramsPerPound / chlorideFractionOfSalt,
    equation: equations['NC-8'],
  },
  {
    quantity: 'chloride_fraction_of_salt',
    unit: '1',
    value: chlorideFractionOfSalt,
    equation: equations['NC-1'],
  },
].map(({ quantity, unit, value, equation }) =>
  calculation(quantity, {
    label: quantity.replaceAll('_', ' '),
    unit,
    inputs: {},
    equation,
    compute: () => value,
  }),
)

/** @source 0.3048 m to the foot */
const ventilation = 0.3048
/** Pa in one conventional millimetre of mercury. @source definition */
const millimetreOfMercury = 133.322387

export const conversions: readonly Calculation[] = [
  ...nitrogen,
  ...alkalinity,
  ...constants,
  calculation('u_value_si', {
    label: 'heat transfer coefficient in SI',
    unit: 'W/(m2.K)',
    inputs: { u_value: bare('Btu/(h.ft2.degF)') },
    equation: equations['HT-1'],
    compute: (given) => given.u_value * uValueOfBtu,
  }),
  calculation('summer_ventilation_si', {
    label: 'summer ventilation per floor area in SI',
    unit: 'm3/(min.m2)',
    inputs: { rate: bare('cfm/ft2') },
    equation: equations['HT-7'],
    compute: ({ rate }) => rate * ventilation,
  }),
  calculation('pressure_mmHg_to_Pa', {
    label: 'pressure in Pa',
    unit: 'Pa',
    inputs: { pressure: bare('mmHg') },
    equation: equations['ATM-7'],
    compute: ({ pressure }) => pressure * millimetreOfMercury,
  }),
]
