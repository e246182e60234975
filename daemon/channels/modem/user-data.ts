import {
  fromSeptets,
  isGsm7,
  packSeptets,
  septetLength,
  septetsPerText,
  toSeptets,
  unpackSeptets,
} from '../../callout/gsm7.js'
import { fromUcs2, octetReader, toUcs2 } from './octets.js'

export type Alphabet = 'gsm7' | 'ucs2'

/** What one text message carries. */
export interface UserData {
  readonly alphabet: Alphabet
  readonly hasHeader: boolean
  /** TP-UDL: septets in the alphabet of seven bits, else octets, the header counted. */
  readonly length: number
  readonly octets: Uint8Array
}

/** Which piece of a long text. */
export interface Piece {
  readonly reference: number
  readonly of: number
  /** From 1. */
  readonly number: number
}

// 140 octets hold 160 septets or 70 sixteen-bit units; a header of six octets leaves 153 or 67 (3GPP TS 23.040, 9.2.3.24.1).
const capacity = {
  gsm7: { alone: septetsPerText, piece: 153 },
  ucs2: { alone: 70, piece: 67 },
} as const
const headerOctets = 6
/** The header takes the place of seven septets, the last bit of which stays free. */
const headerSeptets = 7
const headerFill = 1

export const alphabetFor = (text: string): Alphabet => (isGsm7(text) ? 'gsm7' : 'ucs2')

/** The text as the user data of one message, or of several that the receiver joins. `reference`: 0 to 255, alike for all pieces. */
export function userDataOf(text: string, reference: number): readonly UserData[] {
  const alphabet = alphabetFor(text)
  const pieces = piecesOf(text, alphabet)
  if (pieces.length === 1) return [encoded(text, alphabet, null)]
  return pieces.map((piece, index) =>
    encoded(piece, alphabet, { reference, of: pieces.length, number: index + 1 }),
  )
}

/** The text cut where messages end; never inside a character. */
export function piecesOf(
  text: string,
  alphabet: Alphabet,
  perPiece: number = capacity[alphabet].piece,
): string[] {
  const sizeOf = (part: string): number => (alphabet === 'gsm7' ? septetLength(part) : part.length)
  if (sizeOf(text) <= capacity[alphabet].alone) return [text]
  const pieces: string[] = []
  let piece = ''
  let size = 0
  for (const character of text) {
    const more = sizeOf(character)
    if (size + more > perPiece) {
      pieces.push(piece)
      piece = ''
      size = 0
    }
    piece += character
    size += more
  }
  return [...pieces, piece]
}

function encoded(text: string, alphabet: Alphabet, piece: Piece | null): UserData {
  // Concatenated short messages, 8-bit reference: element 0, three octets (3GPP TS 23.040, 9.2.3.24.1).
  const header = piece === null ? [] : [headerOctets - 1, 0, 3, piece.reference, piece.of, piece.number]
  if (alphabet === 'ucs2') {
    const octets = Uint8Array.of(...header, ...toUcs2(text))
    return { alphabet, hasHeader: piece !== null, length: octets.length, octets }
  }
  const septets = toSeptets(text)
  const packed = packSeptets(septets, piece === null ? 0 : headerFill)
  return {
    alphabet,
    hasHeader: piece !== null,
    length: septets.length + (piece === null ? 0 : headerSeptets),
    octets: Uint8Array.of(...header, ...packed),
  }
}

export interface ReadUserData {
  /** Null when it is data that no person wrote. */
  readonly text: string | null
  readonly piece: Piece | null
}

/** Reads user data (without TP-UDL, which is `length`) coded as `dataCoding` says. Throws `BW_CHANNEL` when octets are missing. */
export function readUserData(coded: {
  readonly dataCoding: number
  readonly hasHeader: boolean
  readonly length: number
  readonly octets: Uint8Array
}): ReadUserData {
  const { hasHeader, length, octets } = coded
  const headerLength = hasHeader ? 1 + (octets[0] ?? 0) : 0
  const piece = hasHeader ? pieceIn(octetReader(octets.subarray(1)).take(headerLength - 1)) : null
  switch (alphabetIn(coded.dataCoding)) {
    case 'data':
      return { text: null, piece }
    case 'ucs2':
      return { text: fromUcs2(octetReader(octets).take(length).subarray(headerLength)), piece }
    case 'gsm7': {
      const inHeader = Math.ceil((headerLength * 8) / 7)
      const all = unpackSeptets(octets, Math.max(length, inHeader))
      return { text: fromSeptets(all.slice(inHeader)), piece }
    }
  }
}

/** Finds the element that says which piece of a long text this is, with a reference of one octet or two (9.2.3.24.1, 9.2.3.24.8). */
function pieceIn(elements: Uint8Array): Piece | null {
  let at = 0
  while (at + 1 < elements.length) {
    const kind = elements[at]
    const size = elements[at + 1] ?? 0
    const data = elements.subarray(at + 2, at + 2 + size)
    at += 2 + size
    const wide = kind === 8 && data.length === 4
    if (!wide && !(kind === 0 && data.length === 3)) continue
    const [of = 0, number = 0] = data.subarray(wide ? 2 : 1)
    // Such an element shall be ignored (9.2.3.24.1).
    if (of === 0 || number === 0 || number > of) continue
    return { reference: wide ? ((data[0] ?? 0) << 8) | (data[1] ?? 0) : (data[0] ?? 0), of, number }
  }
  return null
}

/** 3GPP TS 23.038, 4. Reserved codings count as the default alphabet, as it asks; compressed text as data. */
function alphabetIn(dataCoding: number): Alphabet | 'data' {
  const group = dataCoding >> 4
  if (group < 8) {
    if ((dataCoding & 0x20) !== 0) return 'data'
    const alphabet = (dataCoding >> 2) & 3
    return alphabet === 1 ? 'data' : alphabet === 2 ? 'ucs2' : 'gsm7'
  }
  if (group === 0xe) return 'ucs2'
  return group === 0xf && (dataCoding & 4) !== 0 ? 'data' : 'gsm7'
}
