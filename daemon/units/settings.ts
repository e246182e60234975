import { z } from 'zod'
import { Fault } from '../errors.js'
import { Secret } from '../secret.js'
import { measureIn, parseMeasure, type Measure } from './convert.js'
import type { Branded, Milliseconds } from './time.js'

// How single values are written in the configuration: measures, times, names, addresses, secrets. The settings of all
// rooms are made of these.

/** What editors and the reference page are told about a value that is written as text. */
export interface Spelling {
  readonly examples: readonly (string | number)[]
  readonly pattern?: string
  /** JSON types that may stand there; text alone unless said otherwise. */
  readonly type?: 'string' | readonly string[]
  /** The unit that it is kept in. */
  readonly unit?: string
}

const refused = (wrong: string, right: string): never => {
  throw new Fault('BW_CONFIG', wrong, right)
}

/**
 * A value that `read` makes from what is written. What `read` throws as a Fault becomes a problem: its message is what
 * is wrong, its hint what would be right.
 */
export const written = <Value>(spelling: Spelling, read: (input: unknown) => Value) =>
  z
    .unknown()
    .meta({ type: 'string', ...spelling })
    .transform((input, context): Value => {
      try {
        return read(input)
      } catch (cause) {
        if (!(cause instanceof Fault)) throw cause
        context.issues.push({ code: 'custom', message: cause.message, params: { right: cause.hint }, input })
        return z.NEVER
      }
    })

/** Text of a fixed form. */
export const text = (form: RegExp, what: string, example: string) =>
  written({ examples: [example], pattern: form.source }, (input) => {
    if (typeof input !== 'string') return refused(`${what} is due`, `write for example ${example}`)
    return form.test(input) ? input : refused(`is not ${what}`, `write for example ${example}`)
  })

/** The name of something declared: a place, a person, an alarm, a ladder. */
export const id = (example: string) =>
  text(/^[a-z0-9][a-z0-9_-]{0,63}$/, 'a name of small letters, digits, - and _', example)

/** `tank-1/dissolved_oxygen` */
export const signal = (example: string) =>
  text(/^[a-z0-9][a-z0-9_-]*\/[a-z][a-z0-9_]*$/, 'a signal, that is place/quantity', example)

interface Kind {
  readonly what: string
  readonly unit: string
  readonly example: string
  /** Both ends belong to it. */
  readonly range?: readonly [low: number, high: number]
}

/** A measure of a known kind, kept in `kind.unit`. */
export const measured = <Unit extends string>(kind: Kind) =>
  written({ examples: [kind.example], unit: kind.unit }, (input): Branded<Unit> => {
    const value = inUnit(kind, input)
    const [low, high] = kind.range ?? [-Infinity, Infinity]
    if (value >= low && value <= high) return value as Branded<Unit>
    const bounds =
      high === Infinity || high === Number.MAX_VALUE
        ? `be at least ${low} ${kind.unit}`
        : `lie between ${low} and ${high} ${kind.unit}`
    return refused(`${kind.what} must ${bounds}`, `write for example ${kind.example}`)
  })

function inUnit(kind: Kind, input: unknown): number {
  const right = `write for example ${kind.example}`
  if (typeof input === 'number')
    return refused(`a bare number where ${kind.what} with its unit is due`, right)
  if (typeof input !== 'string') return refused(`${kind.what} is due`, right)
  const measure = parseMeasure(input)
  if (measure.unit === '1' && kind.unit !== '1') {
    return refused(`a bare number where ${kind.what} with its unit is due`, right)
  }
  try {
    return measureIn(measure, kind.unit)
  } catch (cause) {
    if (!(cause instanceof Fault)) throw cause
    return refused(`${measure.unit} does not measure ${kind.what}`, right)
  }
}

const positive: readonly [number, number] = [Number.MIN_VALUE, Infinity]
const zeroUp: readonly [number, number] = [0, Infinity]

/** A length of time, zero allowed. */
export const duration = (example: string) =>
  written({ examples: [example], unit: 'ms' }, (input) => lengthOfTime(input, example, 0))

/** A length of time of at least one millisecond. */
export const period = (example: string) =>
  written({ examples: [example], unit: 'ms' }, (input) => lengthOfTime(input, example, 1))

function lengthOfTime(input: unknown, example: string, least: number): Milliseconds {
  const value = inUnit({ what: 'a length of time', unit: 'ms', example }, input)
  if (value >= least && value <= longest) return Math.round(value) as Milliseconds
  return refused(
    value > longest
      ? 'is longer than a thousand years'
      : `a length of time must be ${least === 0 ? '0 s or more' : 'more than 0 s'}`,
    `write for example ${example}`,
  )
}

