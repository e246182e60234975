import { describe, expect, it } from 'vitest'
import { quantityAliases } from '../../daemon/calculations/aliases.js'
import { calculate, inUnit, unitOf } from '../../daemon/calculations/calculate.js'
import { catalogue } from '../../daemon/calculations/catalogue.js'
import type { Given } from '../../daemon/calculations/read-input.js'
import { Fault } from '../../daemon/errors.js'
import { converter } from '../../daemon/units/convert.js'

const computed = (quantity: string, inputs: Readonly<Record<string, Given>>) =>
  calculate(quantity, new Map(Object.entries(inputs)))
const value = (quantity: string, inputs: Readonly<Record<string, Given>>): number =>
  computed(quantity, inputs).value

/** The message and the hint of what is thrown. */
function fault(quantity: string, inputs: Readonly<Record<string, Given>>): string {
  try {
    return `it gave ${value(quantity, inputs)}`
  } catch (cause) {
    if (cause instanceof Fault) return `${cause.code}: ${cause.message} | ${cause.hint}`
    throw cause
  }
}

describe('inputs', () => {
  it.each<[string, string, Readonly<Record<string, Given>>, Readonly<Record<string, Given>>]>([
    [
      'temperatures',
      'water_vapour_pressure_over_water',
      { temperature: '20 degC' },
      { temperature: '68 degF' },
    ],
    [
      'differences',
      'water_heating_energy',
      { water: '1 t', delta_t: '5 K' },
      { water: '1000 kg', delta_t: '9 degF' },
    ],
    [
      'differences in degC',
      'water_heating_energy',
      { water: '1 kg', delta_t: '5 Cel' },
      { water: '1 kg', delta_t: '5 K' },
    ],
    [
      'pressures',
      'oxygen_saturation_concentration',
      { temperature: '20 Cel', pressure: '101.325 kPa' },
      { temperature: '20 Cel', pressure: 1013.25 + ' hPa' },
    ],
    ['conductivities', 'salinity', { conductivity: '1.2 mS/cm' }, { specific_conductance: '1200 uS/cm' }],
    [
      'alkalinity in degrees',
      'free_co2',
      { pH: 7, temperature: '20 Cel', alkalinity: '1 dKH' },
      { pH: 7, temperature: '20 Cel', alkalinity: '17.8479 mg/L as CaCO3' },
    ],
    [
      'alkalinity in equivalents',
      'free_co2',
      { pH: 7, temperature: '20 Cel', alkalinity: '1 meq/L' },
      { pH: 7, temperature: '20 Cel', alkalinity: '61.016 mg/L as HCO3' },
    ],
    [
      'species of nitrogen',
      'salt_dose',
      { nitrite: '1 mg/L as N', chloride: '0 mg/L', volume: '1 m3' },
      { nitrite: '3.28443 mg/L as NO2', chloride: '0 mg/L', volume: '1000 L' },
    ],
    ['spellings of words', 'ammonia_max', { species: 'nile_tilapia' }, { species: 'Nile Tilapia' }],
    [
      'spellings of flags',
      'ammonia_cmc',
      { pH: '7', temperature: '20 Cel', salmonids_present: 'yes' },
      { pH: 7, temperature: { value: 20, unit: 'degC' }, salmonids_present: true },
    ],
  ])('%s of one size give one answer', (_, quantity, one, other) => {
    const [a, b] = [value(quantity, one), value(quantity, other)]
    expect(Math.abs(a / b - 1)).toBeLessThan(1e-5)
  })

  it('in a list may carry their unit once, at the end', () => {
    const nights = {
      temperature_2h_after_sunset: '3.2, 0.8, 0.2, 2.6, 4.4, 5.2, 2.7, 1.2, 4.5, 5.6 degC',
      dew_point_2h_after_sunset: '-4.2,-8.8,-6.5,-6.2,-6.1,2.6,-0.7,-1.7,-1.2,0.1',
      minimum: [-3.1, -5, -6.3, -5.4, -4, -2.5, -4.8, -5, -4.4, -3.3],
      temperature: '10 degC',
      dew_point: '2 degC',
    }
    // Snyder & de Melo-Abreu (2005), example of the forecast
    expect(value('frost_minimum_forecast', nights)).toBeCloseTo(-0.7409219, 6)
  })

  it('that are left out are told as such', () => {
    const { inputs } = computed('unionised_ammonia_percent', { pH: 8, temperature: '20 degC' })
    expect(inputs).toContainEqual({ name: 'salinity', value: 0, unit: 'g/kg', given: false })
    expect(inputs).toContainEqual({ name: 'temperature', value: 20, unit: 'degC', given: true })
  })

  it('of a species stand for its parameters, and your own go before them', () => {
    const fish = { species: 'tilapia', mass: '240 g', temperature: '26 degC' }
    // Deslauriers et al. (2017), tilapia (adult)
    expect(value('fish_oxygen_consumption', fish)).toBeCloseTo(89.895, 2)
    expect(value('fish_oxygen_consumption', { ...fish, ACT: 2 })).toBeCloseTo(2 * 89.895, 2)
  })

  it('of the chronic criterion may ask for the 4-day average, 2.5 times the other (US EPA 2013)', () => {
    const water = { pH: 7, temperature: '20 degC' }
    const monthly = value('ammonia_ccc', water)
    expect(value('ammonia_ccc', { ...water, averaging: '4 d' })).toBeCloseTo(2.5 * monthly, 9)
  })
})

