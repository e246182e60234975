import { describe, expect, it } from 'vitest'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { estimate, recompute, type Newest } from '../../daemon/derive/recompute.js'
import type { Computed } from '../../daemon/readings/computed.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { after, days, epochMs, hours, type EpochMs } from '../../daemon/units/time.js'
import { larkfieldPlan } from '../support/cold-nights.js'

// The farm of config/bellwater.yaml: 3.2 kg of 36 % feed a day, 200 m2 of media, 17.8 m3, 20 m2 each of lettuce and basil.

const plan = larkfieldPlan()
const start = epochMs(1_800_000_000_000)

type Known = Readonly<Record<string, number>>
const usual = {
  'tank-1/water_temperature': 26,
  'tank-1/ph': 7.3,
  'tank-1/dissolved_oxygen': 6.4,
  'tank-1/total_ammonia_nitrogen': 1,
}

const reader =
  (known: Known, at: EpochMs) =>
  (signal: SignalName): Newest | null => {
    const value = known[signal]
    return value === undefined ? null : { value, quality: 'good', at }
  }

/** All that follows from these readings, computed as the watch does it: one signal after another, results included. */
function toldOf(known: Known, of: FarmPlan = plan): ReadonlyMap<string, Computed> {
  const graph = compileGraph(of)
  const told = new Map<string, Computed>()
  const read = (signal: SignalName): Newest | null => told.get(signal) ?? reader(known, start)(signal)
  for (const signal of Object.keys(known)) {
    for (const one of recompute(graph, signal as SignalName, start, read)) told.set(one.signal, one)
    for (const node of graph.estimatesOn.get(signal as SignalName) ?? []) {
      const seen = { at: start, supply: { air: 'unknown', water: 'unknown' }, heard: true } as const
      for (const one of estimate(node, node.estimator.begin(start, null), seen, read).derived)
        told.set(one.signal, one)
    }
  }
  return told
}
const told = (signal: string, known: Known = usual, of = plan): Computed =>
  toldOf(known, of).get(signal) ?? expect.fail(`${signal} does not follow`)
const valueOf = (signal: string, known: Known = usual, of = plan): number =>
  told(signal, known, of).value ?? expect.fail(`${signal} has no value`)

const withPlace = (id: string, more: object): FarmPlan => ({
  ...plan,
  places: new Map([...plan.places].map(([name, one]) => [name, name === id ? { ...one, ...more } : one])),
})

describe('ammonia of a tank', () => {
  it('may be 0.99 mg/L for a month in wild waters of pH 7.3 and 26 degC (EPA-CCC by hand)', () => {
    const byPh = 0.0278 / (1 + 10 ** (7.688 - 7.3)) + 1.1994 / (1 + 10 ** (7.3 - 7.688))
    const byHand = 0.8876 * byPh * 2.126 * 10 ** (0.028 * (20 - 26))
    expect(valueOf('tank-1/ammonia_criterion_chronic')).toBeCloseTo(byHand, 9)
  })

  it('harms at the pH at which its un-ionised part is what the fish bear', () => {
    const ph = valueOf('tank-1/ph_where_ammonia_harms')
    expect(valueOf('tank-1/unionised_ammonia_nitrogen', { ...usual, 'tank-1/ph': ph })).toBeCloseTo(0.041, 9)
  })

  it('harms at no pH where there is less of it than they bear, which is an answer', () => {
    const little = told('tank-1/ph_where_ammonia_harms', { ...usual, 'tank-1/total_ammonia_nitrogen': 0.03 })
    expect(little).toMatchObject({
      value: null,
      quality: 'good',
      reasons: ['there is less ammonia than would harm at any pH'],
    })
  })

  it('is told by the feed: 0.9 kg of 36 % protein are 29.8 g of nitrogen (tan-prod-2)', () => {
    expect(valueOf('tank-1/ammonia_load')).toBeCloseTo(29.808, 3)
  })

  it('is doubtful where it is so cold that fish leave their feed', () => {
    const cold = told('tank-1/ammonia_load', { ...usual, 'tank-1/water_temperature': 15 })
    expect(cold.quality).toBe('uncertain')
    expect(cold.reasons).toEqual(['so cold that fish leave their feed'])
  })
})