/** A thousand years: what is longer is a slip of the unit, and no due time could be computed from it. */
const longest = 1000 * 365.25 * 86_400_000

export const altitude = (example: string) =>
  measured<'m'>({ what: 'an altitude', unit: 'm', example, range: [-500, 9000] })
/** A height of water, in the canonical unit of `water_level`. */
export const level = (example: string) => measured<'cm'>({ what: 'a height of water', unit: 'cm', example })
export const area = (example: string) =>
  measured<'m2'>({ what: 'an area', unit: 'm2', example, range: positive })
export const volume = (example: string) =>
  measured<'m3'>({ what: 'a volume', unit: 'm3', example, range: positive })
export const volumeInLitres = (example: string) =>
  measured<'L'>({ what: 'a volume', unit: 'L', example, range: positive })
export const mass = (example: string) =>
  measured<'kg'>({ what: 'a mass', unit: 'kg', example, range: zeroUp })
export const power = (example: string) =>
  measured<'W'>({ what: 'a power', unit: 'W', example, range: zeroUp })
export const share = (example: string) =>
  measured<'fraction of one'>({ what: 'a share', unit: '1', example, range: [0, 1] })
export const concentration = (example: string) =>
  measured<'mg/L'>({ what: 'a concentration', unit: 'mg/L', example, range: zeroUp })
export const temperature = (example: string) =>
  measured<'Cel'>({ what: 'a temperature', unit: 'Cel', example, range: [-60, 100] })
/** pH, the one value that may stand bare. */
export const acidity = (example: number) =>
  z
    .number()
    .min(0)
    .max(14)
    .meta({ examples: [example] })
/** Feed a day for an area of plants. */
export const feedForArea = (example: string) =>
  measured<'g/(m2.d)'>({ what: 'feed for an area', unit: 'g/(m2.d)', example, range: positive })
export const specificSurface = (example: string) =>
  measured<'m2/m3'>({ what: 'a specific surface', unit: 'm2/m3', example, range: positive })
export const heatTransfer = (example: string) =>
  measured<'W/(m2.K)'>({ what: 'a heat transfer coefficient', unit: 'W/(m2.K)', example, range: positive })
export const airChanges = (example: string) =>
  measured<'1/h'>({ what: 'a number of air changes', unit: '1/h', example, range: zeroUp })

/** Said of values whose unit depends on their quantity. */
export const anyUnit = 'as its quantity'

/**
 * A value whose unit depends on the signal: kept as written, converted when the signal is known. A bare number is kept
 * with UCUM's unit `1`: right for pH and plain numbers, refused elsewhere when the farm is planned.
 */
export const limit = (example: string) =>
  written({ examples: [example], type: ['string', 'number'], unit: anyUnit }, (input) =>
    limitFrom(input, example),
  )

/** Two limits, the lower first. */
export const limitRange = (low: string, high: string) => z.tuple([limit(low), limit(high)])

function limitFrom(input: unknown, example: string): Measure {
  if (typeof input === 'number' && Number.isFinite(input)) return { value: input, unit: '1' }
  if (typeof input !== 'string')
    return refused('a value with its unit is due', `write for example ${example}`)
  return parseMeasure(input)
}

/** Something wrong among the keys of one mapping. */
export interface Misfit {
  /** Where, below the mapping: `['plausible', 1]`. */
  readonly at: readonly (string | number)[]
  readonly wrong: string
  readonly right: string
}

/**
 * A rule about several keys of a mapping, for `superRefine(rule(…), always)`. It is asked also while single keys are
 * wrong, so that everything is told at once; it does not see their values then, but `given` has all keys that stand there.
 */
export const rule =
  <Value extends object>(find: (value: Partial<Value>, given: ReadonlySet<string>) => readonly Misfit[]) =>
  (value: Value, context: z.RefinementCtx): void => {
    // What is no mapping at all has been told already.
    if (typeof value !== 'object' || value === null || Array.isArray(value)) return
    const wrong = new Set(context.issues.map((issue) => issue.path?.[0]))
    const sound = Object.fromEntries(Object.entries(value).filter(([key]) => !wrong.has(key)))
    const given = new Set([...Object.keys(value), ...wrong].map(String))
    // What is left of the mapping are keys of it.
    for (const misfit of find(sound as Partial<Value>, given)) {
      context.addIssue({
        code: 'custom',
        message: misfit.wrong,
        params: { right: misfit.right },
        path: [...misfit.at],
      })
    }
  }

export const always = { when: () => true }

/** What `read` has against a value; nothing when it fits, or when there is none. */
export function misfits(
  at: readonly (string | number)[],
  value: Measure | undefined,
  read: (value: Measure) => number,
): readonly Misfit[] {
  if (value === undefined) return []
  try {
    read(value)
    return []
  } catch (cause) {
    if (!(cause instanceof Fault)) throw cause
    return [{ at, wrong: cause.message, right: cause.hint }]
  }
}

