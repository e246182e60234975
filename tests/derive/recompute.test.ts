import { describe, expect, it } from 'vitest'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { recompute, type Newest } from '../../daemon/derive/recompute.js'
import type { Computed } from '../../daemon/readings/computed.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import type { Quality } from '../../daemon/readings/reading.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import {
  after,
  days,
  epochMs,
  hours,
  milliseconds,
  minutes,
  seconds,
  type Milliseconds,
} from '../../daemon/units/time.js'
import { larkfield, probe } from './larkfield-plan.js'

const now = epochMs(1_800_000_000_000)

interface Known {
  readonly value: number | string | null
  readonly quality?: Quality
  readonly age?: Milliseconds
}

/** What follows from a change of `changed` when these are the newest values. */
function follows(
  plan: FarmPlan,
  changed: string,
  known: Readonly<Record<string, Known>>,
): readonly Computed[] {
  const read = (signal: SignalName): Newest | null => {
    const one = known[signal]
    if (one === undefined) return null
    return { value: one.value, quality: one.quality ?? 'good', at: after(now, milliseconds(-(one.age ?? 0))) }
  }
  return recompute(compileGraph(plan), changed as SignalName, now, read)
}

function only(plan: FarmPlan, changed: string, known: Readonly<Record<string, Known>>): Computed {
  const [first, ...more] = follows(plan, changed, known)
  expect(more, 'one value follows, not more').toEqual([])
  return first ?? expect.fail('nothing follows')
}

const oxygenProbes = [probe('tank-1/dissolved_oxygen', 'mg/L'), probe('tank-1/water_temperature', 'Cel')]

describe('oxygen saturation', () => {
  const usual = { 'tank-1/dissolved_oxygen': { value: 6 }, 'tank-1/water_temperature': { value: 26 } }

  it('is computed from oxygen and temperature, in fresh water under the standard atmosphere of the altitude', () => {
    const got = only(larkfield(...oxygenProbes), 'tank-1/dissolved_oxygen', usual)
    // 8.1135 mg/L at 26 degC and 1 atm (DO-1), 0.9905 atm at 80 m (ATM-1)
    expect(got.value).toBeCloseTo(74.7, 1)
    expect(got).toMatchObject({
      signal: 'tank-1/oxygen_saturation',
      at: now,
      unit: '%',
      quality: 'good',
      reasons: [],
    })
    expect(got).toMatchObject({
      equation: 'DO-4',
      source: expect.stringContaining('Benson & Krause') as string,
    })
  })

  it('tells what it was made from', () => {
    const known = { ...usual, 'tank-1/water_temperature': { value: 26, age: seconds(40) } }
    const got = only(larkfield(...oxygenProbes), 'tank-1/dissolved_oxygen', known)
    expect(got.inputs).toMatchObject([
      { name: 'oxygen', signal: 'tank-1/dissolved_oxygen', value: 6, unit: 'mg/L', age: 0, quality: 'good' },
      { name: 'temperature', signal: 'tank-1/water_temperature', value: 26, unit: 'Cel', age: seconds(40) },
      { name: 'salinity', value: 0, unit: 'g/kg', age: null, assumed: 'fresh water' },
      { name: 'pressure', signal: null, unit: 'kPa', assumed: 'standard atmosphere at 80 m' },
    ])
  })

  it('takes a barometer anywhere on the farm, the one outdoors first', () => {
    const barometers = [
      probe('house/barometric_pressure', 'kPa'),
      probe('outdoors/barometric_pressure', 'kPa'),
    ]
    const plan = larkfield(...oxygenProbes, ...barometers)
    const known = {
      ...usual,
      'house/barometric_pressure': { value: 95 },
      'outdoors/barometric_pressure': { value: 101.325 },
    }
    const got = only(plan, 'outdoors/barometric_pressure', known)
    expect(got.inputs.at(-1)).toMatchObject({
      signal: 'outdoors/barometric_pressure',
      value: 101.325,
      assumed: null,
    })
    // 100 x 6 / 8.1135
    expect(got.value).toBeCloseTo(73.95, 1)
    expect(follows(plan, 'house/barometric_pressure', known)).toEqual([])
  })

  it('falls back to the altitude, and says that it is less sure, when the barometer fails', () => {
    const plan = larkfield(...oxygenProbes, probe('outdoors/barometric_pressure', 'kPa'))
    const known = { ...usual, 'outdoors/barometric_pressure': { value: 60, quality: 'bad' as const } }
    const got = only(plan, 'tank-1/dissolved_oxygen', known)
    expect(got).toMatchObject({
      quality: 'uncertain',
      reasons: ['barometric pressure is bad: taken as standard atmosphere at 80 m'],
    })
    expect(got.value).toBeCloseTo(74.7, 1)
  })

  it('follows conductivity by way of salinity, in that order', () => {
    const plan = larkfield(...oxygenProbes, probe('tank-1/conductivity', 'mS/cm'))
    const known = { ...usual, 'tank-1/conductivity': { value: 5000 } }
    const [salt, saturation, ...rest] = follows(plan, 'tank-1/conductivity', known)
    expect(rest.map(({ signal, value }) => [signal, value])).toEqual([
      ['tank-1/unionised_ammonia_nitrogen', null],
      ['tank-1/ph_where_ammonia_harms', null],
    ])
    // DO-6 prints 2.8365 g/kg at 5000 uS/cm
    expect(salt).toMatchObject({ signal: 'tank-1/salinity', quality: 'good' })
    expect(salt?.value).toBeCloseTo(2.8365, 4)
    expect(saturation?.inputs.find(({ name }) => name === 'salinity')?.value).toBe(salt?.value)
    expect(saturation?.value).toBeGreaterThan(75.5)
  })

  it('is not computed where a probe measures it', () => {
    const plan = larkfield(...oxygenProbes, probe('tank-1/oxygen_saturation', '%'))
    expect(follows(plan, 'tank-1/dissolved_oxygen', usual)).toEqual([])
  })
})

