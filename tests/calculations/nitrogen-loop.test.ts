import { describe, expect, it } from 'vitest'
import { calculate } from '../../daemon/calculations/calculate.js'
import type { Given } from '../../daemon/calculations/read-input.js'
import { Fault } from '../../daemon/errors.js'

const value = (quantity: string, inputs: Readonly<Record<string, Given>>): number =>
  calculate(quantity, new Map(Object.entries(inputs))).value

function refusal(quantity: string, inputs: Readonly<Record<string, Given>>): string {
  try {
    return `it gave ${value(quantity, inputs)}`
  } catch (cause) {
    if (cause instanceof Fault) return `${cause.code}: ${cause.message} | ${cause.hint}`
    throw cause
  }
}

const loop = {
  ...{ temperature: '26 degC', volume: '17.8 m3', media: '200 m2', load: '106 g/d' },
  total_ammonia_nitrogen: '1 mg/L',
}

describe('a loop', () => {
  it('settles where it goes to in a week', () => {
    const { volume: _, total_ammonia_nitrogen: __, ...figures } = loop
    const settled = value('total_ammonia_nitrogen_settled', figures)
    expect(value('total_ammonia_nitrogen_after', { ...loop, time: '7 d' })).toBeCloseTo(settled, 6)
    // By hand: (106 / (200 x 0.5 x 1.09^11))^(1/0.7).
    expect(settled).toBeCloseTo((106 / (100 * 1.09 ** 11)) ** (1 / 0.7), 9)
  })

  it('loaded as FAO 589, Appendix 4, designs it (0.57 g NH3 a m2) stays below 1 mg/L', () => {
    // 0.57 g NH3 are 0.469 g N a m2; at 20 degC and pH 7.3 with 5 mg/L of oxygen.
    const design = { media: '100 m2', load: '46.9 g/d', temperature: '20 degC' }
    expect(value('total_ammonia_nitrogen_settled', design)).toBeLessThan(1)
  })

  it('without media keeps all: 24 h of 106 g in 17.8 m3', () => {
    const kept = value('total_ammonia_nitrogen_after', { ...loop, media: '0 m2' })
    expect(kept).toBeCloseTo(1 + 106 / 17.8, 9)
  })

  it('takes a day unless told, and any unit', () => {
    const day = value('nitrite_nitrogen_after', loop)
    expect(value('nitrite_nitrogen_after', { ...loop, time: '1 d', volume: '17800 L' })).toBeCloseTo(day, 9)
    expect(value('nitrite_nitrogen_tomorrow', loop)).toBe(day)
  })

  it('is not told for more than a week, or without its volume', () => {
    expect(refusal('total_ammonia_nitrogen_after', { ...loop, time: '8 d' })).toContain('BW_CALC')
    const { volume: _, ...rest } = loop
    expect(refusal('total_ammonia_nitrogen_after', rest)).toContain('volume')
  })

  it('does not settle with more than its media can turn over', () => {
    const { volume: _, total_ammonia_nitrogen: __, ...figures } = loop
    expect(refusal('total_ammonia_nitrogen_settled', { ...figures, load: '1 kg/d' })).toContain(
      'it does not settle: the load is more than the media can turn over',
    )
  })
})

it.each<[string, Readonly<Record<string, Given>>, number]>([
  // Rusten et al. 2006, NIT-9 as printed: rusten-rate-3.
  ['nitrifier_rate', { nitrogen: '1 mg/L as N', temperature: '25 degC' }, 1.1837],
  ['nitrification_capacity', { media: '200 m2', temperature: '15 degC', dissolved_oxygen: '3.2 mg/L' }, 100],
  ['plant_nitrogen_uptake', { area: '10 m2', ratio: '45 g/(m2.d)' }, 13.248],
  ['nitrate_gain', { nitrified: '106 g/d', uptake: '53 g/d', volume: '10 m3' }, 5.3],
  ['chloride_to_nitrite_ratio', { chloride: '100 mg/L', nitrite_nitrogen: '10 mg/L as NO2' }, 10],
  ['ammonia_criterion_chronic', { pH: 7, temperature: '20 degC' }, 1.9],
])('%s of %o is %s', (quantity, inputs, expected) => {
  // To the figures printed.
  expect(Math.abs(value(quantity, inputs) / expected - 1)).toBeLessThan(0.01)
})
