import fc from 'fast-check'
import { expect, it } from 'vitest'
import { isGsm7, packUserData, toGsm7, toSeptets, unpackUserData } from '../../daemon/callout/gsm7.js'

const anyText = fc.oneof(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'binary' }), fc.string())

/** The packing of 3GPP TS 23.038, 6.1.2.1.1, told another way: all bits in one row, the lowest first, eight at a time. */
function packedAsBits(septets: readonly number[]): readonly number[] {
  const bits = septets.flatMap((septet) => Array.from({ length: 7 }, (_, bit) => (septet >> bit) & 1))
  return Array.from({ length: Math.ceil(bits.length / 8) }, (_, octet) =>
    bits.slice(octet * 8, octet * 8 + 8).reduce((sum, bit, place) => sum + (bit << place), 0),
  )
}

it('brings any text into the alphabet, and leaves alone what is in it', () => {
  fc.assert(
    fc.property(anyText, (text) => {
      const plain = toGsm7(text)
      expect(isGsm7(plain)).toBe(true)
      expect(toGsm7(plain)).toBe(plain)
    }),
    { numRuns: 5000 },
  )
})

it('packs like the row of bits that the standard describes, and unpacks to the same text', () => {
  fc.assert(
    fc.property(anyText, (text) => {
      const plain = [...toGsm7(text)].slice(0, 80).join('')
      const septets = toSeptets(plain)
      const packed = packUserData(plain)
      expect([...packed]).toEqual([septets.length, ...packedAsBits(septets)])
      expect(unpackUserData(packed)).toBe(plain)
    }),
    { numRuns: 2000 },
  )
})
