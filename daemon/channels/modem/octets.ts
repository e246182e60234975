import { Fault } from '../../errors.js'

/** Reads a protocol data unit from its first octet to its last. Every take throws `BW_CHANNEL` when octets are missing. */
export interface OctetReader {
  octet(): number
  take(count: number): Uint8Array
  rest(): Uint8Array
}

export function octetReader(octets: Uint8Array): OctetReader {
  let at = 0
  const take = (count: number): Uint8Array => {
    if (at + count > octets.length) {
      throw new Fault(
        'BW_CHANNEL',
        `a data unit of ${octets.length} octets ends before octet ${at + count} of it`,
      )
    }
    at += count
    return octets.subarray(at - count, at)
  }
  return { octet: () => take(1)[0] ?? 0, take, rest: () => take(octets.length - at) }
}

/** `0CA1` for 12, 161. The form of data units on the line (3GPP TS 27.005, 3.1, `<pdu>`). */
export const hexOf = (octets: Uint8Array): string => Buffer.from(octets).toString('hex').toUpperCase()

/** Reads what `hexOf` writes. Throws `BW_CHANNEL` for anything else. */
export function octetsOf(hex: string): Uint8Array {
  if (!/^([0-9a-f]{2})*$/i.test(hex))
    throw new Fault('BW_CHANNEL', 'a data unit is not written in hexadecimal')
  return Uint8Array.from(Buffer.from(hex, 'hex'))
}

/** Sixteen-bit units, high octet first (UCS-2: 3GPP TS 23.038, 6.2.3). */
export function toUcs2(text: string): Uint8Array {
  const octets = new Uint8Array(text.length * 2)
  for (let index = 0; index < text.length; index++) {
    octets[2 * index] = text.charCodeAt(index) >> 8
    octets[2 * index + 1] = text.charCodeAt(index) & 0xff
  }
  return octets
}

/** Reads what `toUcs2` writes; an odd octet at the end is left off. */
export function fromUcs2(octets: Uint8Array): string {
  let text = ''
  for (let index = 0; index + 1 < octets.length; index += 2) {
    text += String.fromCharCode(((octets[index] ?? 0) << 8) | (octets[index + 1] ?? 0))
  }
  return text
}
