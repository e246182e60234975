import type { Arrival } from '../readings/reading.js'
import type { Quantity } from '../units/quantities.js'
import type { EpochMs } from '../units/time.js'

/** One entry of `probes:`, as far as its messages go. */
export type ProbeEntry = BareEntry | JsonEntry | SenmlEntry

interface EntryBase {
  /** Where it stands, for messages: `probes[3] (line 41)`. */
  readonly at: string
  /** A topic; whole levels may be `{place}` and `{quantity}`, and with SenML also `+`. */
  readonly topic: string
  /** Unit in which the probe sends; null for the quantity's own. */
  readonly unit: string | null
}

interface OneValue extends EntryBase {
  /** `tank-1/dissolved_oxygen`, or with `{place}` and `{quantity}` in it; null for `{place}/{quantity}`. */
  readonly signal: string | null
  /** A list of status words instead of a number. */
  readonly words: boolean
}

/** The payload is the value. */
export interface BareEntry extends OneValue {
  readonly format: 'bare'
}

/** The value stands somewhere in a JSON document. */
export interface JsonEntry extends OneValue {
  readonly format: 'json'
  /** JSON Pointer to the value. */
  readonly value: string
  /** JSON Pointer to the time of measurement; null when the message has none. */
  readonly time: string | null
}

/** A SenML pack (RFC 8428): its names stand for signals. */
export interface SenmlEntry extends EntryBase {
  readonly format: 'senml'
  /** Full SenML name to `place/quantity`. */
  readonly names: Readonly<Record<string, string>>
}

/** What the farm has names for. */
export interface Names {
  quantity(name: string): Quantity | undefined
  /** Places, and equipment, which may stand in a signal's place. */
  isPlace(id: string): boolean
}

export type Decoded =
  | {
      readonly kind: 'arrivals'
      readonly topic: string
      readonly arrivals: readonly Arrival[]
      /** What else the entries of this topic asked for and the message did not hold; mostly nothing. */
      readonly passedOver: readonly string[]
    }
  /** No entry is for it: counted, changes nothing. */
  | { readonly kind: 'unmapped'; readonly topic: string; readonly why: string }
  /** An entry is for it, but it cannot be understood: counted, changes nothing. */
  | { readonly kind: 'rejected'; readonly topic: string; readonly reason: string }

export interface Decoder {
  /** Says what a message means. Never throws, whatever it holds. */
  decode(topic: string, payload: Uint8Array, received: EpochMs, flags: MessageFlags): Decoded
  /** The fewest MQTT topic filters that bring everything that can be decoded. */
  filters(): readonly string[]
}

export interface MessageFlags {
  readonly retained: boolean
}
