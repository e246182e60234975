import { describe, expect, it } from 'vitest'
import { readIncoming, statusOf } from '../../daemon/channels/modem/incoming.js'
import { octetReader, octetsOf } from '../../daemon/channels/modem/octets.js'
import { addressField, phoneNumberOf, readAddress } from '../../daemon/channels/modem/phone-number.js'
import { submitUnits } from '../../daemon/channels/modem/submit.js'
import { parseRfc3339 } from '../../daemon/units/time.js'

const to = { digits: '447700900101', isInternational: true }

describe('a number', () => {
  it.each([
    ['+44 7700 900101', { digits: '447700900101', isInternational: true }],
    ['+44 (7700) 900-101', { digits: '447700900101', isInternational: true }],
    ['07700 900101', { digits: '07700900101', isInternational: false }],
    ['', null],
    ['12', null],
    ['first@example.org', null],
    ['+44 7700 900101 ext 3', null],
    ['+1234567890123456', null],
    ['4+47700900101', null],
  ])('is read as people write it: %s', (written, number) => {
    expect(phoneNumberOf(written)).toEqual(number)
  })

  it('is packed two digits an octet, the first low, an odd one filled with F (3GPP TS 23.040, 9.1.2.3)', () => {
    expect(addressField(to)).toEqual([12, 0x91, 0x44, 0x77, 0x00, 0x09, 0x10, 0x10])
    expect(addressField({ digits: '07700900101', isInternational: false })).toEqual([
      ...[11, 0x81, 0x70, 0x07, 0x90, 0x00, 0x01, 0xf1],
    ])
  })

  it('is read back, and so is the name that a sender gave itself (type 0xD0: septets, length in half octets)', () => {
    expect(readAddress(octetReader(Uint8Array.from(addressField(to))))).toBe('+447700900101')
    // "Network": 7 septets are 49 bits, 13 half octets; packed by seven lines of Python.
    expect(readAddress(octetReader(octetsOf('0DD0CE32FDFE96AF01')))).toBe('Network')
  })
})

describe('a text to send', () => {
  it('is the unit that gammu 1.42 sends, but for its kind of validity: fixed user data of "Larkfield tank 1: oxygen 3.8"', () => {
    const [unit] = submitUnits({ to, text: 'Larkfield tank 1: oxygen 3.8', reference: 1, receipt: true })
    expect(unit).toEqual({
      hex:
        '00' +
        '31' +
        '00' +
        '0C91447700091010' +
        '00' +
        '00' +
        '8F' +
        '1CCCB07C6D4E97D964103DEC5E83623AD01B9F3F97DDA0990B07',
      length: 13 + 26,
    })
  })

  it('asks for no receipt where none is wanted (TP-SRR, 9.2.3.5)', () => {
    const [unit] = submitUnits({ to, text: 'x', reference: 1, receipt: false })
    expect(unit?.hex.slice(2, 4)).toBe('11')
  })

  it('takes sixteen bits a character where the alphabet of seven bits lacks one', () => {
    const [unit] = submitUnits({ to, text: 'Вода', reference: 1, receipt: false })
    // Data coding 08, validity 8F, eight octets.
    expect(unit?.hex).toMatch(/00088F080412043E04340430$/)
  })

  it('of 160 characters is one message, of 161 two with a header each (9.2.3.24.1)', () => {
    const units = (text: string) => submitUnits({ to, text, reference: 0xa5, receipt: true })
    expect(units('a'.repeat(160))).toHaveLength(1)
    const [first, second, ...more] = units('a'.repeat(161))
    expect(more).toEqual([])
    // User data header asked (0x40), 160 septets, header of five octets: element 0, three octets, reference, 2 pieces, number.
    expect(first?.hex.slice(2, 4)).toBe('71')
    expect(first?.hex.slice(2 + 26)).toMatch(/^A0050003A50201C2/)
    // Eight letters and the seven septets of the header.
    expect(second?.hex.slice(2 + 26)).toMatch(/^0F050003A50202C2/)
  })

  it('is never cut inside a character', () => {
    const lengths = submitUnits({ to, text: '€'.repeat(90), reference: 0, receipt: false }).map(({ hex }) =>
      parseInt(hex.slice(28, 30), 16),
    )
    // 76 signs of two septets, not 76.5, and the header's seven.
    expect(lengths).toEqual([76 * 2 + 7, 14 * 2 + 7])
    const fish = submitUnits({ to, text: '🐟'.repeat(36), reference: 0, receipt: false }).map(({ hex }) =>
      parseInt(hex.slice(28, 30), 16),
    )
    expect(fish).toEqual([33 * 4 + 6, 3 * 4 + 6])
  })
})

