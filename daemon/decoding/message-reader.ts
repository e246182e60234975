import { Fault } from '../errors.js'
import { worse, type Arrival } from '../readings/reading.js'
import { signalName, signalParts, type SignalName } from '../readings/signal.js'
import { converter, type Conversion } from '../units/convert.js'
import type { Quantity } from '../units/quantities.js'
import type { EpochMs } from '../units/time.js'
import { pointerPath, valueAt, type Path } from './json-pointer.js'
import { knownUnitsMax } from './limits.js'
import { excerpt, type Parsed } from './payload-text.js'
import type { BareEntry, JsonEntry, Names, SenmlEntry } from './probe-entry.js'
import { resolveSenml, unitOfSenml, type SenmlRecord } from './senml.js'
import { momentIn } from './time-stamp.js'
import { filledIn, type Placeholders } from './topic-pattern.js'
import { valueReader, type ReadValue } from './value.js'

/** A message opened as far as needed: parsed at most once, however many entries read it. */
export interface Message {
  readonly text: string
  readonly document: () => Parsed<unknown>
  readonly received: EpochMs
  readonly retained: boolean
}

/** What the entries of a topic found in a message. */
export interface Found {
  readonly arrivals: Arrival[]
  /** Asked for and not there, in words. */
  readonly passedOver: string[]
  /** Names in it that no entry mentions. */
  readonly strangers: string[]
}

/** Reads its part of a message into `found`. */
export type MessageReader = (message: Message, found: Found) => void

/** The reader of an entry for one topic. Throws BW_CONFIG or BW_UNIT when signal, quantity or unit do not fit. */
export function readerOf(
  entry: BareEntry | JsonEntry | SenmlEntry,
  names: Names,
  placeholders: Placeholders,
): MessageReader {
  if (entry.format === 'senml') return senmlReader(entry, names)
  const target = targetOf(filledIn(entry.signal ?? '{place}/{quantity}', placeholders), entry.at, names)
  const quantity: Quantity = entry.words ? { ...target.quantity, kind: 'words' } : target.quantity
  const read = valueReader(quantity, conversionTo(quantity, entry.unit, entry.at))
  return entry.format === 'bare' ? bareReader(target.signal, read) : jsonReader(entry, target.signal, read)
}

function targetOf(text: string, at: string, names: Names): { signal: SignalName; quantity: Quantity } {
  const parts = signalParts(text)
  if (parts === null) throw new Fault('BW_CONFIG', `${at}: "${text}" is no signal`, 'write place/quantity')
  if (!names.isPlace(parts.place))
    throw new Fault('BW_CONFIG', `${at}: there is no place or equipment "${parts.place}"`)
  const quantity = names.quantity(parts.quantity)
  if (quantity === undefined) throw new Fault('BW_CONFIG', `${at}: there is no quantity "${parts.quantity}"`)
  return { signal: signalName(parts.place, parts.quantity), quantity }
}

const unchanged: Conversion = (value) => value

function conversionTo(quantity: Quantity, unit: string | null, at: string): Conversion {
  if (unit === null || quantity.kind !== 'number') return unchanged
  try {
    return converter(unit, quantity.unit)
  } catch (cause) {
    const why = cause instanceof Fault ? cause.message : String(cause)
    throw new Fault(
      'BW_CONFIG',
      `${at}: unit "${unit}" does not fit ${quantity.name} (${quantity.unit}): ${why}`,
      '',
      { cause },
    )
  }
}

const bareReader =
  (signal: SignalName, read: (raw: unknown) => ReadValue): MessageReader =>
  (message, found) => {
    found.arrivals.push(arrival(signal, read(message.text), null, message.retained))
  }

function jsonReader(entry: JsonEntry, signal: SignalName, read: (raw: unknown) => ReadValue): MessageReader {
  const valuePath = pointerPath(entry.value, entry.at)
  const timePath = entry.time === null ? null : pointerPath(entry.time, entry.at)
  return (message, found) => {
    const document = message.document()
    if (document.kind === 'flawed') return void found.passedOver.push(document.reason)
    const raw = valueAt(document.value, valuePath)
    if (raw === undefined) return void found.passedOver.push(`nothing at ${entry.value}`)
    found.arrivals.push(
      withTime(arrival(signal, read(raw), null, message.retained), document.value, timePath),
    )
  }
}

/**
 * A time that cannot be read leaves the reading without one and uncertain: it may be an old one from a probe's own
 * memory, and an uncertain reading cannot clear an alarm (AL-16).
 */
function withTime(given: Arrival, document: unknown, path: Path | null): Arrival {
  if (path === null) return given
  const raw = valueAt(document, path)
  const measuredAt = momentIn(raw)
  if (measuredAt !== null) return { ...given, measuredAt }
  const flaw =
    raw === undefined
      ? 'the time is missing in the message'
      : `the time ${excerpt(String(JSON.stringify(raw)))} cannot be read`
  return { ...given, claimed: worse(given.claimed, 'uncertain'), why: given.why ?? flaw }
}

function senmlReader(entry: SenmlEntry, names: Names): MessageReader {
  const targets = new Map<string, (record: SenmlRecord) => ReadValue | string>()
  const signals = new Map<string, SignalName>()
  for (const [name, text] of Object.entries(entry.names)) {
    const { signal, quantity } = targetOf(text, `${entry.at}: names: "${name}"`, names)
    signals.set(name, signal)
    targets.set(name, recordReader(quantity, entry))
  }
  return (message, found) => {
    const document = message.document()
    if (document.kind === 'flawed') return void found.passedOver.push(document.reason)
    // Of a retained message nobody knows when "now" was.
    const pack = resolveSenml(document.value, message.retained ? null : message.received)
    if (pack.kind === 'flawed') return void found.passedOver.push(pack.reason)
    for (const record of pack.value) {
      const signal = signals.get(record.name)
      const read = targets.get(record.name)?.(record)
      if (signal === undefined || read === undefined) found.strangers.push(record.name)
      else if (typeof read === 'string') found.passedOver.push(`${record.name}: ${read}`)
      else found.arrivals.push(arrival(signal, read, record.at, message.retained))
    }
  }
}

/** Reads a record's value; the unit in the record counts before the entry's, since the probe knows best. */
function recordReader(quantity: Quantity, entry: SenmlEntry): (record: SenmlRecord) => ReadValue | string {
  const byUnit = new Map<string, (raw: unknown) => ReadValue>()
  const own = valueReader(quantity, conversionTo(quantity, entry.unit, entry.at))
  return (record) => {
    if (record.value === null) return 'the record has no value, only a sum'
    if (record.unit === null || quantity.kind !== 'number') return own(record.value)
    const known = byUnit.get(record.unit)
    if (known !== undefined) return known(record.value)
    try {
      const read = valueReader(quantity, converter(unitOfSenml(record.unit), quantity.unit))
      if (byUnit.size < knownUnitsMax) byUnit.set(record.unit, read)
      return read(record.value)
    } catch {
      return `the unit ${excerpt(record.unit)} cannot be turned into ${quantity.unit}`
    }
  }
}

function arrival(
  signal: SignalName,
  read: ReadValue,
  measuredAt: EpochMs | null,
  retained: boolean,
): Arrival {
  const plain = { signal, value: read.value, measuredAt, retained, source: 'probe' } as const
  return read.value === null ? { ...plain, claimed: 'bad', why: read.why } : { ...plain, claimed: 'good' }
}
