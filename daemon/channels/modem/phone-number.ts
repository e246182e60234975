import { fromSeptets, unpackSeptets } from '../../callout/gsm7.js'
import type { OctetReader } from './octets.js'

/** A number to send to. */
export interface PhoneNumber {
  readonly digits: string
  /** Written with + and the country before it. */
  readonly isInternational: boolean
}

// ITU-T E.164, 6.1: at most 15 digits. Service numbers may have three.
const form = /^(\+?)(\d{3,15})$/

/** Type of address with numbering plan E.164 (3GPP TS 23.040, 9.1.2.5). */
const international = 0x91
const unknownType = 0x81
const alphanumeric = 5

const semiOctets = '0123456789*#abc'
const filling = 0xf

/** Reads a number as people write it, `+44 7700 900101`; null when it is none. */
export function phoneNumberOf(written: string): PhoneNumber | null {
  const [, plus, digits] = form.exec(written.replaceAll(/[\s().\-/]/g, '')) ?? []
  return digits === undefined ? null : { digits, isInternational: plus === '+' }
}

/** Type of address of a number, as an AT command takes it too (`<toda>`, 3GPP TS 27.005, 3.1). */
export const typeOfAddress = ({ isInternational }: PhoneNumber): number =>
  isInternational ? international : unknownType

/** Destination address: number of digits, type, digits two an octet, the first in the low half (3GPP TS 23.040, 9.1.2.5). */
export function addressField(number: PhoneNumber): readonly number[] {
  const { digits } = number
  const packed = Array.from({ length: Math.ceil(digits.length / 2) }, (_, index) => {
    const high = digits[2 * index + 1]
    return ((high === undefined ? filling : Number(high)) << 4) | Number(digits[2 * index])
  })
  return [digits.length, typeOfAddress(number), ...packed]
}

/** Reads an address field: `+447700900101`, `80800`, or the name that a sender gave itself. Throws `BW_CHANNEL` when octets are missing. */
export function readAddress(reader: OctetReader): string {
  const length = reader.octet()
  const type = reader.octet()
  const octets = reader.take(Math.ceil(length / 2))
  if (((type >> 4) & 7) === alphanumeric)
    return fromSeptets(unpackSeptets(octets, Math.floor((length * 4) / 7)))
  const halves = [...octets].flatMap((octet) => [octet & 0xf, octet >> 4]).slice(0, length)
  const digits = halves.map((half) => semiOctets[half] ?? '').join('')
  return ((type >> 4) & 7) === 1 ? `+${digits}` : digits
}
