import { minutes, type MonotonicMs } from '../../units/time.js'

/** How a modem is. */
export type ModemHealth =
  /** Sends. `signal` in dBm, null when it does not know. */
  | { readonly kind: 'ready'; readonly signal: number | null; readonly isRoaming: boolean }
  /** Does not send now, but may by itself: gone, starting, searching the network. */
  | { readonly kind: 'unready'; readonly why: string }
  /** Needs a person: a PIN, a card. */
  | { readonly kind: 'locked'; readonly why: string }

/**
 * A modem that starts anew, or is plugged in again, needs half a minute (common practice); what lasts longer is trouble of a
 * channel, which the keeper hears of (AL-32).
 */
export const troubleAfter = minutes(1)
/** Reset when it has not been ready for so long, and not more often. A search of all bands takes some minutes (common practice). */
export const resetAfter = minutes(10)

export interface Watched {
  readonly health: ModemHealth
  /** Since when it has not been ready; null when it is. */
  readonly since: MonotonicMs | null
  /** What was told; null when nothing is the matter. */
  readonly trouble: string | null
  readonly lastReset: MonotonicMs | null
}

export const unwatched = (now: MonotonicMs): Watched => ({
  health: { kind: 'unready', why: 'the modem has not been looked for yet' },
  since: now,
  trouble: null,
  lastReset: null,
})

/** Takes in how the modem is. Trouble is told after a while, what needs a person at once; it is over when the modem is ready. */
export function observed(watched: Watched, health: ModemHealth, now: MonotonicMs): Watched {
  if (health.kind === 'ready') return { ...watched, health, since: null, trouble: null }
  const since = watched.since ?? now
  const isTrouble = watched.trouble !== null || health.kind === 'locked' || now - since >= troubleAfter
  return { ...watched, health, since, trouble: isTrouble ? health.why : null }
}

/** When an unready modem becomes trouble; null when that is told already or it is ready. */
export const troubleDue = ({ since, trouble }: Watched): MonotonicMs | null =>
  since === null || trouble !== null ? null : ((since + troubleAfter) as MonotonicMs)

export const isResetDue = ({ health, since, lastReset }: Watched, now: MonotonicMs): boolean =>
  health.kind === 'unready' && since !== null && now - Math.max(since, lastReset ?? since) >= resetAfter

/** `<rssi>` of `+CSQ` in dBm: -113 in steps of 2 up to -51; null for 99, not known (3GPP TS 27.007, 8.5). */
export const signalOf = (rssi: number): number | null =>
  Number.isInteger(rssi) && rssi >= 0 && rssi <= 31 ? -113 + 2 * rssi : null
