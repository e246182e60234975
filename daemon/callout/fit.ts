import { septetLength, toGsm7 } from './gsm7.js'

/**
 * One piece of a text: its fullest form first, then ever shorter ones. '' leaves it out. Forms bring their own blanks
 * and punctuation, so that a text is its pieces one after the other.
 */
export interface Piece {
  readonly name: string
  readonly forms: readonly string[]
}

/** A step of giving up: this piece may be shortened as far as this form. */
export interface Cut {
  readonly name: string
  readonly downTo: number
}

/**
 * The pieces in the GSM alphabet within `limit` septets. Pieces are shortened form by form in the order of `cuts`, the
 * least important first; what room is then left goes back to what was cut, the most important first. Pieces named in no
 * cut stay as they are: it is for the caller to see that these alone fit.
 */
export function fit(pieces: readonly Piece[], cuts: readonly Cut[], limit: number): string {
  const slots = new Map(pieces.map((piece) => [piece.name, slotOf(piece)]))
  const room = () => limit - [...slots.values()].reduce((sum, slot) => sum + lengthOf(slot), 0)
  for (const { name, downTo } of cuts) {
    const slot = slots.get(name)
    if (slot === undefined) continue
    while (room() < 0 && slot.at < Math.min(downTo, slot.forms.length - 1)) slot.at += 1
  }
  for (const { name } of cuts.toReversed()) {
    const slot = slots.get(name)
    if (slot === undefined) continue
    const free = room() + lengthOf(slot)
    const better = slot.forms.findIndex(({ length }) => length <= free)
    if (better >= 0 && better < slot.at) slot.at = better
  }
  return pieces
    .map(({ name }) => slots.get(name))
    .map((slot) => slot?.forms[slot.at]?.text ?? '')
    .join('')
    .trim()
}

interface Slot {
  readonly forms: readonly Form[]
  at: number
}

interface Form {
  readonly text: string
  readonly length: number
}

const slotOf = (piece: Piece): Slot => ({ forms: piece.forms.map(formOf), at: 0 })

function formOf(form: string): Form {
  const text = toGsm7(form)
  return { text, length: septetLength(text) }
}

const lengthOf = (slot: Slot): number => slot.forms[slot.at]?.length ?? 0

/**
 * A name brought towards `septets` at word borders; a single word stays whole, however long. Words that tell one thing from
 * another (with a digit, or of one letter) and the word before them stay longest: of `Northern greenhouse tank 12`
 * remains `tank 12`.
 */
export function shortName(name: string, septets: number): string {
  let words = toGsm7(name).trim().split(' ')
  while (septetLength(words.join(' ')) > septets && words.length > 1) {
    const goes = leastTelling(words)
    words = words.filter((_, index) => index !== goes)
  }
  return words.join(' ')
}

/** The same, never longer than `septets`: a word that has no border to break at is cut and ends in a full stop, a number is not cut. */
export function cappedName(name: string, septets: number): string {
  const text = shortName(name, septets)
  return septetLength(text) <= septets ? text : cutWord(text, septets)
}

function leastTelling(words: readonly string[]): number {
  const telling = words.map((word) => word.length === 1 || /\d/.test(word))
  const spare = words.map((_, index) => telling[index] === false && telling[index + 1] !== true)
  const later = spare.findLastIndex((is, index) => is && index > 0)
  if (later > 0) return later
  if (spare[0] === true && telling.includes(true)) return 0
  const plain = telling.lastIndexOf(false)
  return plain > 0 ? plain : 0
}

function cutWord(word: string, septets: number): string {
  let text = ''
  for (const character of word) {
    if (septetLength(text + character) > septets - 1) break
    text += character
  }
  const whole = text.replace(/[\d.,:]+$/, '')
  return whole === '' ? '?' : `${whole}.`
}

/** A text cut at the ends of its sentences: all of them first, then ever fewer, '' last. */
export function sentencesOf(text: string): readonly string[] {
  const sentences = text.trim().split(/(?<=[.!?])\s+/)
  return [...sentences.map((_, left) => sentences.slice(0, sentences.length - left).join(' ')), '']
}
