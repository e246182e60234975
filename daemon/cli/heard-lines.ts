import { noEntry } from '../decoding/compile-probes.js'
import { excerpt } from '../decoding/payload-text.js'
import type { Decoded, Decoder } from '../decoding/probe-entry.js'
import type { FarmPlan } from '../farm/plan.js'
import type { Heard } from '../mqtt/hearing.js'
import { ownRoot } from '../mqtt/own-topics.js'
import type { Arrival } from '../readings/reading.js'
import { quantityOf } from '../readings/signal.js'
import { rfc3339, type EpochMs } from '../units/time.js'

export interface HeardLines {
  readonly lines: readonly string[]
  /** True when no entry is for it, so that one may be drafted. */
  readonly isStranger: boolean
}

export interface LineOptions {
  readonly decoder: Decoder
  readonly plan: FarmPlan
  readonly json: boolean
}

/** How a message is shown: one line for each value in it, or one that says why it has none. */
export function heardLines({
  decoder,
  plan,
  json,
}: LineOptions): (message: Heard, at: EpochMs) => HeardLines {
  const timeOfDay = new Intl.DateTimeFormat('en-GB', { timeZone: plan.farm.timeZone, timeStyle: 'medium' })
  const unitOf = (arrival: Arrival): string => plan.quantities.get(quantityOf(arrival.signal))?.unit ?? ''
  return (message, at) => {
    // What Bellwater says itself is nobody's reading.
    if (message.topic.startsWith(`${ownRoot}/`)) return { lines: [], isStranger: false }
    const decoded = decoder.decode(message.topic, message.payload, at, { retained: message.retained })
    const told = json
      ? asJson(decoded, message, unitOf).map((facts) =>
          JSON.stringify({ at: rfc3339(at), topic: message.topic, ...facts }),
        )
      : asText(decoded, message, unitOf).map(
          (text) => `${timeOfDay.format(at)}  ${plain(message.topic)}  ${text}`,
        )
    return { lines: told, isStranger: decoded.kind === 'unmapped' }
  }
}

type UnitOf = (arrival: Arrival) => string

function asText(decoded: Decoded, { payload, retained }: Heard, unitOf: UnitOf): readonly string[] {
  const kept = retained ? ' (retained)' : ''
  switch (decoded.kind) {
    case 'arrivals':
      return decoded.arrivals.map(
        (arrival) => `${arrival.signal} ${valueOf(arrival, unitOf(arrival))}${kept}`,
      )
    case 'unmapped':
      return [`not mapped: ${shown(payload)}${kept}${decoded.why === noEntry ? '' : ` (${decoded.why})`}`]
    case 'rejected':
      return [`cannot be understood: ${decoded.reason}${kept}`]
  }
}

function valueOf({ value, why, measuredAt }: Arrival, unit: string): string {
  const measured = measuredAt === null ? '' : ` at ${rfc3339(measuredAt)}`
  if (value === null) return `no value: ${why ?? 'unknown'}${measured}`
  return `${value}${unit === '' || unit === '1' ? '' : ` ${unit}`}${measured}${why === undefined ? '' : ` (${why})`}`
}

function asJson(decoded: Decoded, { payload, retained }: Heard, unitOf: UnitOf): readonly object[] {
  switch (decoded.kind) {
    case 'arrivals':
      return decoded.arrivals.map((arrival) => ({
        kind: 'reading',
        signal: arrival.signal,
        value: arrival.value,
        unit: unitOf(arrival),
        measured_at: arrival.measuredAt === null ? null : rfc3339(arrival.measuredAt),
        quality: arrival.claimed,
        why: arrival.why ?? null,
        retained,
      }))
    case 'unmapped':
      return [
        { kind: 'unmapped', why: decoded.why, payload: shown(payload), bytes: payload.length, retained },
      ]
    case 'rejected':
      return [
        { kind: 'rejected', why: decoded.reason, payload: shown(payload), bytes: payload.length, retained },
      ]
  }
}

/** Letters of a payload that are shown. */
const shownMax = 60

const shown = (payload: Uint8Array): string =>
  excerpt(new TextDecoder().decode(payload.subarray(0, shownMax * 4)), shownMax)

/** A topic for a terminal: anybody may put control characters into one. */
const plain = (topic: string): string => topic.replace(/\p{C}/gu, '·')
