import fc from 'fast-check'
import { expect, it } from 'vitest'
import { isGsm7, septetLength, toGsm7 } from '../../daemon/callout/gsm7.js'
import { voiceOf } from '../../daemon/callout/manner.js'
import { wrongOf } from '../../daemon/callout/say-alarm.js'
import { shortText, textWithin } from '../../daemon/callout/short-text.js'
import { wordsFor } from '../../daemon/callout/words/choose.js'
import { manners, messages } from './arbitrary-facts.js'

const numRuns = 3000

/** Numbers as they stand: `3.8`, `02:12`, `47`; those that count what was left out are the text's own. */
const numbersOf = (text: string): readonly string[] =>
  toGsm7(text)
    .replaceAll(/\b(and|And|y|Y) \d+ (more|mas)\b/g, '')
    .match(/\d+(?:[.,:]\d+)*/g) ?? []

it('never takes more than 160 septets and never leaves the GSM alphabet', () => {
  fc.assert(
    fc.property(messages, manners, (facts, manner) => {
      const text = shortText(facts, manner)
      expect(isGsm7(text)).toBe(true)
      expect(septetLength(text)).toBeLessThanOrEqual(160)
      expect(text.trim()).toBe(text)
    }),
    { numRuns },
  )
})

it('never cuts a number: each one stands in the text of unlimited length too', () => {
  fc.assert(
    fc.property(messages, manners, (facts, manner) => {
      const all = new Set(numbersOf(textWithin(facts, manner, 100_000)))
      for (const number of numbersOf(shortText(facts, manner))) expect(all).toContain(number)
    }),
    { numRuns },
  )
})

it('always tells priority first, then the value, then the number that answers', () => {
  fc.assert(
    fc.property(
      messages.filter((facts) => facts.kind === 'activation'),
      manners,
      (facts, manner) => {
        const voice = voiceOf(manner)
        const text = shortText(facts, manner)
        const { priority, number, measured } = facts.alarm
        expect(text.startsWith(toGsm7(voice.words.priority[priority]))).toBe(true)
        expect(text.endsWith(toGsm7(` ${voice.words.text.reply(number)}`))).toBe(true)
        if (typeof measured?.value === 'number') {
          const said = wrongOf(facts.alarm, voice)
          expect(text).toContain(toGsm7(` ${said.against?.value ?? said.value}`))
        }
      },
    ),
    { numRuns },
  )
})

it('always says in a list of alarms how the first is answered, and in a test that it is one', () => {
  fc.assert(
    fc.property(
      messages.filter((facts) => facts.kind !== 'activation'),
      manners,
      (facts, manner) => {
        const text = shortText(facts, manner)
        if (facts.kind === 'test') {
          expect(text.startsWith(wordsFor(manner.language).text.test)).toBe(true)
          expect(text.endsWith(`OK ${facts.number}`)).toBe(true)
        }
        if ('alarms' in facts)
          for (const first of facts.alarms.slice(0, 1)) expect(text).toContain(`(${first.number})`)
        if (facts.kind === 'follow-up' || facts.kind === 'chattering')
          expect(text).toContain(` ${facts.alarm.number})`)
      },
    ),
    { numRuns },
  )
})
