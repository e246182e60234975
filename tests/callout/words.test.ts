import { describe, expect, it } from 'vitest'
import { septetLength, toGsm7 } from '../../daemon/callout/gsm7.js'
import { languages, wordsFor } from '../../daemon/callout/words/choose.js'
import { modes } from '../../daemon/callout/words/words.js'
import { quantities } from '../../daemon/units/quantities.js'

/** Every text of a table, functions called with plain arguments. */
function saidBy(words: object): readonly string[] {
  return Object.values(words).flatMap((value: unknown) => {
    if (typeof value === 'string') return [value]
    if (typeof value === 'function') return [String(Reflect.apply(value, null, [2, 2]))]
    return typeof value === 'object' && value !== null ? saidBy(value) : []
  })
}

describe.each(languages.map((words) => [words.language, words] as const))('words: %s', (_, words) => {
  it('has a word for every quantity of the closed list, and none for others', () => {
    expect(Object.keys(words.quantity).toSorted()).toEqual(quantities.map(({ name }) => name).toSorted())
  })
  it('says everything, and can be read in the GSM alphabet', () => {
    for (const said of saidBy(words)) {
      expect(said.trim()).not.toBe('')
      expect(toGsm7(said)).not.toContain('?')
    }
  })
  it('tells modes, priorities and days apart', () => {
    const { weekdays, months } = words
    for (const list of [Object.values(words.priority), Object.values(words.trend), weekdays, months]) {
      expect(new Set(list).size).toBe(list.length)
    }
    expect([weekdays.length, months.length]).toEqual([7, 12])
    expect(Object.keys(words.mode).toSorted()).toEqual([...modes].toSorted())
  })
  it('keeps labels short enough that a text always has room for the rest', () => {
    for (const label of [...Object.values(words.quantity), ...Object.values(words.mode)]) {
      expect(septetLength(toGsm7(label))).toBeLessThanOrEqual(32)
    }
  })
})

it('calls quantities in English as the pages do', () => {
  expect(wordsFor('en').quantity).toEqual(
    Object.fromEntries(quantities.map(({ name, label }) => [name, label])),
  )
})

it('finds words by language alone, and English where there are none', () => {
  expect(wordsFor('es-MX').language).toBe('es')
  expect(wordsFor('ES').language).toBe('es')
  expect(wordsFor('fi').language).toBe('en')
})