describe('an input that cannot be used', () => {
  const plan = larkfield(...oxygenProbes)
  const oxygen = { value: 6 }
  const withTemperature = (temperature: Known | null): Computed =>
    only(plan, 'tank-1/dissolved_oxygen', {
      'tank-1/dissolved_oxygen': oxygen,
      ...(temperature === null ? {} : { 'tank-1/water_temperature': temperature }),
    })

  it.each<[string, Known | null, string]>([
    ['bad', { value: 26, quality: 'bad' }, 'water temperature is bad'],
    ['without a number', { value: null, quality: 'bad' }, 'water temperature is bad'],
    ['never heard', null, 'water temperature: nothing heard yet'],
    // stale_time is 3 x every, at least 2 min (contract 10)
    ['stale', { value: 26, age: minutes(3) }, 'water temperature is 3 min old, more than 2 min'],
  ])('%s: there is no value, and why', (_, temperature, why) => {
    expect(withTemperature(temperature)).toMatchObject({ value: null, quality: 'bad', reasons: [why] })
  })

  it('uncertain: the result is uncertain', () => {
    expect(withTemperature({ value: 26, quality: 'uncertain' })).toMatchObject({
      quality: 'uncertain',
      reasons: ['water temperature is uncertain'],
    })
  })

  it('outside the range of the equation: there is no value, and the range', () => {
    expect(withTemperature({ value: 41 })).toMatchObject({
      value: null,
      quality: 'bad',
      reasons: ['outside the range in which it can be computed (0-40 degC, salinity 0-40 g/kg, 0.5-1.1 atm)'],
    })
  })

  it('from a slow probe is not too old before that probe is stale', () => {
    const slow = larkfield(
      probe('tank-1/dissolved_oxygen', 'mg/L'),
      probe('tank-1/water_temperature', 'Cel', 'every: 20 min'),
    )
    const got = only(slow, 'tank-1/dissolved_oxygen', {
      'tank-1/dissolved_oxygen': oxygen,
      'tank-1/water_temperature': { value: 26, age: minutes(50) },
    })
    expect(got).toMatchObject({ quality: 'good', until: after(now, minutes(2)) })
  })
})