describe('what comes in', () => {
  // Written by hand after 3GPP TS 23.040, 9.2.2.1: centre, first octet, sender, protocol, coding, time, user data.
  const textOf = (change: { first?: string; coding?: string; time?: string; data?: string } = {}) =>
    '07914477000900F0' +
    (change.first ?? '04') +
    '0C91447700091010' +
    '00' +
    (change.coding ?? '00') +
    (change.time ?? '72100120410000') +
    (change.data ?? '05CF25887603')

  it('is read: sender, time in UTC, text', () => {
    // "OK 47": 4F 4B 20 34 37 in septets.
    const read = readIncoming(textOf({ data: '05CF25887603' }))
    expect(read).toMatchObject({
      kind: 'text',
      from: '+447700900101',
      at: parseRfc3339('2027-01-10T02:14:00Z'),
      text: 'OK 47',
      piece: null,
    })
  })

  it('has its time in a zone of quarters of an hour, west of Greenwich with bit 3 set (9.2.3.11)', () => {
    const at = (time: string) => {
      const read = readIncoming(textOf({ time }))
      return read.kind === 'text' ? read.at : read
    }
    // 2027-01-10 02:14:00; +1 h is 04 quarters: swapped 40; -5 h is 20 quarters, sign in the first digit: 0A.
    expect(at('72100120410040')).toBe(parseRfc3339('2027-01-10T01:14:00Z'))
    expect(at('7210012041000A')).toBe(parseRfc3339('2027-01-10T07:14:00Z'))
    expect(at('72319920410000')).toBeNull()
  })

  it('may be a piece of a long text, with a reference of one octet or two', () => {
    const piece = (data: string) => readIncoming(textOf({ first: '44', coding: '08', data }))
    expect(piece('0A' + '050003A50201' + '04120430')).toMatchObject({
      piece: { reference: 0xa5, of: 2, number: 1 },
      text: 'Ва',
    })
    expect(piece('0B' + '060804012C0202' + '04120430')).toMatchObject({
      piece: { reference: 300, of: 2, number: 2 },
      text: 'Ва',
    })
    expect(piece('0A' + '050003A50203' + '04120430')).toMatchObject({ piece: null })
  })

  it('may be data that nobody wrote', () => {
    expect(readIncoming(textOf({ coding: '04', data: '03010203' }))).toMatchObject({
      kind: 'text',
      text: null,
    })
  })

  it('may be a receipt: reference, receiver, status (9.2.2.3)', () => {
    const receipt = (status: string) =>
      readIncoming('00' + '06' + '2A' + '0C91447700091010' + '72100120410000' + '72100120510000' + status)
    expect(receipt('00')).toEqual({
      ...{ kind: 'receipt', reference: 42, to: '+447700900101', status: 'delivered', code: 0 },
    })
    expect(receipt('30')).toMatchObject({ status: 'underway' })
    expect(receipt('46')).toMatchObject({ status: 'failed', code: 0x46 })
  })

  it('has a status by ranges: done, still trying, given up (9.2.3.15)', () => {
    expect([0, 0x1f, 0x20, 0x3f, 0x40, 0x5f, 0x60, 0x7f, 0xff].map(statusOf)).toEqual([
      ...['delivered', 'delivered', 'underway', 'underway', 'failed', 'failed', 'failed', 'failed', 'failed'],
    ])
  })

  it.each(['', '0', 'xyz', '07', '0001', '000406', '00' + '04' + '0C91', '0003'])(
    'may be broken: %s',
    (hex) => {
      expect(readIncoming(hex).kind).toBe('unreadable')
    },
  )
})
