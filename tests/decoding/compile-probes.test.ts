import { describe, expect, it } from 'vitest'
import { compileProbes } from '../../daemon/decoding/compile-probes.js'
import { payloadMax } from '../../daemon/decoding/limits.js'
import { arrivalsOf, bare, decoded, json, moment, names, onlyArrival, senml } from './builders.js'

describe('a bare number', () => {
  it.each([
    ['7.93', 7.93],
    ['-0.5', -0.5],
    ['+12', 12],
    ['.5', 0.5],
    ['7.', 7],
    ['1.2e-3', 0.0012],
    [' 7.93\r\n', 7.93],
    ['7.93\0', 7.93],
    ['\ufeff7.93', 7.93],
  ])('%j is %d', (payload, value) => {
    expect(onlyArrival(decoded([bare()], payload))).toEqual({
      signal: 'tank-1/dissolved_oxygen',
      value,
      measuredAt: null,
      claimed: 'good',
      retained: false,
      source: 'probe',
    })
  })

  it.each([
    ['nan', 'the probe sent NaN (not a number)'],
    ['ERR 4', 'the probe sent the text "ERR 4" instead of a number'],
    ['7,93', '"7,93" has a decimal comma; only a point is read'],
    ['7.93 mg/L', 'the probe sent the text "7.93 mg/L" instead of a number'],
    ['0x10', 'the probe sent the text "0x10" instead of a number'],
    ['1e999', 'the number is too large'],
    ['{"v":1}', '"{"v":1}" looks like JSON; "value:" must say where in it the number is'],
    [`\u001b[31mred`, 'the probe sent the text "[31mred" instead of a number'],
  ])('%j is a bad reading that says why', (payload, why) => {
    expect(onlyArrival(decoded([bare()], payload))).toMatchObject({ value: null, claimed: 'bad', why })
  })

  it('is converted to the canonical unit of its quantity', () => {
    const entry = bare({ signal: 'tank-1/water_temperature', unit: 'degF' })
    expect(onlyArrival(decoded([entry], '77')).value).toBe(25)
  })
})

describe('a two-valued quantity (contract 11)', () => {
  const entry = bare({ signal: 'house-supply/present' })
  it.each([
    ['1', 1],
    ['0', 0],
    ['true', 1],
    ['FALSE', 0],
    ['ON', 1],
    ['off', 0],
    ['open', 1],
    ['closed', 0],
  ])('%s is %d', (payload, value) => {
    expect(onlyArrival(decoded([entry], payload)).value).toBe(value)
  })

  it('takes JSON true and false, and refuses other numbers', () => {
    const entries = [json({ signal: 'house-supply/present', value: '/p' })]
    expect(onlyArrival(decoded(entries, '{"p":true}')).value).toBe(1)
    expect(onlyArrival(decoded(entries, '{"p":0.5}'))).toMatchObject({
      value: null,
      why: '0.5 is neither 0 nor 1',
    })
    expect(onlyArrival(decoded(entries, '{"p":"maybe"}')).why).toBe(
      '"maybe" is neither of 1/0, true/false, ON/OFF, open/closed',
    )
  })
})

describe('status words', () => {
  it('are kept as they are, in one line', () => {
    const entry = bare({ signal: 'house-supply/status', words: true })
    expect(onlyArrival(decoded([entry], ' OB  LB\n')).value).toBe('OB LB')
    expect(onlyArrival(decoded([entry], ' \n'))).toMatchObject({
      value: null,
      why: 'the probe sent no words',
    })
  })

  it('may be a JSON list', () => {
    const entry = json({ signal: 'house-supply/status', value: '/s', words: true })
    expect(onlyArrival(decoded([entry], '{"s":["OL","CHRG"]}')).value).toBe('OL CHRG')
  })
})

