import { fieldTransferRate, ratedTransferRate, transferCoefficientAt20 } from '../chemistry/aeration.js'
import {
  exponentialRespiration,
  respirationOf,
  respirationToOptimum,
  tilapiaRespiration,
} from '../chemistry/fish-respiration.js'
import {
  minutesWithoutAir,
  minutesWithReaeration,
  tankRespiration,
  type UntilCritical,
} from '../chemistry/oxygen-minutes.js'
import * as unit from '../units/brands.js'
import { zeroOrMore } from '../units/range.js'
import { calculation, refused, type Answer } from './calculation.js'
import { equations } from './equations.js'
import {
  concentration,
  mass,
  measure,
  optional,
  oxygen,
  perHour,
  plain,
  volume,
  waterTemperature,
  word,
} from './inputs.js'

const species = (kind: 'optimum' | 'exponential') =>
  optional(word(...Object.keys(respirationOf).filter((name) => respirationOf[name]?.kind === kind)))
const own = optional(plain())
const fed = ['Routine respiration: fed fish take 1.1 to 2.4 times as much. Give a range.']
const informs = ['An estimate of still water with constant consumption: act before it, not by it.']

function inMinutesOrWhy(until: UntilCritical | null): Answer {
  if (until === null || until.kind === 'in') return until?.minutes ?? null
  if (until.kind === 'now') return 0
  return refused(
    `never reached: oxygen settles at ${until.settlesAt.toFixed(2)} mg/L, not below the critical level`,
  )
}

const fishOxygen = [
  calculation('fish_oxygen_consumption_tilapia', {
    label: 'oxygen that fed tilapia take',
    unit: 'mg/(kg.h)',
    inputs: {
      mass: measure(unit.grams, 'g', [3, 226]),
      temperature: measure(unit.celsius, 'degC', [24, 32]),
    },
    equation: equations['OX-1'],
    compute: (given) => tilapiaRespiration(given.mass, given.temperature),
  }),
  calculation('fish_oxygen_consumption', {
    label: 'oxygen that resting fish take, by the parameters of a species or your own',
    unit: 'mg/(kg.h)',
    inputs: {
      species: species('optimum'),
      mass,
      temperature: waterTemperature,
      RA: own,
      RB: own,
      RQ: own,
      RTO: optional(measure(unit.celsius, '1', [0, 50])),
      RTM: optional(measure(unit.celsius, '1', [0, 50])),
      ACT: own,
    },
    equation: equations['OX-2'],
    compute: (given) => {
      const known = respirationOf[given.species ?? '']
      const from = known?.kind === 'optimum' ? known : null
      const RA = given.RA ?? from?.RA
      const RB = given.RB ?? from?.RB
      const RQ = given.RQ ?? from?.RQ
      const RTO = given.RTO ?? from?.RTO
      const RTM = given.RTM ?? from?.RTM
      const ACT = given.ACT ?? from?.ACT ?? 1
      if (
        RA === undefined ||
        RB === undefined ||
        RQ === undefined ||
        RTO === undefined ||
        RTM === undefined
      ) {
        return refused('give a species, or all of RA, RB, RQ, RTO and RTM')
      }
      return respirationToOptimum({ RA, RB, RQ, RTO, RTM, ACT }, given.mass, given.temperature)
    },
    cautions: fed,
  }),
  calculation('fish_oxygen_consumption_eq1', {
    label: 'the same for species without an optimum in their parameters',
    unit: 'mg/(kg.h)',
    inputs: {
      species: species('exponential'),
      mass,
      temperature: measure(unit.celsius, 'degC', [0, 35]),
      RA: own,
      RB: own,
      RQ: own,
      activity: own,
    },
    equation: equations['OX-3'],
    compute: (given) => {
      const known = respirationOf[given.species ?? '']
      const from = known?.kind === 'exponential' ? known : null
      const RA = given.RA ?? from?.RA
      const RB = given.RB ?? from?.RB
      const RQ = given.RQ ?? from?.RQ
      const activity = given.activity ?? from?.activity ?? 1
      if (RA === undefined || RB === undefined || RQ === undefined)
        return refused('give a species, or all of RA, RB and RQ')
      return exponentialRespiration({ RA, RB, RQ, activity }, given.mass, given.temperature)
    },
    cautions: fed,
  }),
]

const aeration = [
  calculation('field_oxygen_transfer_rate', {
    label: 'oxygen that a rated aerator brings into this water',
    unit: 'kg/h',
    inputs: {
      sotr: measure(unit.kilogramsPerHour, 'kg/h', zeroOrMore),
      alpha: plain([0, 1.2]),
      beta: plain([0, 1]),
      saturation: oxygen,
      dissolved_oxygen: oxygen,
      temperature: waterTemperature,
    },
    equation: equations['OX-6'],
    compute: ({ sotr, dissolved_oxygen, ...water }) =>
      fieldTransferRate(sotr, { ...water, oxygen: dissolved_oxygen }),
  }),
  calculation('kla_at_20C', {
    label: 'transfer coefficient at 20 degC',
    unit: '1/h',
    inputs: { kla: perHour, temperature: waterTemperature },
    equation: equations['OX-7'],
    compute: (given) => transferCoefficientAt20(given.kla, given.temperature),
  }),
  calculation('sotr_from_kla20', {
    label: 'rated transfer of an aerator from its coefficient',
    unit: 'kg/h',
    inputs: { kla20: perHour, volume },
    equation: equations['OX-8'],
    compute: (given) => ratedTransferRate(given.kla20, given.volume),
  }),
]

const oxygenMinutes = [
  calculation('minutes_to_critical_no_air', {
    label: 'oxygen minutes if all air stops',
    unit: 'min',
    inputs: {
      dissolved_oxygen: oxygen,
      critical: oxygen,
      volume,
      biomass: measure(unit.kilograms, 'kg', zeroOrMore),
      consumption: measure(unit.milligramsPerKilogramHour, 'mg/(kg.h)', zeroOrMore),
    },
    equation: equations['OX-9'],
    compute: (given) => {
      const respiration = tankRespiration(given.biomass, given.consumption, given.volume)
      if (respiration === null) return null
      return inMinutesOrWhy(
        minutesWithoutAir({ oxygen: given.dissolved_oxygen, critical: given.critical }, respiration),
      )
    },
    cautions: informs,
  }),
  calculation('minutes_to_critical_with_reaeration', {
    label: 'oxygen minutes with what air is left',
    unit: 'min',
    inputs: {
      dissolved_oxygen: oxygen,
      critical: oxygen,
      saturation: concentration,
      kla: perHour,
      respiration: measure(unit.milligramsPerLitreHour, 'mg/(L.h)', zeroOrMore),
    },
    equation: equations['OX-10'],
    compute: (given) => {
      const reserve = { oxygen: given.dissolved_oxygen, critical: given.critical }
      const air = { saturation: given.saturation, coefficient: given.kla }
      return inMinutesOrWhy(minutesWithReaeration(reserve, given.respiration, air))
    },
    cautions: informs,
  }),
]

export const respirationCalculations = [...fishOxygen, ...aeration, ...oxygenMinutes]
