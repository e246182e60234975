import { english } from './en.js'
import { spanish } from './es.js'
import type { Words } from './words.js'

/** The languages there are words for. */
export const languages: readonly Words[] = [english, spanish]

/** The words of a language by its BCP 47 tag, the region left aside (`es-MX` is Spanish); English where there are none. */
export function wordsFor(language: string): Words {
  const [primary] = language.toLowerCase().split(/[-_]/)
  return languages.find((words) => words.language === primary) ?? english
}
