import { describe, expect, it } from 'vitest'
import {
  isGsm7,
  packUserData,
  septetLength,
  toGsm7,
  toSeptets,
  unpackUserData,
} from '../../daemon/callout/gsm7.js'

const hex = (octets: Uint8Array): string => Buffer.from(octets).toString('hex').toUpperCase()

describe('the GSM 7 bit default alphabet (3GPP TS 23.038, 6.2.1)', () => {
  it('puts characters at the places of the table', () => {
    expect(toSeptets('@£$¥èéùìòÇ')).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9])
    expect(toSeptets('ΔΦΓΛΩΠΨΣΘΞ')).toEqual([16, 18, 19, 20, 21, 22, 23, 24, 25, 26])
    expect(toSeptets('AZaz09')).toEqual([0x41, 0x5a, 0x61, 0x7a, 0x30, 0x39])
    expect(toSeptets('ÄÖÑÜ§¿äöñüà')).toEqual([91, 92, 93, 94, 95, 96, 123, 124, 125, 126, 127])
  })
  it('counts two septets for characters of the extension table', () => {
    expect(septetLength('[5 €]')).toBe(8)
    expect(toSeptets('€')).toEqual([0x1b, 0x65])
  })
  it('says of a character outside both tables that it cannot be encoded', () => {
    expect(isGsm7('18 °C')).toBe(false)
    expect(septetLength('µS')).toBe(Infinity)
    expect(() => toSeptets('ç')).toThrow(/not in the GSM/)
  })
})

describe('packing', () => {
  it('gives what gammu 1.42 sent for the same text (user data of an SMS-SUBMIT, length first)', () => {
    expect(hex(packUserData('Larkfield tank 1: oxygen 3.8'))).toBe(
      '1CCCB07C6D4E97D964103DEC5E83623AD01B9F3F97DDA0990B07',
    )
  })
  it('puts eight characters into seven octets', () => {
    expect(packUserData('@'.repeat(160))).toHaveLength(141)
    expect(packUserData('12345678')).toHaveLength(8)
  })
  it('refuses what does not fit into one part', () => {
    expect(() => packUserData('a'.repeat(161))).toThrow(/161 septets/)
    expect(() => packUserData('€'.repeat(81))).toThrow(/162 septets/)
  })
  it('reads back what came in, and refuses a length that the octets do not have', () => {
    expect(unpackUserData(packUserData('OK 47 {now} €'))).toBe('OK 47 {now} €')
    expect(() => unpackUserData(Uint8Array.of(28, 0xcc))).toThrow(/cannot hold 28 septets/)
  })
})

describe('transliteration', () => {
  it.each([
    ['18 °C, 5 µS', '18 C, 5 uS'],
    ['the “old” tank’s – sump…', 'the "old" tank\'s - sump...'],
    ['Región de Almería', 'Región de Almería'.replace('ó', 'o').replace('í', 'i')],
    ['Señor Muñoz, Ångström, Ørsted, Straße', 'Señor Muñoz, Ångström, Ørsted, Straße'],
    ['Żółw ćma Łódź', 'Zolw cma Lodz'],
    ['Теплица №2', 'Teplitsa No2'],
    ['Δεξαμενή', 'Dexameni'.replace('D', 'Δ')],
    ['水槽 3', '? 3'],
    ['tank\t\n 1\u0000', 'tank 1 '],
    ['ﬁsh ½ ①', 'fish 1/2 1'],
    ['fish 🐟🐟', 'fish ?'],
  ])('%j is %j', (from, to) => {
    expect(toGsm7(from)).toBe(to)
    expect(isGsm7(to)).toBe(true)
  })
})
