import { createHmac, timingSafeEqual } from 'node:crypto'
import { after, type EpochMs, type Milliseconds } from '../../units/time.js'

export type Role = 'keeper' | 'hand' | 'guest'

/** Somebody who may come in. `password` is what `hashPassword` made; null: has none yet and cannot log in. */
export interface Member {
  readonly id: string
  readonly role: Role
  readonly password: string | null
}

/** Who is let in; the assembly fills it from the store. */
export interface Access {
  member(id: string): Member | null
}

export interface Sessions {
  open(member: Member, now: EpochMs): string
  /** Whose session it is; null when forged, over, or from before the password was changed. */
  read(token: string, now: EpochMs): Member | null
}

/**
 * Sessions live in the cookie, signed, not in memory: a restart in the night, which is when it matters, logs nobody
 * out. A changed password ends them, because a trace of the kept hash is signed along.
 */
export function signedSessions(
  access: Access,
  { key, lasts }: { readonly key: Uint8Array; readonly lasts: Milliseconds },
): Sessions {
  const sign = (text: string) => createHmac('sha256', key).update(`session:${text}`).digest('base64url')
  const traceOf = (member: Member) => sign(`trace:${member.password ?? ''}`).slice(0, 16)
  return {
    open(member, now) {
      const claim = JSON.stringify([member.id, after(now, lasts), traceOf(member)])
      const body = Buffer.from(claim).toString('base64url')
      return `${body}.${sign(body)}`
    },
    read(token, now) {
      const [body, signature] = token.split('.')
      if (body === undefined || signature === undefined || !same(signature, sign(body))) return null
      const [id, until, trace] = JSON.parse(Buffer.from(body, 'base64url').toString()) as [
        string,
        number,
        string,
      ]
      const member = now < until ? access.member(id) : null
      return member !== null && member.password !== null && same(trace, traceOf(member)) ? member : null
    },
  }
}

function same(one: string, other: string): boolean {
  const [left, right] = [Buffer.from(one), Buffer.from(other)]
  return left.length === right.length && timingSafeEqual(left, right)
}
