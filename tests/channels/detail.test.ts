import { describe, expect, it } from 'vitest'
import { errorText, outcome } from '../../daemon/channels/detail.js'

describe('a detail', () => {
  it('is one line of at most 200 characters', () => {
    const { detail } = outcome('temporary', `a\r\nb\u0007 ${'x'.repeat(500)}`)
    expect(detail).toMatch(/^a b x+$/)
    expect(detail).toHaveLength(200)
  })
  it('hides a secret in each of its usual encodings, and does so before it is cut', () => {
    const secret = 'p@ss "word"'
    const forms = [
      secret,
      encodeURIComponent(secret),
      Buffer.from(secret).toString('base64'),
      'p@ss \\"word\\"',
    ]
    expect(outcome('permanent', forms.join(' | '), [secret]).detail).toBe('*** | *** | *** | ***')
    expect(outcome('permanent', `${'x'.repeat(195)}${secret}`, [secret]).detail).toBe(`${'x'.repeat(195)}***`)
  })
  it('hides the whole of a secret that begins with another', () => {
    expect(outcome('permanent', 'token-and-more', ['token', 'token-and-more']).detail).toBe('***')
  })
  it('names what caused an error, at several addresses the first', () => {
    const refused = new Error('connect ECONNREFUSED 127.0.0.1:9')
    expect(errorText(new TypeError('fetch failed', { cause: refused }))).toBe(
      `fetch failed: ${refused.message}`,
    )
    expect(errorText(new AggregateError([refused, new Error('other')]))).toBe(
      `AggregateError: ${refused.message}`,
    )
    expect(errorText('thrown words')).toBe('thrown words')
  })
})
