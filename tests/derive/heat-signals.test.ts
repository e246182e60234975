import { describe, expect, it } from 'vitest'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { watersOf } from '../../daemon/derive/house-figures.js'
import { estimate, recompute, type Newest } from '../../daemon/derive/recompute.js'
import type { Computed } from '../../daemon/readings/computed.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { epochMs } from '../../daemon/units/time.js'
import { larkfieldPlan } from '../support/cold-nights.js'

// The farm of config/bellwater.yaml: 310 m2 of 4.0 W/(m2.K), 640 m3 changed once an hour, 30 kW, lettuce and basil.

const plan = larkfieldPlan()
const graph = compileGraph(plan)
/** Ten in the evening in January: sunrise 8:12 UTC. */
const now = epochMs(Date.parse('2027-01-10T22:00:00Z'))

const seen = { at: now, supply: { air: 'unknown', water: 'unknown' }, heard: true } as const

type Known = Readonly<Record<string, number>>
const coldNight = {
  'house/air_temperature': 12,
  'house/relative_humidity': 85,
  'outdoors/air_temperature': -3,
  'tank-1/water_temperature': 26,
}

const reader =
  (known: Known) =>
  (signal: SignalName): Newest | null => {
    const value = known[signal]
    return value === undefined ? null : { value, quality: 'good', at: now }
  }

function told(signal: string, known: Known = coldNight, of = plan): Computed {
  const compiled = of === plan ? graph : compileGraph(of)
  const changed = Object.keys(known)
  const all = changed.flatMap((one) => [
    ...recompute(compiled, one as SignalName, now, reader(known)),
    ...(compiled.estimatesOn.get(one as SignalName) ?? []).flatMap(
      (node) => estimate(node, node.estimator.begin(now, null), seen, reader(known)).derived,
    ),
  ])
  return all.find((one) => one.signal === signal) ?? expect.fail(`${signal} does not follow`)
}

const valueOf = (signal: string, known: Known = coldNight): number =>
  told(signal, known).value ?? expect.fail(`${signal} has no value`)

const changed = (change: (plan: FarmPlan) => Partial<FarmPlan>): FarmPlan => ({ ...plan, ...change(plan) })
const withPlace = (id: string, more: object): FarmPlan =>
  changed(({ places }) => ({
    places: new Map([...places].map(([name, one]) => [name, name === id ? { ...one, ...more } : one])),
  }))

describe('the house on a cold night', () => {
  it('loses what the reference figures say: 18 600 W by the cover (q-si-1) and 3219 W by leaks (inf-si-1)', () => {
    expect(valueOf('house/heat_loss')).toBeCloseTo(18_600 + 3219.2, 0)
    expect(told('house/heat_loss')).toMatchObject({ unit: 'W', quality: 'good', equation: 'HT-3' })
  })

  it('has the rest of 30 kW to spare, and at the forecast minimum where that is colder', () => {
    expect(valueOf('house/heater_margin')).toBeCloseTo(30_000 - 21_819, 0)
    const forecast = { ...coldNight, 'outdoors/air_temperature_forecast_minimum': -10 }
    expect(valueOf('house/heater_margin', forecast)).toBeCloseTo(30_000 - (21_819 * 22) / 15, 0)
    const milder = { ...coldNight, 'outdoors/air_temperature_forecast_minimum': 2 }
    expect(valueOf('house/heater_margin', milder)).toBeCloseTo(30_000 - 21_819, 0)
  })

  it('has a cover at 4.2 degC, 5.4 K below the dew point: it drips', () => {
    expect(valueOf('house/cover_temperature')).toBeCloseTo(4.2, 6)
    expect(valueOf('house/condensation_margin')).toBeCloseTo(4.2 - valueOf('house/dew_point'), 6)
    expect(valueOf('house/condensation_margin')).toBeCloseTo(-5.36, 1)
    expect(valueOf('house/frost_margin')).toBeCloseTo(12 - (7.8 * 4.9) / 19.8, 6)
  })

  it('has 7.4 g of water in each kg of air (psychrolib: 85 % of saturation at 12 degC, 80 m)', () => {
    expect(valueOf('house/humidity_ratio')).toBeCloseTo(7.47, 1)
  })

  it('counts leaks as none where its volume is not written, and says so', () => {
    const envelope = { area: 310, uValue: 4, volume: null, airChanges: null }
    const loss = told('house/heat_loss', coldNight, withPlace('house', { envelope }))
    expect(loss.value).toBeCloseTo(18_600, 6)
    expect(loss.inputs.find(({ name }) => name === 'volume')?.assumed).toContain('leaks are left out')
  })
})

