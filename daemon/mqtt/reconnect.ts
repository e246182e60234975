import { milliseconds, type Milliseconds } from '../units/time.js'

/** First wait before trying again, and the longest. A broker on the same board is back within seconds. */
const first = 1000
const longest = 30_000

/**
 * How long to wait before the try after `tries` failed ones: doubling up to half a minute, and somewhere in the upper
 * half of it (`random` from 0 up to 1), so that not all clients knock in the same moment.
 */
export function reconnectDelay(tries: number, random: number): Milliseconds {
  const full = Math.min(longest, first * 2 ** Math.min(tries, 10))
  return milliseconds(Math.round((full * (1 + random)) / 2))
}

/** How a try to connect ended without a session. */
export type FailedTry =
  /** The broker answered that it does not speak this version. */
  | { readonly kind: 'version-refused' }
  /** It took the connection and hung up without an answer, as some that only know the older version do. */
  | { readonly kind: 'hung-up' }
  /** Anything else: no sign that the version was the reason. */
  | { readonly kind: 'other' }

/** The protocol level for the next try (4 is MQTT 3.1.1): 5 falls back to 4, and tries 5 again if that is no better. */
export function nextProtocol(wanted: 4 | 5, present: 4 | 5, failed: FailedTry): 4 | 5 {
  if (wanted === 4 || failed.kind === 'other') return present
  return present === 5 ? 4 : 5
}