describe('JSON with a pointer (RFC 6901)', () => {
  it('reads value and time', () => {
    const entry = json({ time: '/ts' })
    const result = decoded([entry], '{"mg_l":7.9,"ts":"2027-01-10T03:11:58+01:00"}')
    expect(onlyArrival(result)).toMatchObject({
      value: 7.9,
      measuredAt: moment('2027-01-10T02:11:58Z'),
      claimed: 'good',
    })
  })

  it.each([
    ['1799546400', '2027-01-10T02:00:00Z'],
    ['1799546400.25', '2027-01-10T02:00:00.250Z'],
    ['1799546400000', '2027-01-10T02:00:00Z'],
    ['"1799546400"', '2027-01-10T02:00:00Z'],
  ])('takes %s as epoch seconds or milliseconds by its size', (written, expected) => {
    const result = decoded([json({ time: '/ts' })], `{"mg_l":7.9,"ts":${written}}`)
    expect(onlyArrival(result).measuredAt).toBe(moment(expected))
  })

  it.each([
    ['"yesterday"', 'the time ""yesterday"" cannot be read'],
    ['1799546400000000', 'the time "1799546400000000" cannot be read'],
    ['null', 'the time "null" cannot be read'],
  ])('is uncertain when the time is %s, since it could be an old reading', (written, why) => {
    const result = decoded([json({ time: '/ts' })], `{"mg_l":7.9,"ts":${written}}`)
    expect(onlyArrival(result)).toMatchObject({ value: 7.9, measuredAt: null, claimed: 'uncertain', why })
  })

  it('takes a number in a text, and says what else was there', () => {
    expect(onlyArrival(decoded([json()], '{"mg_l":"7.9"}')).value).toBe(7.9)
    expect(onlyArrival(decoded([json()], '{"mg_l":null}')).why).toBe(
      'the probe says that it has no value (null)',
    )
    expect(onlyArrival(decoded([json()], '{"mg_l":true}')).why).toBe('there is "true" instead of a number')
    expect(onlyArrival(decoded([json()], '{"mg_l":[7]}')).why).toBe('there is a list instead of a number')
    expect(onlyArrival(decoded([json()], '{"mg_l":{}}')).why).toBe('there is an object instead of a number')
  })

  it('takes several values from one message, and those that are there when one is not', () => {
    const entries = [
      json(),
      json({ signal: 'tank-1/water_temperature', value: '/c' }),
      json({ signal: 'tank-1/ph', value: '/ph' }),
    ]
    const result = decoded(entries, '{"mg_l":7.9,"c":24.5}')
    expect(arrivalsOf(result).map(({ signal, value }) => [signal, value])).toEqual([
      ['tank-1/dissolved_oxygen', 7.9],
      ['tank-1/water_temperature', 24.5],
    ])
    expect(result).toMatchObject({ passedOver: ['nothing at /ph'] })
  })

  it('never takes an inherited name for a value', () => {
    expect(decoded([json({ value: '/constructor' })], '{}')).toMatchObject({
      reason: 'nothing at /constructor',
    })
    expect(decoded([json({ value: '/__proto__/x' })], '{}')).toMatchObject({ kind: 'rejected' })
  })
})

describe('what cannot be understood is rejected with a reason', () => {
  it.each([
    ['not JSON', '{"mg_l":', 'not JSON: "{"mg_l":"'],
    ['no target', '{"other":1}', 'nothing at /mg_l'],
    ['too deep', `${'['.repeat(33)}1${']'.repeat(33)}`, 'the JSON is nested deeper than 32 levels'],
    ['empty', '', 'the payload is empty'],
    ['invalid UTF-8', new Uint8Array([0x22, 0xff, 0x22]), 'the payload is no valid UTF-8 text'],
    [
      'oversized',
      new Uint8Array(1024 * 1024),
      `the payload has 1048576 bytes; more than ${payloadMax} are not read`,
    ],
  ])('%s', (_, payload, reason) => {
    expect(decoded([json()], payload)).toEqual({ kind: 'rejected', topic: 'larkfield/tank1/do', reason })
  })

  it('counts brackets in strings as text', () => {
    expect(decoded([json()], `{"mg_l":1,"note":"${'['.repeat(99)}\\"["}`).kind).toBe('arrivals')
  })

  it.each([
    ['', 'the topic is empty'],
    ['a/+/b', 'a wildcard (+ or #) stands in the topic of a message'],
    ['a/'.repeat(40), 'the topic has more than 32 levels'],
    ['a'.repeat(600), 'the topic is longer than 512 characters'],
    ['a\0b', 'the topic contains a null character'],
  ])('topic %j', (topic, reason) => {
    expect(decoded([json()], '1', topic)).toMatchObject({ kind: 'rejected', reason })
  })
})

