declare const unit: unique symbol

/** A plain number that carries its unit in its type only. */
export type Branded<Unit extends string> = number & { readonly [unit]: Unit }

/** Wall time: when something was. Milliseconds since 1970-01-01T00:00:00Z. */
export type EpochMs = Branded<'epoch ms'>
/** A length of time in milliseconds. */
export type Milliseconds = Branded<'ms'>
/** Time of a clock that never jumps: for "how long", never for "when". */
export type MonotonicMs = Branded<'monotonic ms'>

export const epochMs = (value: number): EpochMs => value as EpochMs
export const milliseconds = (value: number): Milliseconds => value as Milliseconds
export const seconds = (value: number): Milliseconds => (value * 1000) as Milliseconds
export const minutes = (value: number): Milliseconds => (value * 60_000) as Milliseconds
export const hours = (value: number): Milliseconds => (value * 3_600_000) as Milliseconds
export const days = (value: number): Milliseconds => (value * 86_400_000) as Milliseconds

/** The moment `span` after `at`. */
export const after = (at: EpochMs, span: Milliseconds): EpochMs => (at + span) as EpochMs
/** How long from `from` until `to`; negative when `to` is earlier. */
export const between = (from: EpochMs, to: EpochMs): Milliseconds => (to - from) as Milliseconds

/**
 * RFC 3339 in UTC with Z, seconds always, milliseconds only when there are any: `2027-01-10T00:00:00Z`.
 * Valid for years 0 to 9999.
 */
export function rfc3339(at: EpochMs): string {
  const text = new globalThis.Date(at).toISOString()
  return text.endsWith('.000Z') ? `${text.slice(0, -5)}Z` : text
}

const rfc3339Form = /^(\d{4})-(\d{2})-(\d{2})[Tt ](\d{2}):(\d{2}):(\d{2})(\.\d+)?([Zz]|[+-]\d{2}:\d{2})$/

/**
 * Reads an RFC 3339 time; null when it is none (no zone, impossible date, other form).
 * A leap second (:60) counts as the first moment of the next minute.
 */
export function parseRfc3339(text: string): EpochMs | null {
  const parts = rfc3339Form.exec(text)
  if (parts === null) return null
  const [, year, month, day, hour, minute, second, fraction = '', zone = 'Z'] = parts
  if (Number(hour) > 23 || Number(minute) > 59 || Number(second) > 60) return null
  const date = globalThis.Date.UTC(Number(year), Number(month) - 1, Number(day))
  const back = new globalThis.Date(date)
  if (back.getUTCMonth() !== Number(month) - 1 || back.getUTCDate() !== Number(day)) return null
  const clock = ((Number(hour) * 60 + Number(minute)) * 60 + Number(second)) * 1000
  const sub = fraction === '' ? 0 : Math.round(Number(fraction) * 1000)
  return (date + clock + sub - zoneOffset(zone)) as EpochMs
}

function zoneOffset(zone: string): number {
  if (zone === 'Z' || zone === 'z') return 0
  const sign = zone.startsWith('-') ? -1 : 1
  return sign * (Number(zone.slice(1, 3)) * 60 + Number(zone.slice(4, 6))) * 60_000
}
