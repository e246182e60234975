import fc from 'fast-check'
import type { AlarmFacts, MessageFacts } from '../../daemon/callout/message-facts.js'
import type { Manner } from '../../daemon/callout/manner.js'
import { modes } from '../../daemon/callout/words/words.js'
import { priorities } from '../../daemon/alarms/rule.js'
import { quantities } from '../../daemon/units/quantities.js'
import { epochMs } from '../../daemon/units/time.js'

/** Names as keepers might write them, and as nobody should: any script, up to 60 characters, endless words, digits. */
export const names = fc.oneof(
  fc.constantFrom('tank 1', 'Blower A', 'Northern greenhouse nursery tank 12', 'Balsa de cría nº 3'),
  fc.string({ unit: 'grapheme', minLength: 1, maxLength: 60 }),
  fc.string({ unit: 'binary', minLength: 1, maxLength: 60 }),
  fc.string({ unit: fc.constantFrom('€', '…', 'Щ', '7', 'x', ' ', '.', '½'), minLength: 1, maxLength: 60 }),
  fc
    .array(fc.string({ unit: fc.constantFrom('a', 'm', 'ü', '3', '-'), minLength: 1, maxLength: 12 }), {
      minLength: 1,
      maxLength: 8,
    })
    .map((words) => words.join(' ').slice(0, 60)),
)

const numbers = fc.oneof(
  fc.double({ min: 0, max: 60, noNaN: true }),
  fc.double({ min: -1e9, max: 1e9, noNaN: true }),
  fc.constantFrom(0, -0, 1e-7, 1e21, 4.4999999),
)
const moments = fc.integer({ min: 1_760_000_000_000, max: 1_800_000_000_000 }).map(epochMs)
const mode = fc.oneof(fc.constantFrom<string>(...modes), names)

const measured = fc
  .oneof(
    fc.constantFrom(...quantities.map(({ name, unit }) => ({ name, unit }))),
    names.map((name) => ({ name, unit: 'mg/L' })),
  )
  .chain(({ name, unit }) =>
    fc.record({
      quantity: fc.constant(name),
      value: fc.oneof({ weight: 6, arbitrary: numbers }, { weight: 1, arbitrary: names }, fc.constant(null)),
      unit: fc.constantFrom(unit, `${unit}/min`),
      limit: fc.oneof({ weight: 6, arbitrary: numbers }, fc.constantFrom('OB LB', null)),
      beyond: fc.constantFrom('above' as const, 'below' as const, 'other' as const),
      trend: fc.constantFrom('falling' as const, 'rising' as const, 'steady' as const, 'unknown' as const),
    }),
  )

export const alarms: fc.Arbitrary<AlarmFacts> = fc.record({
  alarm: fc.constant('oxygen-low@tank-1'),
  rule: fc.constantFrom('oxygen-low', 'mains-lost', 'bad-measurement'),
  occurrence: fc.integer({ min: 1, max: 99 }),
  number: fc.integer({ min: 1, max: 9_999_999 }),
  priority: fc.constantFrom(...priorities),
  where: names,
  measured: fc.option(measured, { freq: 4 }),
  mode: fc.option(mode),
  since: moments,
  minutesLeft: fc.option(
    fc.record({
      minutes: fc.double({ min: -5, max: 1e6, noNaN: true }),
      limit: fc.double({ min: 0, max: 9, noNaN: true }),
      where: fc.option(names),
    }),
  ),
  likely: fc.option(fc.record({ of: names, mode })),
  response: fc.option(fc.oneof(fc.lorem({ mode: 'sentences', maxCount: 4 }), names)),
  consequence: fc.option(fc.lorem({ mode: 'sentences', maxCount: 2 })),
})

const many = fc.array(alarms, { maxLength: 12 })

export const messages: fc.Arbitrary<MessageFacts> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      kind: fc.constant('activation' as const),
      farm: names,
      alarm: alarms,
      also: many,
      chattering: fc.boolean(),
      step: fc.integer({ min: 0, max: 5 }),
      tried: fc.array(names, { maxLength: 5 }),
      again: fc.boolean(),
    }),
  },
  fc.record({
    kind: fc.constant('follow-up' as const),
    farm: names,
    alarm: alarms,
    also: many,
    returnedAt: moments,
  }),
  fc.record({
    kind: fc.constant('digest' as const),
    farm: names,
    alarms: many,
    closing: fc.boolean(),
    activations: fc.integer({ min: 1, max: 9999 }),
  }),
  fc.record({
    kind: fc.constant('chattering' as const),
    farm: names,
    alarm: alarms,
    activations: fc.integer({ min: 1, max: 9999 }),
    over: fc.constant(true as const),
  }),
  fc.record({
    kind: fc.constant('test' as const),
    farm: names,
    number: fc.integer({ min: 1, max: 9_999_999 }),
  }),
  fc.record({
    kind: fc.constant('interruption' as const),
    farm: names,
    from: moments,
    to: moments,
    alarms: many,
  }),
  fc.record({
    kind: fc.constant('out-of-service-reminder' as const),
    farm: names,
    alarm: alarms,
    until: moments,
    by: names,
  }),
  fc.record({ kind: fc.constant('morning' as const), farm: names, alarms: many }),
)

export const manners: fc.Arbitrary<Manner> = fc.record({
  language: fc.constantFrom('en', 'es', 'es-MX', 'fi'),
  showUnits: fc.constantFrom('metric' as const, 'us' as const),
  timeZone: fc.constantFrom('Europe/London', 'America/St_Johns', 'Asia/Kathmandu', 'Pacific/Apia'),
  now: moments,
})
