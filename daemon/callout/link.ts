import { epochMs, type EpochMs } from '../units/time.js'

/** What a link lets its holder do, once or many times until it expires: one thing for one person. */
export type AnswerClaims =
  | {
      readonly do: 'acknowledge'
      readonly alarm: string
      readonly occurrence: number
      readonly by: string
      readonly expires: EpochMs
    }
  | { readonly do: 'confirm'; readonly by: string; readonly expires: EpochMs }

/** Makes the signature of a text under the farm's key: HMAC-SHA256 (RFC 2104), base64url without padding. */
export type Sign = (text: string) => string

export type TokenReading =
  | { readonly kind: 'good'; readonly claims: AnswerClaims }
  | { readonly kind: 'expired' }
  | { readonly kind: 'forged' }

// Stands before what is signed, so that no signature made for another purpose with the same key can pass here.
const purpose = 'bellwater-answer-1:'
// Longer than any honest token; a stranger's megabyte is not worth a signature.
const tokenLengthMax = 1000

/**
 * A link's token: `<do>.<by>.<expiry>[.<alarm>.<occurrence>].<signature>`, of letters, digits, `-`, `_` and `.` only, so
 * that it survives any mail program and router. The expiry is rounded up to a whole second.
 */
export function answerToken(claims: AnswerClaims, sign: Sign): string {
  const expiry = Math.ceil(claims.expires / 1000).toString(36)
  const fields = [claims.do, escaped(claims.by), expiry]
  if (claims.do === 'acknowledge') fields.push(escaped(claims.alarm), claims.occurrence.toString(36))
  const payload = fields.join('.')
  return `${payload}.${sign(purpose + payload)}`
}

/** Reads a token back. 'forged' for anything that was not signed with this key for this purpose, however it is damaged. Never throws. */
export function readAnswerToken(token: string, sign: Sign, now: EpochMs): TokenReading {
  const cut = token.lastIndexOf('.')
  if (token.length > tokenLengthMax || cut < 0) return { kind: 'forged' }
  const payload = token.slice(0, cut)
  if (!same(token.slice(cut + 1), sign(purpose + payload))) return { kind: 'forged' }
  const claims = claimsOf(payload.split('.'))
  if (claims === null) return { kind: 'forged' }
  return claims.expires <= now ? { kind: 'expired' } : { kind: 'good', claims }
}

/** In time that does not depend on where they differ, so that a signature cannot be guessed letter by letter. */
function same(left: string, right: string): boolean {
  let difference = left.length ^ right.length
  for (let at = 0; at < left.length; at++) difference |= left.charCodeAt(at) ^ right.charCodeAt(at)
  return difference === 0
}

function claimsOf(fields: readonly string[]): AnswerClaims | null {
  const [action, by, expiry, alarm, occurrence, ...more] = fields
  if (by === undefined || expiry === undefined || more.length > 0) return null
  const person = unescaped(by)
  const expires = epochMs(parseInt(expiry, 36) * 1000)
  if (Number.isNaN(expires)) return null
  if (action === 'confirm' && alarm === undefined) return { do: 'confirm', by: person, expires }
  if (action !== 'acknowledge' || alarm === undefined || occurrence === undefined) return null
  const number = parseInt(occurrence, 36)
  if (!Number.isSafeInteger(number)) return null
  return { do: 'acknowledge', alarm: unescaped(alarm), occurrence: number, by: person, expires }
}

/** Everything but letters, digits and dashes as `_` and four hexadecimal digits: percent signs would be decoded on the way. */
const escaped = (text: string): string =>
  text.replaceAll(/[^A-Za-z0-9-]/g, (unit) => `_${unit.charCodeAt(0).toString(16).padStart(4, '0')}`)

const unescaped = (text: string): string =>
  text.replaceAll(/_([0-9a-f]{4})/g, (_, code: string) => String.fromCharCode(parseInt(code, 16)))