describe('topics', () => {
  const pattern = json({ topic: 'larkfield/{place}/{quantity}', signal: null, value: '/v' })

  it('are told apart by their words in braces', () => {
    const result = decoded([pattern], '{"v":6.9}', 'larkfield/tank-2/ph')
    expect(onlyArrival(result)).toMatchObject({ signal: 'tank-2/ph', value: 6.9 })
  })

  it('of a pattern with words that the farm does not know are unmapped, and say which', () => {
    expect(decoded([pattern], '1', 'larkfield/pond/ph')).toEqual({
      kind: 'unmapped',
      topic: 'larkfield/pond/ph',
      why: 'probes[0]: there is no place or equipment "pond"',
    })
    expect(decoded([pattern], '1', 'larkfield/tank-1/mood')).toMatchObject({
      why: 'probes[0]: there is no quantity "mood"',
    })
    expect(decoded([pattern], '1', 'elsewhere')).toMatchObject({
      why: 'no entry under probes: has this topic',
    })
  })

  it('may name the quantity in the entry', () => {
    const entry = bare({ topic: 'house/{place}/temp', signal: '{place}/water_temperature', unit: 'degF' })
    expect(onlyArrival(decoded([entry], '68', 'house/tank-3/temp'))).toMatchObject({
      signal: 'tank-3/water_temperature',
      value: 20,
    })
  })

  it('with an entry of their own go before patterns', () => {
    const own = bare({ topic: 'larkfield/tank-2/ph', signal: 'tank-3/ph' })
    expect(onlyArrival(decoded([pattern, own], '7', 'larkfield/tank-2/ph')).signal).toBe('tank-3/ph')
  })

  it('are asked for with the fewest filters', () => {
    const entries = [
      pattern,
      bare({ topic: 'larkfield/tank-2/ph' }),
      bare({ topic: 'other/do' }),
      json({ topic: 'other/do' }),
    ]
    expect(compileProbes(entries, names).filters()).toEqual(['larkfield/+/+', 'other/do'])
  })

  it('of the broker itself are not reached by a pattern in the first level (MQTT-4.7.2-1)', () => {
    const entry = bare({ topic: '{place}/{quantity}', signal: null })
    expect(decoded([entry], '1', '$SYS/uptime').kind).toBe('unmapped')
  })

  it('carry the retained flag on', () => {
    expect(onlyArrival(decoded([bare()], '7', 'larkfield/tank1/do', true)).retained).toBe(true)
  })
})

describe('an entry that could never work is refused with where it stands', () => {
  it.each([
    [bare({ topic: 'a/#' }), 'probes[0]: topic "a/#" ends in #'],
    [bare({ topic: 'a/+/b' }), 'probes[0]: topic "a/+/b" has a wildcard'],
    [bare({ topic: 'a/b+' }), 'probes[0]: topic "a/b+": + and # must fill a whole level'],
    [bare({ topic: 'a/{pond}' }), 'probes[0]: "{pond}" in topic "a/{pond}"'],
    [bare({ topic: 'a/x-{place}' }), 'probes[0]: "x-{place}" in topic "a/x-{place}"'],
    [
      bare({ topic: '{place}/{place}' }),
      'probes[0]: topic "{place}/{place}" has the same word in braces twice',
    ],
    [
      bare({ signal: null }),
      'probes[0]: topic "larkfield/tank1/do" does not say which place and quantity it is',
    ],
    [bare({ signal: 'pond/ph' }), 'probes[0]: there is no place or equipment "pond"'],
    [bare({ signal: 'tank-1/mood' }), 'probes[0]: there is no quantity "mood"'],
    [bare({ signal: 'tank-1' }), 'probes[0]: "tank-1" is no signal'],
    [json({ value: 'mg_l' }), 'probes[0]: "mg_l" is no JSON Pointer'],
    [json({ value: '/a~b' }), 'probes[0]: "/a~b" has a ~ alone'],
    [senml({ x: 'tank-1/mood' }), 'probes[0]: names: "x": there is no quantity "mood"'],
  ])('%#: %o', (entry, message) => {
    expect(() => compileProbes([entry], names)).toThrow(
      expect.objectContaining({ code: 'BW_CONFIG', message }),
    )
  })

  it('says which unit does not fit', () => {
    expect(() => compileProbes([bare({ unit: 'L/min' })], names)).toThrow(
      /^probes\[0\]: unit "L\/min" does not fit dissolved_oxygen \(mg\/L\)/,
    )
  })
})
