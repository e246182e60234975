import { z } from 'zod'
import { Fault } from '../errors.js'
import { unitCode } from '../units/convert.js'
import { signal, text, written } from '../units/settings.js'
import { filterFlaw } from './topic.js'

const refused = (wrong: string, right: string): never => {
  throw new Fault('BW_CONFIG', wrong, right)
}

/** A topic, or a form of one: `larkfield/{place}/{quantity}`. */
const topic = written(
  { examples: ['larkfield/tank-1/dissolved_oxygen', 'larkfield/{place}/{quantity}'] },
  (input) => {
    const right = 'write for example larkfield/tank-1/dissolved_oxygen or larkfield/{place}/{quantity}'
    if (typeof input !== 'string') return refused('a topic is due', right)
    const flaw = filterFlaw(input)
    if (flaw !== null) return refused(flaw, right)
    if (input.includes('#')) return refused('a topic may not end in #', 'write out the levels')
    const open = input.split('/').filter((level) => /[{}]/.test(level))
    const unknown = open.find((level) => level !== '{place}' && level !== '{quantity}')
    if (unknown !== undefined) {
      return refused(
        `"${unknown}" is not understood: {place} and {quantity} may be left open, as whole levels`,
        right,
      )
    }
    return new Set(open).size < open.length ? refused('the same word stands in braces twice', right) : input
  },
)

/** RFC 6901: empty for the whole, else each part behind a slash, with ~0 and ~1 for ~ and /. */
const pointer = (example: string) =>
  text(/^(\/([^~/]|~[01])*)*$/, 'a JSON Pointer (RFC 6901), which begins with a slash', example)

const probeSignal = text(
  /^([a-z0-9][a-z0-9_-]*|\{place\})\/([a-z][a-z0-9_]*|\{quantity\})$/,
  'a signal, that is place/quantity',
  'tank-1/dissolved_oxygen',
)

/** What a probe sends and how it is read. */
export const messageShape = {
  signal: probeSignal
    .optional()
    .describe('What is measured, place/quantity. Leave out where the topic or `names` says it.'),
  topic: topic
    .optional()
    .describe(
      'Where it is published. {place} and {quantity} make one entry of many signals; + stands for any level, with SenML only. Leave out for a signal that comes only by script or import.',
    ),
  format: z
    .enum(['number', 'json', 'senml'])
    .optional()
    .meta({ examples: ['senml'] })
    .describe(
      'How the message is written; without it, json where `value` is set, else a bare number. senml is RFC 8428.',
    ),
  value: pointer('/v')
    .optional()
    .describe('Where the value stands in a JSON message (JSON Pointer, RFC 6901).'),
  time: pointer('/ts')
    .optional()
    .describe('Where the time of measuring stands: RFC 3339, or epoch seconds or milliseconds.'),
  unit: written({ examples: ['mg/L'] }, (input) =>
    typeof input === 'string' ? unitCode(input) : refused('a unit is due', 'write for example mg/L'),
  )
    .optional()
    .describe("The unit that the probe sends; the quantity's own unit without it. Kept as its UCUM code."),
  names: z
    .record(
      z
        .string()
        .min(1)
        .meta({ examples: ['urn:dev:ow:10e2073a01080063'] }),
      signal('tank-3/water_temperature'),
    )
    .optional()
    .describe('Signal of each SenML name.'),
  words: z
    .boolean()
    .default(false)
    .describe('The value is a list of status words, as a UPS sends them (RFC 9271).'),
  via: text(/^[^\s/@]{1,64}$/, 'the name of a node, without spaces, / and @', 'node-7')
    .optional()
    .describe('Radio node or gateway that it comes through: its loss is one fault, node@<node>.'),
}