describe('refusals', () => {
  const fresh = { temperature: '20 degC' }
  it.each<[string, string, Readonly<Record<string, Given>>, string]>([
    [
      'an unknown quantity',
      'oxygen_saturation_concentraton',
      {},
      'BW_CALC: nothing here computes "oxygen_saturation_concentraton" | did you mean oxygen_saturation_concentration?',
    ],
    [
      'an unknown input',
      'oxygen_saturation_concentration',
      { ...fresh, salinty: '0 g/kg' },
      'BW_CALC: oxygen_saturation_concentration takes no input "salinty" | did you mean salinity?',
    ],
    [
      'a missing input',
      'carbonic_acid_pK1',
      {},
      'BW_CALC: carbonic_acid_pK1 needs the input "temperature" | write temperature="… degC"',
    ],
    [
      'a missing word',
      'chloride_insurance',
      {},
      'BW_CALC: chloride_insurance needs the input "species" | one of: channel catfish',
    ],
    [
      'a bare number',
      'carbonic_acid_pK1',
      { temperature: 20 },
      'BW_CALC: temperature: a bare number where a unit is due | write for example temperature="20 degC"',
    ],
    [
      'a unit of another kind',
      'carbonic_acid_pK1',
      { temperature: '20 mg/L' },
      'BW_UNIT: temperature: mg/L cannot be converted to Cel | write it in Cel or a unit that converts to it',
    ],
    [
      'no number',
      'carbonic_acid_pK1',
      { temperature: 'warm' },
      'BW_UNIT: temperature: "warm" does not begin with a number | write for example 4.5 mg/L',
    ],
    [
      'out of range',
      'oxygen_saturation_concentration',
      { temperature: '45 degC' },
      'BW_CALC: temperature: 45 degC is out of range | it must be 0 to 40 degC',
    ],
    [
      'below zero',
      'tan_production',
      { feed: '-1 kg/d', protein: 0.3 },
      'BW_CALC: feed: -1 kg/d is out of range | it must be 0 kg/d or more',
    ],
    [
      'a fact under other conditions',
      'nitrification_ph_ratio',
      { pH_low: 6.5, pH_high: 7.3 },
      'BW_CALC: pH_low: 6.5 is out of range | it must be exactly 6.7',
    ],
    [
      'another species of nitrogen without nitrogen',
      'salt_dose',
      { nitrite: '1 mg/L as CaCO3', chloride: '0 mg/L', volume: '1 m3' },
      'BW_CALC: nitrite: is counted as CaCO3 | give it in mg/L as NO2',
    ],
    [
      'an unknown species',
      'ammonia_max',
      { species: 'nile tilapa' },
      'BW_CALC: species: "nile tilapa" is not known here | did you mean nile tilapia?',
    ],
    [
      'neither true nor false',
      'ammonia_cmc',
      { pH: 7, ...fresh, salmonids_present: 'maybe' },
      'BW_CALC: salmonids_present: "maybe" is neither true nor false | write salmonids_present=true or salmonids_present=false',
    ],
    [
      'two pressures',
      'oxygen_saturation_concentration',
      { ...fresh, pressure: '1 atm', altitude: '80 m' },
      'BW_CALC: oxygen_saturation_concentration: give either pressure or altitude | ',
    ],
    [
      'two facts at once',
      'feed_rate_ratio_high',
      { system: 'raft', crop: 'leafy' },
      'BW_CALC: feed_rate_ratio_high: give system alone, or crop alone | ',
    ],
    [
      'never reached',
      'hours_until_temperature',
      { start: '20 degC', ambient: '15 degC', limit: '10 degC', water: '1 t', ua: '50 W/K' },
      'BW_CALC: hours_until_temperature: never reached: the surroundings are not beyond the limit | ',
    ],
    [
      'never critical',
      'minutes_to_critical_with_reaeration',
      {
        dissolved_oxygen: '6 mg/L',
        critical: '2 mg/L',
        saturation: '8 mg/L',
        kla: '1 1/h',
        respiration: '2 mg/(L.h)',
      },
      'BW_CALC: minutes_to_critical_with_reaeration: never reached: oxygen settles at 6.00 mg/L, not below the critical level | ',
    ],
    [
      'outside the equation alone',
      'fish_oxygen_consumption',
      { species: 'rainbow trout', mass: '100 g', temperature: '27 degC' },
      'BW_CALC: fish_oxygen_consumption: outside the range in which this holds | valid: 0 degC to below RTM; routine, without digestion',
    ],
    [
      'lists of different nights',
      'frost_minimum_forecast',
      {
        temperature_2h_after_sunset: [1, 2],
        dew_point_2h_after_sunset: [1],
        minimum: [1, 2],
        temperature: '1 degC',
        dew_point: '1 degC',
      },
      'BW_CALC: frost_minimum_forecast: the three lists must be of the same nights: they are of different length | ',
    ],
  ])('%s', (_, quantity, inputs, message) => {
    expect(fault(quantity, inputs)).toBe(message)
  })
})