describe('un-ionised ammonia from a test kit (entered) and probes', () => {
  const plan = larkfield(probe('tank-1/water_temperature', 'Cel'), probe('tank-1/ph', '[pH]'))
  const known = (age: Milliseconds) => ({
    'tank-1/total_ammonia_nitrogen': { value: 1, age },
    'tank-1/ph': { value: 8.5 },
    'tank-1/water_temperature': { value: 20 },
  })
  const aged = (age: Milliseconds): Computed =>
    follows(plan, 'tank-1/ph', known(age)).find(
      ({ signal }) => signal === 'tank-1/unionised_ammonia_nitrogen',
    ) ?? expect.fail('no ammonia follows')

  it('is good for three days (common practice); value of a test-kit manual, 11.18 % (Emerson 11.16)', () => {
    const got = aged(days(2))
    expect(got).toMatchObject({
      quality: 'good',
      unit: 'mg/L',
      inputs: [{ name: 'total', age: days(2) }, {}, {}, {}],
    })
    expect(got.value).toBeCloseTo(0.1116, 4)
  })

  it('is uncertain from then on, and says how old the entry is', () => {
    expect(aged(days(4))).toMatchObject({ quality: 'uncertain', reasons: ['total ammonia (TAN) is 4 d old'] })
  })

  it('is not told after a week', () => {
    expect(aged(days(8))).toMatchObject({
      value: null,
      reasons: ['total ammonia (TAN) is 8 d old, more than 7 d'],
    })
  })

  it('is due again when its age will change the answer', () => {
    const seldom = larkfield()
    const entries = {
      ...known(days(2)),
      'tank-1/ph': { value: 8, age: hours(2) },
      'tank-1/water_temperature': { value: 20, age: hours(2) },
    }
    const [got] = follows(seldom, 'tank-1/total_ammonia_nitrogen', entries)
    expect(got).toMatchObject({ quality: 'uncertain', until: after(now, hours(10)) })
  })
})

describe('air', () => {
  const plan = larkfield(probe('house/air_temperature', 'Cel'), probe('house/relative_humidity', '%'))
  const humid = (humidity: number) =>
    follows(plan, 'house/relative_humidity', {
      'house/air_temperature': { value: 30 },
      'house/relative_humidity': { value: humidity },
    })

  it('gives dew point and vapour pressure deficit (psychrolib 2.5 at 30 degC, 50 %: 18.447 degC, 2.12302 kPa)', () => {
    const [dew, deficit] = humid(50)
    expect(dew).toMatchObject({ signal: 'house/dew_point', unit: 'Cel' })
    expect(deficit).toMatchObject({ signal: 'house/vapour_pressure_deficit', unit: 'kPa' })
    expect(dew?.value).toBeCloseTo(18.447, 2)
    expect(deficit?.value).toBeCloseTo(2.12302, 4)
  })

  it('of more than 100 % is saturated and no more', () => {
    const [dew, deficit] = humid(102)
    expect([dew?.value, deficit?.value]).toEqual([30, 0])
  })
})

describe('what the farm does not count on', () => {
  it('says nothing until each input was heard: no alkalinity, no carbon dioxide', () => {
    const plan = larkfield(probe('tank-1/water_temperature', 'Cel'), probe('tank-1/ph', '[pH]'))
    const known = { 'tank-1/ph': { value: 7 }, 'tank-1/water_temperature': { value: 20 } }
    const names = (more: Readonly<Record<string, Known>>) =>
      follows(plan, 'tank-1/ph', { ...known, ...more }).map(({ signal }) => signal)
    expect(names({})).not.toContain('tank-1/carbon_dioxide')
    expect(names({ 'tank-1/alkalinity': { value: 50, age: days(1) } })).toContain('tank-1/carbon_dioxide')
  })

  it('nothing follows from a signal that nothing is made from', () => {
    expect(follows(larkfield(...oxygenProbes), 'tank-1/water_level', {})).toEqual([])
  })

  it('takes what an open pattern of probes brings, and lets entries live as long as entries do', () => {
    const plan = larkfield('  - { topic: "larkfield/{place}/{quantity}", value: /v, every: 60 s }\n')
    const got = follows(plan, 'sump/dissolved_oxygen', {
      'sump/dissolved_oxygen': { value: 6 },
      'sump/water_temperature': { value: 26, age: minutes(30) },
    })
    expect(got).toMatchObject([{ signal: 'sump/oxygen_saturation', quality: 'good' }])
  })
})