describe('hours until too cold if heat stops', () => {
  it('count down to what the species bears in the tank, with an interval', () => {
    const tank = told('tank-1/hours_until_too_cold_if_heat_stops')
    expect(tank).toMatchObject({ unit: 'h', quality: 'good', limit: 17, equation: 'HT-18' })
    expect(tank.inputs.find(({ name }) => name === 'limit')?.assumed).toContain('Nile tilapia')
    const { value, low, high } = tank
    expect(value).toBeGreaterThan(24)
    expect(low).toBeLessThan(value ?? 0)
    expect(high ?? Infinity).toBeGreaterThan(value ?? 0)
  })

  it('and to what the tenderest crop bears in the house: basil, ten degrees, within the hour', () => {
    const house = told('house/hours_until_too_cold_if_heat_stops')
    expect(house).toMatchObject({ limit: 10, quality: 'good' })
    expect(house.inputs.find(({ name }) => name === 'limit')?.assumed).toContain('basil')
    expect(house.value).toBeGreaterThan(0.2)
    expect(house.value).toBeLessThan(1)
  })

  it('are fewer when a colder night is forecast', () => {
    const forecast = { ...coldNight, 'outdoors/air_temperature_forecast_minimum': -12 }
    const signal = 'tank-1/hours_until_too_cold_if_heat_stops'
    expect(valueOf(signal, forecast)).toBeLessThan(valueOf(signal))
  })

  it('are no number on a mild night, which is an answer and no failure', () => {
    const mild = { ...coldNight, 'outdoors/air_temperature': 20, 'house/air_temperature': 22 }
    expect(told('house/hours_until_too_cold_if_heat_stops', mild)).toMatchObject({
      value: null,
      quality: 'good',
      limit: 10,
      reasons: ['not foreseen within 5 days'],
    })
  })

  it('are none where it is too cold already', () => {
    expect(
      valueOf('tank-1/hours_until_too_cold_if_heat_stops', { ...coldNight, 'tank-1/water_temperature': 16 }),
    ).toBe(0)
  })

  it('cannot be told without the air outdoors, and say so', () => {
    const { 'outdoors/air_temperature': _, ...known } = coldNight
    expect(told('tank-1/hours_until_too_cold_if_heat_stops', known)).toMatchObject({
      value: null,
      quality: 'bad',
      reasons: ['air temperature: nothing heard yet'],
    })
  })

  it('of the house are uncertain where nothing tells how warm the water is', () => {
    const { 'tank-1/water_temperature': _, ...known } = coldNight
    const house = told('house/hours_until_too_cold_if_heat_stops', known)
    expect(house.quality).toBe('uncertain')
    expect(house.reasons).toContain('the warmth of the water is not known, and not counted')
  })

  it('are not computed for a tank without fish, a house without envelope, or one without crops', () => {
    const names = (of: FarmPlan): readonly string[] => {
      const { nodes, estimates } = compileGraph(of)
      const given = [...estimates.values()].flatMap(({ gives }) => gives.map(({ signal }) => signal))
      return [...nodes.keys(), ...given].filter((name) => name.endsWith('if_heat_stops'))
    }
    expect(names(plan)).toEqual(
      expect.arrayContaining(
        ['tank-1', 'tank-2', 'tank-3', 'house'].map((id) => `${id}/hours_until_too_cold_if_heat_stops`),
      ),
    )
    expect(names(withPlace('tank-1', { fish: null }))).not.toContain(
      'tank-1/hours_until_too_cold_if_heat_stops',
    )
    expect(names(withPlace('house', { envelope: null })).filter((name) => !name.startsWith('house'))).toEqual(
      [],
    )
    const bare = changed(({ places }) => ({
      places: new Map([...places].map(([id, one]) => [id, { ...one, plants: null }])),
    }))
    expect(names(bare)).not.toContain('house/hours_until_too_cold_if_heat_stops')
  })
})

it('evaporation of a tank: 26.9 kg/h for each unit of humidity ratio over seven tenths of 1.9 m2', () => {
  // Saturated at 26 degC and 100.4 kPa 0.0216, the air 0.00747 kg/kg: 26.9 x 1.33 x 0.0141 x 24.
  expect(valueOf('tank-1/evaporation')).toBeCloseTo(12.1, 0)
})

it('water is joined by flows_to in both directions, and a basin apart is not', () => {
  const place = (id: string) => plan.places.get(id) ?? expect.fail('it is in the plan')
  const all = ['tank-1', 'tank-2', 'tank-3', 'biofilter', 'bed-1', 'bed-2', 'sump']
  expect(watersOf(plan, place('tank-1')).map(({ id }) => id)).toEqual(all)
  const apart = withPlace('tank-1', { flowsTo: [] })
  const sump = apart.places.get('sump') ?? expect.fail('it is in the plan')
  const cut = {
    ...apart,
    places: new Map(apart.places).set('sump', { ...sump, flowsTo: ['tank-2', 'tank-3'] }),
  }
  expect(watersOf(cut, place('tank-1')).map(({ id }) => id)).toEqual(['tank-1'])
})

it('every computed signal of air and heat that can be had has a plan, so that it is stored and shown', () => {
  const ours = /humidity_ratio|cover_temp|_margin|heat_loss|heat_stops|evaporation/
  const nodes = [...graph.nodes.values()].filter(({ signal, expected }) => ours.test(signal) && expected)
  expect(nodes.length).toBeGreaterThan(10)
  for (const { signal } of nodes) expect([...plan.signals.keys()]).toContain(signal)
})
