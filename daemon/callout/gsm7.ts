import { Fault } from '../errors.js'
import { transliterated } from './transliterate.js'

/**
 * The GSM 7 bit default alphabet and its extension table.
 * @source 3GPP TS 23.038 (ETSI TS 123 038), 6.2.1 and 6.2.1.1
 */
const escape = 0x1b
const alphabet =
  '@£$¥èéùìòÇ\nØø\rÅå' +
  'Δ_ΦΓΛΩΠΨΣΘΞ\u001bÆæßÉ' +
  ' !"#¤%&\'()*+,-./' +
  '0123456789:;<=>?' +
  '¡ABCDEFGHIJKLMNO' +
  'PQRSTUVWXYZÄÖÑÜ§' +
  '¿abcdefghijklmno' +
  'pqrstuvwxyzäöñüà'

const extension: ReadonlyMap<string, number> = new Map([
  ['\f', 0x0a],
  ['^', 0x14],
  ['{', 0x28],
  ['}', 0x29],
  ['\\', 0x2f],
  ['[', 0x3c],
  ['~', 0x3d],
  [']', 0x3e],
  ['|', 0x40],
  ['€', 0x65],
])

const codeOf: ReadonlyMap<string, number> = new Map(
  [...alphabet].map((character, code) => [character, code] as const).filter(([, code]) => code !== escape),
)
const extended: ReadonlyMap<number, string> = new Map(
  [...extension].map(([character, code]) => [code, character] as const),
)

/** Septets that one text message holds in one part: 140 octets (3GPP TS 23.040, 9.2.3.24). */
export const septetsPerText = 160

const septetsOf = (character: string): number =>
  codeOf.has(character) ? 1 : extension.has(character) ? 2 : Infinity

/** How many septets the text takes; characters of the extension table count two. Infinity when it cannot be encoded. */
export function septetLength(text: string): number {
  let length = 0
  for (const character of text) length += septetsOf(character)
  return length
}

/** Whether the text can be sent without the sixteen-bit alphabet, which would hold only 70 characters. */
export const isGsm7 = (text: string): boolean => Number.isFinite(septetLength(text))

// Most of what is said: letters, digits and signs at the same place in ASCII and in the GSM alphabet, single blanks.
const plainly = /^(?: ?[A-Za-z0-9!"#%&'()*+,./:;<=>?_-])* ?$/

/**
 * The text in characters of the GSM alphabet. Accents that the table lacks are left off, typographic signs become plain
 * ones, other scripts are transliterated; what has no equivalent becomes one `?`. White space and control characters
 * become single spaces. Text that fits already comes back unchanged.
 */
export function toGsm7(text: string): string {
  if (plainly.test(text)) return text
  let plain = ''
  const composed = text
    .normalize('NFC')
    .replaceAll(/[\s\p{Cc}]+/gu, ' ')
    // A Greek mu before a Latin letter is the micro of a unit.
    .replaceAll(/μ(?=[A-Za-z])/g, 'u')
  for (const character of composed) {
    if (isGsm7(character)) {
      plain += character
      continue
    }
    const next = transliterated(character, isGsm7)
    // A name in a script without a table is one question mark, not a row of them.
    plain += plain.endsWith('?') ? next.replace(/^\?/, '') : next
  }
  // A mark that came to nothing may have stood between two spaces.
  return plain.replaceAll(/ {2,}/g, ' ')
}

/** The septets of the text, each 0 to 127, extension characters as escape and code. Throws `BW_CHANNEL` when it cannot be encoded. */
export function toSeptets(text: string): readonly number[] {
  const septets: number[] = []
  for (const character of text) {
    const plain = codeOf.get(character)
    const more = extension.get(character)
    if (plain !== undefined) septets.push(plain)
    else if (more !== undefined) septets.push(escape, more)
    else {
      throw new Fault(
        'BW_CHANNEL',
        `character ${JSON.stringify(character)} is not in the GSM 7 bit alphabet`,
        'transliterate the text with toGsm7 first',
      )
    }
  }
  return septets
}

/**
 * The user data of a text in protocol data unit mode: the number of septets (TP-UDL), then the septets packed into octets,
 * the first in the low bits. Without a user data header. Throws `BW_CHANNEL` beyond 160 septets.
 * @source 3GPP TS 23.038, 6.1.2.1.1; 3GPP TS 23.040, 9.2.3.16 and 9.2.3.24
 */
export function packUserData(text: string): Uint8Array {
  const septets = toSeptets(text)
  if (septets.length > septetsPerText) {
    throw new Fault('BW_CHANNEL', `a text of ${septets.length} septets does not fit into ${septetsPerText}`)
  }
  const octets = new Uint8Array(1 + Math.ceil((septets.length * 7) / 8))
  octets[0] = septets.length
  septets.forEach((septet, index) => {
    const bit = index * 7
    const at = 1 + Math.floor(bit / 8)
    const shifted = septet << (bit % 8)
    octets[at] = (octets[at] ?? 0) | (shifted & 0xff)
    if (shifted > 0xff) octets[at + 1] = (octets[at + 1] ?? 0) | (shifted >> 8)
  })
  return octets
}

/**
 * Reads user data back into text. An escape before a code that the extension table does not know shows the plain
 * character (3GPP TS 23.038, 6.2.1.1, note 1). Throws `BW_CHANNEL` when octets are missing.
 */
export function unpackUserData(octets: Uint8Array): string {
  const count = octets[0] ?? 0
  if (octets.length < 1 + Math.ceil((count * 7) / 8)) {
    throw new Fault('BW_CHANNEL', `user data of ${octets.length - 1} octets cannot hold ${count} septets`)
  }
  let text = ''
  let escaped = false
  for (let index = 0; index < count; index++) {
    const bit = index * 7
    const at = 1 + Math.floor(bit / 8)
    const septet = (((octets[at] ?? 0) | ((octets[at + 1] ?? 0) << 8)) >> (bit % 8)) & 0x7f
    if (septet === escape && !escaped) {
      escaped = true
      continue
    }
    text += (escaped ? extended.get(septet) : undefined) ?? alphabet[septet] ?? ''
    escaped = false
  }
  return text
}
