import { wordsFor } from '../callout/words/choose.js'
import type { Letter } from '../ports/channel.js'

/** The letter's body with its answer link, where there is one. */
export const bodyOf = (letter: Letter): string =>
  letter.link === null
    ? letter.body
    : `${letter.body}\n${wordsFor(letter.language).mail.answerLink}: ${letter.link}\n`
