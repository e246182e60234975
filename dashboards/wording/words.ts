import { en } from './en.js'

/** Everything the page says. Another language is another object of this shape. */
export type Words = typeof en

const languages: Readonly<Record<string, Words>> = { en }

/** The words for the first language that there is; English where there is none. */
export function wordsFor(wanted: readonly string[]): Words {
  for (const tag of wanted) {
    const words = languages[tag.split('-')[0] ?? '']
    if (words !== undefined) return words
  }
  return en
}