describe('a biofilter', () => {
  const load = 3.2 * 0.36 * 92
  const capacity = 200 * 0.5 * 1.09 ** 11 * 2 ** 0.7

  it('gets the ammonia of all tanks whose water it cleans', () => {
    expect(valueOf('biofilter/ammonia_load')).toBeCloseTo(load, 6)
  })

  it('can turn over what NIT-13 says, by what is measured in a tank of its loop', () => {
    const { value, low, high, inputs } = told('biofilter/nitrification_capacity')
    expect(value).toBeCloseTo(capacity, 6)
    expect([low, high]).toEqual([
      expect.closeTo(capacity / 3, 6) as number,
      expect.closeTo(capacity * 1.46, 6) as number,
    ])
    expect(inputs.find(({ name }) => name === 'temperature')?.signal).toBe('tank-1/water_temperature')
    expect(inputs.find(({ name }) => name === 'ph')?.signal).toBe('tank-1/ph')
  })

  it('is doubtful below pH 6.7, where nobody measured', () => {
    const sour = told('biofilter/nitrification_capacity', { ...usual, 'tank-1/ph': 6.4 })
    expect(sour.quality).toBe('uncertain')
    expect(sour.value).toBeCloseTo(capacity * 2 ** -1.5, 6)
  })

  it('uses up 7.14 g of alkalinity for each g that is fed, or that it can turn over', () => {
    expect(valueOf('biofilter/alkalinity_consumption')).toBeCloseTo(7.14 * load, 6)
    const tiny = withPlace('biofilter', { media: { volumeL: 10, specificSurface: 500 } })
    expect(valueOf('biofilter/alkalinity_consumption', usual, tiny)).toBeCloseTo((7.14 * capacity) / 40, 6)
  })

  it('leaves nitrate that plants do not take: 106 g less 40 m2 of 45 g feed each, in 17.8 m3', () => {
    const uptake = 40 * 45 * 0.32 * 0.092
    expect(valueOf('biofilter/nitrate_gain')).toBeCloseTo((load - uptake) / 17.8, 6)
    const bare = withPlace('bed-1', { plants: null })
    expect(valueOf('biofilter/nitrate_gain', usual, bare)).toBeCloseTo((load - uptake / 2) / 17.8, 6)
  })

  it('is told nothing of its load where a tank with fish has no feed written', () => {
    const tank = plan.places.get('tank-2') ?? expect.fail('it is there')
    const unfed = withPlace('tank-2', { fish: { ...tank.fish, feedPerDay: null } })
    const signals = [...toldOf(usual, unfed).keys()]
    expect(signals).toContain('biofilter/nitrification_capacity')
    expect(signals).not.toContain('biofilter/ammonia_load')
    expect(signals).not.toContain('biofilter/total_ammonia_nitrogen_tomorrow')
  })

  it('of a loop apart does not count the tanks of another', () => {
    const apart = (sumpTo: readonly string[]): FarmPlan => {
      const flowsTo: Readonly<Record<string, readonly string[]>> = { 'tank-3': [], sump: sumpTo }
      const places = [...plan.places].map(
        ([id, one]) => [id, { ...one, flowsTo: flowsTo[id] ?? one.flowsTo }] as const,
      )
      return { ...plan, places: new Map(places) }
    }
    // As long as the sump pumps into it, it belongs to the loop.
    expect(valueOf('biofilter/ammonia_load', usual, apart(['tank-1', 'tank-2', 'tank-3']))).toBeCloseTo(
      load,
      6,
    )
    const without = 1.9 * 0.36 * 92
    expect(valueOf('biofilter/ammonia_load', usual, apart(['tank-1', 'tank-2']))).toBeCloseTo(without, 6)
  })
})

