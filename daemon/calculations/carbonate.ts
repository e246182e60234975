import { baseDose, baseNamed, bases, dosingCautions } from '../chemistry/alkalinity.js'
import {
  carbonDioxidePkh,
  carbonDioxideUnderAir,
  carbonicAcidPk1,
  carbonicAcidPk2,
  freeCarbonDioxide,
  freeCarbonDioxideByRule,
} from '../chemistry/carbonate.js'
import {
  celsius,
  milligramsPerLitreAsCaCO3,
  milligramsPerLitreAsHCO3,
  partsPerMillion,
} from '../units/brands.js'
import { zeroOrMore } from '../units/range.js'
import { calculation } from './calculation.js'
import { equations } from './equations.js'
import { acidity, measure, pressureAtmospheres, unless, volume, word } from './inputs.js'
import { atmospheres } from '../units/brands.js'

const temperature = measure(celsius, 'degC', [0, 90])
const pH = acidity([6, 8.3])
const alkalinity = measure(milligramsPerLitreAsCaCO3, 'mg/L', zeroOrMore, { countedAs: 'CaCO3' })
const pOf = (label: string, of: typeof carbonicAcidPk1) => ({
  label,
  unit: '1',
  inputs: { temperature },
  compute: (given: { readonly temperature: Parameters<typeof of>[0] }) => of(given.temperature),
})

export const carbonateCalculations = [
  calculation('carbonic_acid_pK1', {
    ...pOf('pK1 of carbonic acid', carbonicAcidPk1),
    equation: equations['CO2-2'],
  }),
  calculation('carbonic_acid_pK2', {
    ...pOf('pK2 of carbonic acid', carbonicAcidPk2),
    equation: equations['CO2-3'],
  }),
  calculation('co2_pKH', {
    ...pOf("pK of Henry's law for CO2", carbonDioxidePkh),
    equation: equations['CO2-4'],
  }),
  calculation('free_co2', {
    label: 'free carbon dioxide',
    unit: 'mg/L',
    inputs: { pH, temperature, alkalinity },
    equation: equations['CO2-1'],
    compute: (given) => freeCarbonDioxide({ temperature: given.temperature, ph: given.pH }, given.alkalinity),
    cautions: ['An error of 0.1 in pH is 26 % here.'],
  }),
  calculation('co2_factor_per_alkalinity', {
    label: 'free carbon dioxide for the alkalinity (1 mg/L unless given): the factor of the tables',
    unit: 'mg/L',
    inputs: { pH, temperature, alkalinity: unless(alkalinity, milligramsPerLitreAsCaCO3(1)) },
    equation: equations['CO2-1'],
    compute: (given) => freeCarbonDioxide({ temperature: given.temperature, ph: given.pH }, given.alkalinity),
  }),
  calculation('free_co2_usgs', {
    label: 'free carbon dioxide by the field rule',
    unit: 'mg/L',
    inputs: { pH, bicarbonate: measure(milligramsPerLitreAsHCO3, 'mg/L', zeroOrMore, { countedAs: 'HCO3' }) },
    equation: equations['CO2-5'],
    compute: (given) => freeCarbonDioxideByRule(given.pH, given.bicarbonate),
  }),
  calculation('co2_air_equilibrium', {
    label: 'carbon dioxide in water under air',
    unit: 'mg/L',
    inputs: {
      temperature,
      air_co2: measure(partsPerMillion, 'ppm', zeroOrMore),
      pressure: unless(pressureAtmospheres, atmospheres(1)),
    },
    equation: equations['CO2-6'],
    compute: (given) => carbonDioxideUnderAir(given.temperature, given.air_co2, given.pressure),
  }),
  calculation('alkalinity_dose', {
    label: 'mass of a base that brings the alkalinity to what is wanted',
    unit: 'g',
    inputs: {
      base: word(...bases.flatMap((one) => [one.name, one.formula])),
      alkalinity,
      wanted: alkalinity,
      volume,
    },
    equation: equations['ALK-1'],
    compute: (given) => {
      const base = baseNamed(given.base)
      return base === undefined
        ? null
        : baseDose(base, { now: given.alkalinity, wanted: given.wanted }, given.volume)
    },
    cautions: [
      ...dosingCautions,
      ...bases.flatMap(({ name, cautions }) => cautions.map((one) => `${name}: ${one}`)),
    ],
  }),
]