describe('the catalogue', () => {
  const entries = [...catalogue.values()]

  it('has no quantity twice, and no fact twice of one thing', () => {
    expect(entries.length).toBeGreaterThanOrEqual(200)
    for (const entry of entries) {
      for (const [name, { shape }] of Object.entries(entry.inputs)) {
        if (shape.kind === 'word')
          expect(new Set(shape.words).size, `${entry.quantity} ${name}`).toBe(shape.words.length)
      }
    }
  })

  // dKH and meq/L are no UCUM units: they say what is counted.
  it('gives and takes only units that are known', () => {
    for (const entry of entries) {
      for (const unit of [entry.unit, ...Object.keys(entry.inputs).map((name) => unitOf(entry, name))]) {
        const plain = unit.replace(/ as \w+$/, '')
        if (plain === '' || plain === 'dKH' || plain === 'meq/L') continue
        expect(() => converter(plain, plain), `${entry.quantity}: ${unit}`).not.toThrow()
        expect(converter(plain, plain)(1)).toBe(1)
      }
    }
  })

  it('says of every entry what it is', () => {
    for (const { quantity, label } of entries) expect(label.length, quantity).toBeGreaterThan(2)
  })

  it.each(Object.entries(quantityAliases))('%s is another name of %s', (_, quantity) => {
    expect(catalogue.has(quantity)).toBe(true)
  })

  it('computes the same by the farm’s own names', () => {
    const [one, other] = [
      value('oxygen_saturation', {
        dissolved_oxygen: '6 mg/L',
        water_temperature: '26 Cel',
        barometric_pressure: '1 atm',
      }),
      value('oxygen_saturation_percent', {
        dissolved_oxygen: '6 mg/L',
        temperature: '26 Cel',
        pressure: '1 atm',
      }),
    ]
    expect(one).toBe(other)
  })

  it('gives its answer in another unit of the same kind, and in no other', () => {
    expect(inUnit({ value: 20, unit: 'degC' }, 'degF')).toBe(68)
    expect(() => inUnit({ value: 20, unit: 'degC' }, 'mg/L')).toThrow(Fault)
  })
})
