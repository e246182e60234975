import { cappedName, sentencesOf, shortName, type Piece } from './fit.js'
import type { Voice } from './manner.js'
import type { AlarmFacts } from './message-facts.js'
import { likelyWords, subjectOf, valueWithLimit, wrongOf } from './say-alarm.js'

// Widths in septets. Names are shortened at word borders to modest, then narrow ones. The widest are guards against endless
// words: with the longest priority, phrases and number, what must be told makes less than 160 in every language.
const modestName = 24
const narrowName = 14
const widestPlace = 56
const widestLabel = 32
const widestValue = 24
// In a list, where one entry must always fit.
const widestListed = 20
/** A text names at most so many alarms; the page tells all of them. */
export const alarmsNamedMax = 8
const peopleNamedMax = 3

/** The farm's name with `after`, ever shorter, at last left out: whoever is called knows it. Four forms. */
export const farmPiece = (name: string, after: string): Piece => ({
  name: 'farm',
  forms: [...namesOf(name).map((short) => short + after), ''],
})

/** Where it is. Three forms. */
export const placePiece = (name: string): Piece => ({
  name: 'place',
  forms: namesOf(name).map((short) => `${short}:`),
})

/** A name in full, modest and narrow. */
const namesOf = (name: string): readonly string[] =>
  [widestPlace, modestName, narrowName].map((width) => cappedName(shortName(name, width), widestPlace))

/** What is wrong, in its phrase. Two forms, the second a guard. */
export const labelPiece = (label: string, put: (label: string) => string): Piece => ({
  name: 'label',
  forms: [label, cappedName(label, widestLabel)].map(put),
})

/** The value with its limit, then the value alone; what must be told. */
export function valuePiece(alarm: AlarmFacts, voice: Voice): Piece {
  const wrong = wrongOf(alarm, voice)
  const forms = [valueWithLimit(wrong, voice.words), cappedName(wrong.value, widestValue)]
  return { name: 'value', forms: forms.map(spaced) }
}

/** The value told by the way: a follow-up is complete without. Two forms, the second ''. */
export const currentValuePiece = (value: string): Piece => ({
  name: 'value',
  forms: value === '' ? [''] : [`, ${cappedName(value, widestValue)}`, ''],
})

/** `Blower A lost pressure.` Four forms: its name in full, modest, narrow; nothing. */
export function causePiece({ likely }: AlarmFacts, { words }: Voice): Piece {
  if (likely === null) return { name: 'cause', forms: [''] }
  const forms = namesOf(likely.of).map((of) => ` ${sentence(likelyWords({ ...likely, of }, words))}`)
  return { name: 'cause', forms: [...forms, ''] }
}

/** Who was called before. Two forms, the second ''. */
export function triedPiece(tried: readonly string[], { words }: Voice): Piece {
  if (tried.length === 0) return { name: 'tried', forms: [''] }
  const names = tried.slice(0, peopleNamedMax).map((name) => cappedName(name, modestName))
  const told = enumerated(names, tried.length - names.length, words.text.andMore)
  return { name: 'tried', forms: [` ${sentence(words.text.notAnswered(told))}`, ''] }
}

/** What to do: as many of its sentences as fit. */
export const responsePiece = (response: string | null): Piece => ({
  name: 'response',
  forms: response === null ? [''] : sentencesOf(response).map((told) => spaced(sentence(told))),
})

/** Consequences or companions with their values: all, ever fewer, only how many more, nothing. */
export const alsoPiece = (also: readonly AlarmFacts[], voice: Voice): Piece =>
  companions(also, voice, { head: voice.words.text.also, isValueTold: true })

/** What went back to normal together. */
export const alsoOverPiece = (also: readonly AlarmFacts[], voice: Voice): Piece =>
  companions(also, voice, { head: voice.words.text.alsoOver, isValueTold: false })

function companions(
  alarms: readonly AlarmFacts[],
  voice: Voice,
  how: { readonly head: string; readonly isValueTold: boolean },
): Piece {
  if (alarms.length === 0) return { name: 'also', forms: [''] }
  const { text } = voice.words
  const entries = alarms.slice(0, alarmsNamedMax).map((alarm) => {
    const { what, value } = wrongOf(alarm, voice)
    const told = how.isValueTold ? [what, value] : [subjectOf(alarm, voice)]
    return joined([shortName(alarm.where, modestName), ...told])
  })
  const forms = fewerAndFewer(entries).map(
    (told) => ` ${sentence(`${how.head} ${enumerated(told, alarms.length - told.length, text.andMore)}`)}`,
  )
  return { name: 'also', forms: [...forms, ` ${text.more(alarms.length)}.`, ''] }
}

/** Alarms of a list, each with the number that answers it: `HIGH tank 1 oxygen 3.8 mg/L (47)`. The last form always fits. */
export function listPiece(alarms: readonly AlarmFacts[], voice: Voice): Piece {
  if (alarms.length === 0) return { name: 'alarms', forms: [''] }
  const { words } = voice
  const entry = (alarm: AlarmFacts, name: (text: string) => string, isValueTold: boolean) => {
    const { what, value } = wrongOf(alarm, voice)
    const told = isValueTold ? cappedName(value, widestValue) : ''
    return joined([words.priority[alarm.priority], name(alarm.where), name(what), told, `(${alarm.number})`])
  }
  const named = alarms.slice(0, alarmsNamedMax)
  const full = named.map((alarm) => entry(alarm, (name) => cappedName(name, widestPlace), true))
  const narrow = named.map((alarm) => entry(alarm, (name) => shortName(name, narrowName), true))
  const guard = named
    .slice(0, 1)
    .map((alarm) => entry(alarm, (name) => cappedName(name, widestListed), false))
  // Short names for all rather than long names for some.
  const tellings = [full, ...fewerAndFewer(narrow), guard]
  const forms = tellings.map(
    (told) => `: ${told.join('; ')}${moreOf(alarms.length - told.length, words.text.andMore)}`,
  )
  return { name: 'alarms', forms }
}

const fewerAndFewer = (entries: readonly string[]): readonly (readonly string[])[] =>
  entries.map((_, left) => entries.slice(0, entries.length - left))

const moreOf = (count: number, say: (count: number) => string): string => (count > 0 ? ` ${say(count)}` : '')

const enumerated = (told: readonly string[], more: number, say: (count: number) => string): string =>
  told.join(', ') + moreOf(more, say)

const joined = (parts: readonly string[]): string => parts.filter((part) => part !== '').join(' ')

const spaced = (text: string): string => (text === '' ? '' : ` ${text}`)

const sentence = (text: string): string => (text === '' || /[.!?]$/.test(text) ? text : `${text}.`)
