import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { globMatcher, isGlob } from '../../daemon/farm/globs.js'

const plain = fc.string().filter((text) => !isGlob(text))

describe('globs', () => {
  it('a name without wildcards matches itself and nothing else', () => {
    fc.assert(
      fc.property(plain, plain, (name, other) => {
        expect(globMatcher(name)(name)).toBe(true)
        expect(globMatcher(name)(other)).toBe(name === other)
      }),
    )
  })

  it('a star stands for any letters of one part, never for a slash', () => {
    const part = plain.filter((text) => !/[/\n\r\u2028\u2029]/.test(text))
    fc.assert(
      fc.property(part, part, part, (start, middle, end) => {
        expect(globMatcher(`${start}*${end}`)(`${start}${middle}${end}`)).toBe(true)
        expect(globMatcher(`${start}*${end}`)(`${start}/${end}`)).toBe(false)
      }),
    )
  })
})
