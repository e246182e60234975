import { compileProbes } from '../../daemon/decoding/compile-probes.js'
import type {
  BareEntry,
  Decoded,
  JsonEntry,
  Names,
  ProbeEntry,
  SenmlEntry,
} from '../../daemon/decoding/probe-entry.js'
import type { Arrival } from '../../daemon/readings/reading.js'
import { quantityNamed } from '../../daemon/units/quantities.js'
import { parseRfc3339, type EpochMs } from '../../daemon/units/time.js'

export const names: Names = {
  quantity: quantityNamed,
  isPlace: (id) => ['tank-1', 'tank-2', 'tank-3', 'blower-a', 'house-supply'].includes(id),
}

const base = { at: 'probes[0]', topic: 'larkfield/tank1/do', signal: 'tank-1/dissolved_oxygen', unit: null }
export const bare = (over: Partial<BareEntry> = {}): BareEntry => ({
  ...base,
  format: 'bare',
  words: false,
  ...over,
})
export const json = (over: Partial<JsonEntry> = {}): JsonEntry => ({
  ...base,
  format: 'json',
  words: false,
  value: '/mg_l',
  time: null,
  ...over,
})
export const senml = (map: Record<string, string>, over: Partial<SenmlEntry> = {}): SenmlEntry => ({
  at: 'probes[0]',
  topic: 'larkfield/node7',
  unit: null,
  format: 'senml',
  names: map,
  ...over,
})

export const moment = (text: string): EpochMs => {
  const at = parseRfc3339(text)
  if (at === null) throw new Error(`not a time: ${text}`)
  return at
}
export const received = moment('2027-01-10T02:12:00Z')

export const bytes = (text: string): Uint8Array => new TextEncoder().encode(text)

/** What the entries make of one message on the first entry's topic. */
export function decoded(
  entries: readonly ProbeEntry[],
  payload: string | Uint8Array,
  topic = entries[0]?.topic ?? '',
  retained = false,
): Decoded {
  const raw = typeof payload === 'string' ? bytes(payload) : payload
  return compileProbes(entries, names).decode(topic, raw, received, { retained })
}

export function arrivalsOf(result: Decoded): readonly Arrival[] {
  if (result.kind !== 'arrivals') throw new Error(`expected arrivals, got ${JSON.stringify(result)}`)
  return result.arrivals
}

export function onlyArrival(result: Decoded): Arrival {
  const [first, ...others] = arrivalsOf(result)
  if (first === undefined || others.length > 0)
    throw new Error(`expected one arrival, got ${JSON.stringify(result)}`)
  return first
}
