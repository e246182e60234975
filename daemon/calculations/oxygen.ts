import {
  oxygenFromGasVolume,
  oxygenFromPercent,
  oxygenSaturationConcentration,
  oxygenSaturationPercent,
  oxygenSecondVirialTheta,
  waterVapourPressureOverWater,
  type WaterUnderAir,
} from '../chemistry/oxygen-saturation.js'
import { salinityFromChloride, salinityFromConductivity } from '../chemistry/salinity.js'
import { standardPressureInAtmospheres } from '../heat/atmosphere.js'
import {
  atmospheres,
  gramsPerKilogram,
  gramsPerLitre,
  microsiemensPerCentimetre,
  percent,
  type GramsPerKilogram,
} from '../units/brands.js'
import { calculation, refused, type Equation, type Refused, type Values } from './calculation.js'
import { equations } from './equations.js'
import { altitude, bare, measure, optional, oxygen, pressureAtmospheres, waterTemperature } from './inputs.js'

const water = {
  temperature: waterTemperature,
  salinity: optional(measure(gramsPerKilogram, 'g/kg', [0, 40])),
  chloride: optional(measure(gramsPerLitre, 'g/L', [0, 22])),
  specific_conductance: optional(measure(microsiemensPerCentimetre, 'uS/cm', [0, 60_000])),
  pressure: optional(pressureAtmospheres),
  altitude: optional(altitude),
}
type Water = Values<typeof water>

/** One way to tell the salt and one to tell the pressure; fresh water and 1 atm when neither is given. */
function waterUnderAir(given: Water): WaterUnderAir | Refused {
  const saltWays = [given.salinity, given.chloride, given.specific_conductance].filter(
    (value) => value !== null,
  )
  if (saltWays.length > 1) return refused('give only one of salinity, chloride and specific_conductance')
  if (given.pressure !== null && given.altitude !== null) return refused('give either pressure or altitude')
  const pressure =
    given.altitude === null
      ? (given.pressure ?? atmospheres(1))
      : standardPressureInAtmospheres(given.altitude)
  const salinity = saltOf(given)
  if (pressure === null || salinity === null) return refused('outside the range in which this holds')
  return { temperature: given.temperature, salinity, pressure }
}

function saltOf(given: Water): GramsPerKilogram | null {
  if (given.chloride !== null) return salinityFromChloride(given.chloride)
  if (given.specific_conductance !== null) return salinityFromConductivity(given.specific_conductance)
  return given.salinity ?? gramsPerKilogram(0)
}

/** The equation with what else was needed to get there, and what was taken where nothing was given. */
const withRoutes =
  (base: Equation) =>
  (given: Water): Equation => {
    const salt = given.chloride !== null ? 'c' : ''
    const conductivity = given.specific_conductance !== null ? '+DO-6' : ''
    const air = given.altitude !== null ? '+ATM-1' : ''
    const saltGiven = given.salinity !== null || salt !== '' || conductivity !== ''
    const taken = [
      ...(saltGiven ? [] : ['fresh water']),
      ...(given.pressure === null && air === '' ? ['1 atm'] : []),
    ]
    const valid = taken.length === 0 ? base.valid : `${base.valid}; taken here: ${taken.join(', ')}`
    return { ...base, id: `${base.id}${salt}${conductivity}${air}`, valid }
  }

export const oxygenCalculations = [
  calculation('oxygen_saturation_concentration', {
    label: 'oxygen in water saturated with air',
    unit: 'mg/L',
    inputs: water,
    equation: withRoutes(equations['DO-1']),
    compute: (given) => {
      const under = waterUnderAir(given)
      return 'refused' in under ? under : oxygenSaturationConcentration(under)
    },
  }),
  calculation('oxygen_saturation_percent', {
    label: 'measured oxygen in per cent of saturation',
    unit: '%',
    inputs: { dissolved_oxygen: oxygen, ...water },
    equation: withRoutes(equations['DO-4']),
    compute: (given) => {
      const under = waterUnderAir(given)
      return 'refused' in under ? under : oxygenSaturationPercent(given.dissolved_oxygen, under)
    },
  }),
  calculation('dissolved_oxygen_from_percent', {
    label: 'oxygen from per cent of saturation',
    unit: 'mg/L',
    inputs: { saturation: measure(percent, '%', [0, 600]), ...water },
    equation: withRoutes(equations['DO-4i']),
    compute: (given) => {
      const under = waterUnderAir(given)
      return 'refused' in under ? under : oxygenFromPercent(given.saturation, under)
    },
  }),
  calculation('dissolved_oxygen_from_gas_volume', {
    label: 'oxygen given in mL of gas per litre',
    unit: 'mg/L',
    inputs: { value: bare('mL/L') },
    equation: equations['DO-5'],
    compute: ({ value }) => oxygenFromGasVolume(value),
  }),
  calculation('water_vapour_pressure_over_water', {
    label: 'vapour pressure as the oxygen equations take it',
    unit: 'atm',
    inputs: { temperature: waterTemperature },
    equation: equations['DO-2'],
    compute: ({ temperature }) => waterVapourPressureOverWater(temperature),
  }),
  calculation('oxygen_second_virial_theta', {
    label: 'second virial coefficient of oxygen',
    unit: '1/atm',
    inputs: { temperature: waterTemperature },
    equation: equations['DO-3'],
    compute: ({ temperature }) => oxygenSecondVirialTheta(temperature),
  }),
  calculation('salinity_from_specific_conductance', {
    label: 'salinity from conductivity at 25 degC',
    unit: 'g/kg',
    inputs: { specific_conductance: measure(microsiemensPerCentimetre, 'uS/cm', [0, 60_000]) },
    equation: equations['DO-6'],
    compute: ({ specific_conductance }) => salinityFromConductivity(specific_conductance),
  }),
]
