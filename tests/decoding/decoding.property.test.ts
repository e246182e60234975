import fc from 'fast-check'
import { expect, it } from 'vitest'
import { compileProbes } from '../../daemon/decoding/compile-probes.js'
import { draftEntries } from '../../daemon/decoding/draft.js'
import { covers, filterMatches, minimalFilters } from '../../daemon/decoding/topic.js'
import type { Decoded } from '../../daemon/decoding/probe-entry.js'
import { bare, bytes, json, names, received, senml } from './builders.js'

const decoder = compileProbes(
  [
    bare({ topic: 'bare' }),
    json({ topic: 'json', value: '/v', time: '/t', unit: 'mg/L' }),
    json({ topic: 'list', value: '/0/v', signal: 'house-supply/present' }),
    json({ topic: 'words', value: '', signal: 'house-supply/status', words: true }),
    senml({ a: 'tank-1/water_temperature', 'b:c': 'tank-1/ph' }, { topic: 'senml' }),
    json({ topic: 'p/{place}/{quantity}', signal: null, value: '/v' }),
  ],
  names,
)
const topics = fc.constantFrom('bare', 'json', 'list', 'words', 'senml', 'p/tank-1/ph', 'p/x/y', 'other')

function isSound(result: Decoded): boolean {
  if (result.kind !== 'arrivals') return true
  return result.arrivals.every(
    ({ value, measuredAt, why, claimed }) =>
      (value === null
        ? why !== undefined && claimed === 'bad'
        : typeof value === 'string' || Number.isFinite(value)) &&
      (measuredAt === null || Number.isSafeInteger(measuredAt)),
  )
}

it('decoding never throws and never gives a value that is no number, whatever bytes come', () => {
  fc.assert(
    fc.property(
      fc.oneof(topics, fc.string()),
      fc.uint8Array({ maxLength: 200 }),
      fc.boolean(),
      (topic, payload, retained) => {
        expect(isSound(decoder.decode(topic, payload, received, { retained }))).toBe(true)
      },
    ),
    { numRuns: 2000 },
  )
})

const senmlLike = fc.array(
  fc.record(
    {
      bn: fc.constantFrom('b:', '', 'x'), bt: fc.double(), bv: fc.double(), bver: fc.integer(), n: fc.constantFrom('a', 'c', ''),
      u: fc.constantFrom('Cel', 'K', 'pH', 'nonsense', '__proto__'), v: fc.double(), vs: fc.string(), vb: fc.boolean(), t: fc.double(), s: fc.double(),
    }, // prettier-ignore
    { requiredKeys: [] },
  ),
)

it('decoding never throws on any JSON', () => {
  const likely = fc.record({ v: fc.jsonValue(), t: fc.jsonValue() })
  fc.assert(
    fc.property(topics, fc.oneof(fc.jsonValue(), likely, senmlLike), (topic, document) => {
      const payload = bytes(JSON.stringify(document))
      expect(isSound(decoder.decode(topic, payload, received, { retained: false }))).toBe(true)
      const heard = { topic, payload, count: 3, firstAt: received, lastAt: received }
      expect(draftEntries(heard, ['tank-1']).length).toBeLessThanOrEqual(12)
    }),
    { numRuns: 2000 },
  )
})

it('a number comes through as it was written', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      const result = decoder.decode('bare', bytes(String(value)), received, { retained: false })
      expect(result.kind === 'arrivals' && result.arrivals[0]?.value).toBe(value + 0)
    }),
  )
})

const level = fc.constantFrom('a', 'b', '')
const topicOf = fc.array(level, { minLength: 1, maxLength: 4 }).map((levels) => levels.join('/'))
const filterOf = fc
  .tuple(fc.array(fc.constantFrom('a', 'b', '', '+'), { minLength: 1, maxLength: 4 }), fc.boolean())
  .map(([levels, open]) => [...levels, ...(open ? ['#'] : [])].join('/'))

it('the fewest filters match what all of them matched, and none covers another', () => {
  fc.assert(
    fc.property(fc.array(filterOf, { maxLength: 8 }), topicOf, (filters, topic) => {
      const fewest = minimalFilters(filters)
      const matchedBy = (list: readonly string[]) => list.some((filter) => filterMatches(filter, topic))
      expect(matchedBy(fewest)).toBe(matchedBy(filters))
      for (const one of fewest)
        expect(fewest.some((other) => other !== one && covers(other, one))).toBe(false)
    }),
    { numRuns: 1000 },
  )
})
