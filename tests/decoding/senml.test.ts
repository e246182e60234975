import { describe, expect, it } from 'vitest'
import { resolveSenml, unitOfSenml } from '../../daemon/decoding/senml.js'
import { arrivalsOf, decoded, moment, onlyArrival, received, senml } from './builders.js'

const records = (document: unknown) => {
  const result = resolveSenml(document, received)
  if (result.kind === 'flawed') throw new Error(result.reason)
  return result.value
}
const flaw = (document: unknown) => {
  const result = resolveSenml(document, received)
  return result.kind === 'flawed' ? result.reason : 'it was taken'
}
const name = 'urn:dev:ow:10e2073a01080063'

describe('SenML packs resolve as in RFC 8428', () => {
  it('5.1.1: a single data point', () => {
    expect(records([{ n: name, u: 'Cel', v: 23.1 }])).toEqual([
      { name, unit: 'Cel', value: 23.1, sum: null, at: null },
    ])
  })

  it('5.1.2: base name in front of names', () => {
    const pack = [
      { bn: `${name}:`, n: 'voltage', u: 'V', v: 120.1 },
      { n: 'current', u: 'A', v: 1.2 },
    ]
    expect(records(pack).map((record) => [record.name, record.unit, record.value])).toEqual([
      [`${name}:voltage`, 'V', 120.1],
      [`${name}:current`, 'A', 1.2],
    ])
  })

  it('5.1.2: base time, and times relative to it, in seconds since 1970', () => {
    const pack = [
      {
        bn: 'urn:dev:ow:10e2073a0108006:',
        bt: 1.276020076001e9,
        bu: 'A',
        bver: 5,
        n: 'voltage',
        u: 'V',
        v: 120.1,
      },
      { n: 'current', t: -5, v: 1.2 },
      { n: 'current', t: -4, v: 1.3 },
    ]
    expect(records(pack).map((record) => [record.unit, record.at])).toEqual([
      ['V', 1276020076001],
      ['A', 1276020071001],
      ['A', 1276020072001],
    ])
  })

  it('4.5.3: a time below 2^28 is relative to now, zero or none is now', () => {
    const pack = [{ n: 'a', v: 1, t: -30 }, { n: 'b', v: 1, t: 0 }, { n: 'c', v: 1 }, { n: 'd', v: 1, t: 2 ** 28 }] // prettier-ignore
    expect(records(pack).map(({ at }) => at)).toEqual([
      moment('2027-01-10T02:11:30Z'),
      null,
      null,
      2 ** 28 * 1000,
    ])
  })

  it('4.1: base value is added to values, base sum to sums', () => {
    const pack = [{ bn: 'x', bv: 20, bs: 100, v: 3.5 }, { v: -1, s: 5 }, { s: 7 }]
    expect(records(pack).map(({ value, sum }) => [value, sum])).toEqual([
      [23.5, null],
      [19, 105],
      [null, 107],
    ])
  })

  it('4.3: values may be true or false, or text', () => {
    expect(
      records([
        { n: 'a', vb: false },
        { n: 'b', vs: 'OB LB' },
      ]).map(({ value }) => value),
    ).toEqual([false, 'OB LB'])
  })

  it('5.1.3: a record of base fields only gives no reading', () => {
    expect(records([{ bn: 'x', bt: 1.32e9 }, { v: 1 }])).toHaveLength(1)
  })

  it.each([
    [
      '4.4: a field that must be understood',
      [{ n: 'a', v: 1, new_: 1 }],
      'record 1: the field "new_" must be understood and is not',
    ],
    ['4.4: a newer version', [{ bver: 11, n: 'a', v: 1 }], 'record 1: version 11 of SenML is newer than 10'],
    [
      '4.4: a version that changes',
      [
        { bver: 5, n: 'a', v: 1 },
        { bver: 6, n: 'b', v: 1 },
      ],
      'record 2: "bver" changes within the pack',
    ],
    [
      '4.5.1: a name of other letters',
      [{ n: 'tank 1', v: 1 }],
      'record 1: the name is missing or has letters that SenML does not allow',
    ],
    ['4.2: no name', [{ v: 1 }], 'record 1: the name is missing or has letters that SenML does not allow'],
    [
      '4.2: two values',
      [{ n: 'a', v: 1, vs: 'x' }],
      'record 1: "v" and "vs" together; a record has one value',
    ],
    ['4.3: a text as the number', [{ n: 'a', v: '1' }], 'record 1: "v" must be a number'],
    ['an object', { n: 'a', v: 1 }, 'a SenML pack is a JSON list'],
    ['a list of numbers', [1], 'record 1: not an object'],
    ['too many records', Array.from({ length: 1001 }, () => ({ n: 'a', v: 1 })), 'more than 1000 records'],
  ])('%s is refused', (_, document, reason) => {
    expect(flaw(document)).toBe(`not SenML: ${reason}`)
  })

  it('ignores unknown fields that need not be understood', () => {
    expect(records([{ n: 'a', v: 1, extra: 'x' }])).toHaveLength(1)
  })
})

describe('SenML messages of mapped names', () => {
  const entry = senml({
    'node7:t': 'tank-3/water_temperature',
    'node7:ph': 'tank-3/ph',
    'node7:on': 'house-supply/present',
  })

  it('become arrivals in the canonical unit', () => {
    const payload =
      '[{"bn":"node7:","bt":1799546400,"n":"t","u":"K","v":298.15},{"n":"ph","u":"pH","v":7.1},{"n":"on","vb":true}]'
    expect(arrivalsOf(decoded([entry], payload))).toEqual(
      [
        ['tank-3/water_temperature', 25],
        ['tank-3/ph', 7.1],
        ['house-supply/present', 1],
      ].map(([signal, value]) => ({
        signal,
        value,
        measuredAt: moment('2027-01-10T02:00:00Z'),
        claimed: 'good',
        retained: false,
        source: 'probe',
      })),
    )
  })

  it('with a unit that measures something else are passed over', () => {
    expect(decoded([entry], '[{"n":"node7:t","u":"V","v":1}]')).toMatchObject({
      kind: 'rejected',
      reason: 'node7:t: the unit "V" cannot be turned into Cel',
    })
  })

  it('with a text for a number are a bad reading, with only a sum none', () => {
    expect(onlyArrival(decoded([entry], '[{"n":"node7:t","vs":"broken"}]'))).toMatchObject({
      value: null,
      claimed: 'bad',
    })
    expect(decoded([entry], '[{"n":"node7:t","s":5}]')).toMatchObject({
      reason: 'node7:t: the record has no value, only a sum',
    })
  })

  it('with only unknown names are unmapped and named', () => {
    expect(decoded([entry], '[{"n":"node8:t","v":1}]')).toMatchObject({
      kind: 'unmapped',
      why: 'no entry has the name "node8:t"',
    })
  })

  it('have no time of their own when they are retained and say "30 s ago"', () => {
    const result = decoded([entry], '[{"n":"node7:t","v":1,"t":-30}]', 'larkfield/node7', true)
    expect(onlyArrival(result)).toMatchObject({ measuredAt: null, retained: true })
  })
})

it('spells the units of SenML as UCUM does', () => {
  expect(['Cel', 'pH', '%RH', '/', 'l', 'constructor'].map(unitOfSenml)).toEqual([
    'Cel',
    '[pH]',
    '%',
    '1',
    'L',
    'constructor',
  ])
})
