import { createHmac } from 'node:crypto'
import { answerToken, readAnswerToken, type AnswerClaims, type TokenReading } from '../callout/link.js'
import type { EpochMs } from '../units/time.js'

/** Makes and reads the links that texts carry. */
export interface AnswerLinks {
  /** The whole address for a text, below the farm's public one: `https://water.example.org/a/…`. */
  link(publicUrl: string, claims: AnswerClaims): string
  read(token: string, now: EpochMs): TokenReading
}

/**
 * Links under the web key (`WebOptions.key`): whoever writes texts and the server that is asked must be given the same
 * one. The key is not used as it is: one made from it for this use alone signs.
 */
export function answerLinks(webKey: Uint8Array): AnswerLinks {
  const key = createHmac('sha256', webKey).update('answer links').digest()
  const sign = (text: string) => createHmac('sha256', key).update(text).digest('base64url')
  return {
    link: (publicUrl, claims) => `${publicUrl.replace(/\/$/, '')}/a/${answerToken(claims, sign)}`,
    read: (token, now) => readAnswerToken(token, sign, now),
  }
}