describe('chloride for nitrite', () => {
  it('counts nitrite as NO2, and 10 is what it is held against (SRAC 462)', () => {
    const known = { 'tank-1/chloride': 100, 'tank-1/nitrite_nitrogen': 10 * (14.007 / 46.005) }
    const ratio = told('tank-1/chloride_to_nitrite_ratio', known)
    expect(ratio.value).toBeCloseTo(10, 9)
    expect(ratio.limit).toBe(10)
  })
  it('is no number without nitrite, and that is good', () => {
    const known = { 'tank-1/chloride': 100, 'tank-1/nitrite_nitrogen': 0 }
    expect(told('tank-1/chloride_to_nitrite_ratio', known)).toMatchObject({ value: null, quality: 'good' })
  })
})

describe('ammonia tomorrow', () => {
  const graph = compileGraph(plan)
  const node =
    graph.estimates.get('total_ammonia_nitrogen_tomorrow@biofilter') ?? expect.fail('it must be there')
  const seen = { supply: { air: 'unknown', water: 'unknown' }, heard: true } as const

  /** After so many days of one measurement every six hours. */
  function afterDays(long: number, ammonia: number) {
    let memory = node.estimator.begin(start, null)
    let last: Computed | undefined
    for (let turn = 0; turn <= long * 4; turn += 1) {
      const at = after(start, hours(6 * turn))
      const known = { ...usual, 'tank-1/total_ammonia_nitrogen': ammonia }
      const done = estimate(node, memory, { ...seen, at }, reader(known, at))
      memory = done.memory
      last = done.derived[0]
    }
    return { memory, told: last ?? expect.fail('it was told') }
  }

  it('is narrower once the loop has taught its pace, and near what it has been every day', () => {
    const [fresh, taught] = [afterDays(0, 0.8).told, afterDays(6, 0.8).told]
    const width = ({ low, high }: Computed): number => (high ?? Number.NaN) / (low ?? Number.NaN)
    expect(width(taught)).toBeLessThan(width(fresh) / 2)
    expect(taught.value).toBeGreaterThan(0.65)
    expect(taught.value).toBeLessThan(0.95)
    expect(taught).toMatchObject({ unit: 'mg/L', quality: 'good', equation: 'NIT-14' })
  })

  it('keeps what it has learnt over a restart, and begins anew where that cannot be read', () => {
    const { memory } = afterDays(6, 0.8)
    const kept: unknown = JSON.parse(JSON.stringify(node.estimator.keep(memory)))
    const at = after(start, days(6))
    expect(node.estimator.begin(at, kept)).toEqual(memory)
    for (const broken of [
      null,
      7,
      {},
      { ...(kept as object), recent: [{}] },
      { ...(kept as object), ammonia: [] },
    ])
      expect(node.estimator.begin(at, broken)).toEqual(node.estimator.begin(at, null))
  })

  it('is refused in words outside what was measured', () => {
    const hot = estimate(node, node.estimator.begin(start, null), { ...seen, at: start }, (signal) =>
      reader({ ...usual, 'tank-1/water_temperature': 31 }, start)(signal),
    )
    expect(hot.derived[0]).toMatchObject({ value: null, quality: 'bad' })
    expect(hot.derived[0]?.reasons[0]).toContain('4-30 degC')
  })

  it('of nitrite is told where nitrite is measured', () => {
    const name = 'biofilter/nitrite_nitrogen_tomorrow'
    expect([...toldOf(usual).keys()]).not.toContain(name)
    const { value, low, high } = told(name, { ...usual, 'tank-1/nitrite_nitrogen': 0.2 })
    expect(low).toBeLessThan(value ?? Number.NaN)
    expect(high).toBeGreaterThan(value ?? Number.NaN)
  })
})
