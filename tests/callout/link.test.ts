import { createHmac } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { answerToken, readAnswerToken, type AnswerClaims, type Sign } from '../../daemon/callout/link.js'
import { epochMs } from '../../daemon/units/time.js'
import { moment } from './sample-facts.js'

const signWith =
  (key: string): Sign =>
  (text) =>
    createHmac('sha256', key).update(text).digest('base64url')
const sign = signWith('a key of the farm')
const now = moment('2026-11-25T02:12:00Z')
const claims: AnswerClaims = {
  do: 'acknowledge',
  alarm: 'oxygen-low@tank-1',
  occurrence: 3,
  by: 'first-keeper',
  expires: moment('2026-11-26T02:12:00Z'),
}

describe('answer links', () => {
  it('let the holder do the one thing they were made for', () => {
    const token = answerToken(claims, sign)
    expect(token).toMatch(/^[A-Za-z0-9._-]+$/)
    expect(readAnswerToken(token, sign, now)).toEqual({ kind: 'good', claims })
  })
  it('expire', () => {
    const token = answerToken(claims, sign)
    expect(readAnswerToken(token, sign, epochMs(claims.expires - 1))).toMatchObject({ kind: 'good' })
    expect(readAnswerToken(token, sign, claims.expires)).toEqual({ kind: 'expired' })
  })
  it('are no good for another farm’s key, nor with a signature made for another purpose', () => {
    const token = answerToken(claims, sign)
    const payload = token.slice(0, token.lastIndexOf('.'))
    expect(readAnswerToken(token, signWith('another'), now)).toEqual({ kind: 'forged' })
    expect(readAnswerToken(`${payload}.${sign(payload)}`, sign, now)).toEqual({ kind: 'forged' })
  })
  it('are forged when signed rightly but without sense', () => {
    for (const payload of [
      'reset.me.zz',
      'confirm.me',
      'confirm.me.!',
      'acknowledge.me.zz.alarm',
      'confirm.me.zz.x.1.2',
    ]) {
      const token = `${payload}.${sign(`bellwater-answer-1:${payload}`)}`
      expect(readAnswerToken(token, sign, now)).toEqual({ kind: 'forged' })
    }
  })
  it('do not cost a signature when they are endless', () => {
    let signed = 0
    readAnswerToken(`${'a'.repeat(5000)}.b`, (text) => `${++signed}${text}`, now)
    expect(signed).toBe(0)
  })

  const anyClaims: fc.Arbitrary<AnswerClaims> = fc.oneof(
    fc.record({
      do: fc.constant('acknowledge' as const),
      alarm: fc.string({ unit: 'binary', minLength: 1, maxLength: 40 }),
      occurrence: fc.integer({ min: 1, max: 1_000_000 }),
      by: fc.string({ unit: 'binary', minLength: 1, maxLength: 20 }),
      expires: fc.integer({ min: now / 1000 + 1, max: now / 1000 + 1e6 }).map((at) => epochMs(at * 1000)),
    }),
    fc.record({
      do: fc.constant('confirm' as const),
      by: fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }),
      expires: fc.integer({ min: now / 1000 + 1, max: now / 1000 + 1e6 }).map((at) => epochMs(at * 1000)),
    }),
  )
  it('come back as they were made, whatever the names', () => {
    fc.assert(
      fc.property(anyClaims, (made) => {
        expect(readAnswerToken(answerToken(made, sign), sign, now)).toEqual({ kind: 'good', claims: made })
      }),
    )
  })
  it('are forged when any one character is changed', () => {
    fc.assert(
      fc.property(anyClaims, fc.nat(), fc.constantFrom('a', '0', '.', '_', '-'), (made, place, put) => {
        const token = answerToken(made, sign)
        const at = place % token.length
        const changed = token.slice(0, at) + put + token.slice(at + 1)
        // The last character of the signature holds two bits that no decoder looks at; ours compares letters.
        fc.pre(changed !== token)
        expect(readAnswerToken(changed, sign, now)).toEqual({ kind: 'forged' })
      }),
    )
  })
})
