import { Fault } from '../errors.js'
import type { EpochMs } from '../units/time.js'
import { knownTopicsMax } from './limits.js'
import { readerOf, type Found, type Message, type MessageReader } from './message-reader.js'
import { excerpt, jsonDocument, payloadText, type Parsed } from './payload-text.js'
import type { Decoded, Decoder, MessageFlags, Names, ProbeEntry } from './probe-entry.js'
import { minimalFilters, topicFlaw } from './topic.js'
import { placeholdersIn, topicPattern, type TopicPattern } from './topic-pattern.js'

/** What a topic means: who reads it, or why nobody does. */
type Route =
  | { readonly kind: 'read'; readonly readers: readonly MessageReader[] }
  | { readonly kind: 'unmapped'; readonly why: string }

interface Pattern {
  readonly entry: ProbeEntry
  readonly pattern: TopicPattern
}

const unmapped = (why: string): Route => ({ kind: 'unmapped', why })

/**
 * Makes the table that says what every message means. An entry with a topic of its own goes before patterns that
 * would match it too; several entries for one topic each take their part of the message.
 * Throws BW_CONFIG for an entry that could never work (bad topic, pointer, signal or unit), with where it stands.
 */
export function compileProbes(entries: readonly ProbeEntry[], names: Names): Decoder {
  const exact = new Map<string, MessageReader[]>()
  const patterns: Pattern[] = []
  for (const entry of entries) {
    const pattern = topicPattern(entry.topic, entry.at, entry.format === 'senml')
    checkSignal(entry, pattern)
    if (pattern.isExact) {
      exact.set(entry.topic, [...(exact.get(entry.topic) ?? []), readerOf(entry, names, {})])
      continue
    }
    // What does not depend on the topic can be checked now; the rest only when a topic has come.
    if (pattern.names.size === 0) readerOf(entry, names, {})
    patterns.push({ entry, pattern })
  }
  const routes = new Map<string, Route>(
    [...exact].map(([topic, readers]) => [topic, { kind: 'read', readers }]),
  )
  const routeOf = rememberedRoutes(routes, patterns, names)
  const filters = minimalFilters([...exact.keys(), ...patterns.map(({ pattern }) => pattern.filter)])
  return {
    filters: () => filters,
    decode(topic, payload, received, flags) {
      const flaw = topicFlaw(topic)
      if (flaw !== null) return { kind: 'rejected', topic: topic.slice(0, 80), reason: flaw }
      const route = routeOf(topic)
      return route.kind === 'unmapped'
        ? { kind: 'unmapped', topic, why: route.why }
        : decodeBy(route.readers, topic, payload, { received, ...flags })
    },
  }
}

/** Why most unmapped messages are so. */
export const noEntry = 'no entry under probes: has this topic'

/** Every word in braces of the signal must be one that the topic fills in. */
function checkSignal(entry: ProbeEntry, pattern: TopicPattern): void {
  if (entry.format === 'senml') return
  const wanted = (entry.signal ?? '{place}/{quantity}').matchAll(/\{(\w*)\}/g)
  const missing = [...wanted].map(([, name = '']) => name).filter((name) => !pattern.names.has(name))
  if (missing.length === 0) return
  throw new Fault(
    'BW_CONFIG',
    `${entry.at}: topic "${entry.topic}" does not say which ${missing.join(' and ')} it is`,
    entry.signal === null ? 'add signal: place/quantity' : 'put the word in braces into the topic as well',
  )
}

/** Topics of patterns are resolved once and remembered; anybody may invent topics, so the memory has a ceiling. */
function rememberedRoutes(
  exact: ReadonlyMap<string, Route>,
  patterns: readonly Pattern[],
  names: Names,
): (topic: string) => Route {
  const resolved = new Map<string, Route>()
  return (topic) => {
    const known = exact.get(topic) ?? resolved.get(topic)
    if (known !== undefined) return known
    const route = resolve(topic, patterns, names)
    if (resolved.size >= knownTopicsMax) resolved.clear()
    resolved.set(topic, route)
    return route
  }
}

function resolve(topic: string, patterns: readonly Pattern[], names: Names): Route {
  const levels = topic.split('/')
  const readers: MessageReader[] = []
  let why = noEntry
  for (const { entry, pattern } of patterns) {
    const placeholders = placeholdersIn(pattern, levels)
    if (placeholders === null) continue
    try {
      readers.push(readerOf(entry, names, placeholders))
    } catch (cause) {
      // The topic fits the pattern, its words fit nothing on the farm: that is for `listen` to show, no failure.
      if (!(cause instanceof Fault)) throw cause
      why = cause.message
    }
  }
  return readers.length > 0 ? { kind: 'read', readers } : unmapped(why)
}

/** Reasons told of one message; a pack could hold a thousand. */
const reasonsTold = 3

function decodeBy(
  readers: readonly MessageReader[],
  topic: string,
  payload: Uint8Array,
  about: { readonly received: EpochMs } & MessageFlags,
): Decoded {
  const text = payloadText(payload)
  if (text.kind === 'flawed') return { kind: 'rejected', topic, reason: text.reason }
  const found: Found = { arrivals: [], passedOver: [], strangers: [] }
  const message: Message = { text: text.value, document: once(() => jsonDocument(text.value)), ...about }
  for (const read of readers) read(message, found)
  if (found.arrivals.length > 0) {
    return { kind: 'arrivals', topic, arrivals: found.arrivals, passedOver: found.passedOver }
  }
  if (found.passedOver.length === 0) return { kind: 'unmapped', topic, why: strangersTold(found.strangers) }
  return { kind: 'rejected', topic, reason: [...new Set(found.passedOver)].slice(0, reasonsTold).join('; ') }
}

function strangersTold(strangers: readonly string[]): string {
  if (strangers.length === 0) return 'the pack is empty'
  return `no entry has the name ${strangers
    .slice(0, reasonsTold)
    .map((name) => excerpt(name, 80))
    .join(', ')}`
}

function once<Value>(make: () => Parsed<Value>): () => Parsed<Value> {
  let made: Parsed<Value> | null = null
  return () => (made ??= make())
}