/** How fast is too fast. */
export interface RateLimit {
  /** 'either' when it was written without a sign. */
  readonly way: 'rising' | 'falling' | 'either'
  /** Positive; unit of the signal by a unit of time, as written. */
  readonly limit: Measure
  /** Newest sample against the oldest within this span; null compares neighbouring samples. */
  readonly over: Milliseconds | null
}

/** `0.05 mg/L/min`, with a sign for one way only, or that as `limit` with `over`. */
export const rateLimit = () => {
  const limit = written({ examples: ['0.05 mg/L/min', '-0.5 K/h'] }, rateFrom)
  return z.union([
    limit.transform((rate): RateLimit => ({ ...rate, over: null })),
    z
      .strictObject({
        limit: limit.describe('Change in a time; a sign in front counts one way only.'),
        over: period('10 min').describe('The newest sample is compared with the oldest within this span.'),
      })
      .transform(({ limit: rate, over }): RateLimit => ({ ...rate, over })),
  ])
}

function rateFrom(input: unknown): Omit<RateLimit, 'over'> {
  const right = 'write for example 0.05 mg/L/min (either way), +0.5 K/h (rising) or -0.5 K/h (falling)'
  if (typeof input !== 'string') return refused('a rate with its unit is due', right)
  const { value, unit } = parseMeasure(input)
  const way = /^\s*\+/.test(input) ? 'rising' : value < 0 ? 'falling' : 'either'
  if (value === 0) return refused('a rate of 0 would always be exceeded', right)
  return { way, limit: { value: Math.abs(value), unit } }
}

/** A time of the day, `07:00`, kept as minutes since local midnight. */
export const timeOfDay = (example: string) =>
  written({ examples: [example], pattern: '^([01]?[0-9]|2[0-3]):[0-5][0-9]$' }, (input) => {
    const parts = typeof input === 'string' ? /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(input) : null
    if (parts === null) return refused('is no time of the day', `write for example "${example}"`)
    return Number(parts[1]) * 60 + Number(parts[2])
  })

/** One thing or a list of them; kept as a list. */
export const oneOrMore = <Item extends z.ZodType>(item: Item) =>
  z.union([z.array(item).min(1), item.transform((only) => [only])])

/** Where a server listens. */
export interface ListenAddress {
  readonly host: string
  readonly port: number
}

/** `127.0.0.1:1883` or `[::1]:1883`; port 0 takes any free one. */
export const listenAddress = (example: string) =>
  written({ examples: [example] }, (input): ListenAddress => {
    const right = `write host:port, for example ${example}`
    const parts =
      typeof input === 'string' ? /^(\[[0-9A-Fa-f:.]+\]|[^\s:[\]/]+):(\d{1,5})$/.exec(input) : null
    if (parts === null) return refused('is no address to listen on', right)
    const [, host = '', port = ''] = parts
    return Number(port) <= 65_535
      ? { host: host.replace(/^\[|\]$/g, ''), port: Number(port) }
      : refused('no port is above 65535', right)
  })

/** A URL of one of these schemes, without a user in it: names and passwords have keys of their own. */
export const url = (schemes: readonly string[], example: string) =>
  written({ examples: [example] }, (input) => {
    const right = `write for example ${example}`
    if (typeof input !== 'string' || !URL.canParse(input)) return refused('is no URL', right)
    const parsed = new URL(input)
    if (!schemes.includes(parsed.protocol.slice(0, -1)))
      return refused(`a URL here begins with ${schemes.map((scheme) => `${scheme}://`).join(' or ')}`, right)
    if (parsed.username !== '' || parsed.password !== '') {
      return refused('a URL may not hold a user or password', 'use the keys username and password_file')
    }
    return input
  })

/** A secret from the environment. What the loader finds written out never gets here. */
export const secret = (variable: string) =>
  written({ examples: [`\${${variable}}`] }, (input) =>
    input instanceof Secret
      ? input
      : refused('a secret from the environment is due', `write \${${variable}}`),
  )

/** A file whose content is the value; the loader has read it. */
export const secretFile = (example: string) =>
  written({ examples: [example] }, (input) =>
    input instanceof Secret ? input : refused('the name of a file is due', `write for example ${example}`),
  )

/** Text that may hold a secret (a header, an address with a key in it): shown nowhere. */
export const secretText = (example: string) =>
  written({ examples: [example] }, (input) =>
    typeof input === 'string' && input !== ''
      ? new Secret(input)
      : refused('text is due', `write for example ${example}`),
  )
