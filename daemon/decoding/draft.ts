import { between, type EpochMs } from '../units/time.js'
import { quantities } from '../units/quantities.js'
import { pointerName } from './json-pointer.js'
import { jsonDocument, payloadText } from './payload-text.js'
import { momentIn } from './time-stamp.js'

/** What was heard on a topic that no entry is for. */
export interface Heard {
  readonly topic: string
  /** The last payload. */
  readonly payload: Uint8Array
  readonly count: number
  readonly firstAt: EpochMs
  readonly lastAt: EpochMs
}

/** A first proposal for an entry under `probes:`; a person looks it over. */
export interface DraftEntry {
  readonly signal: string
  readonly topic: string
  readonly value?: string
  readonly time?: string
  readonly unit?: string
  readonly words?: true
  readonly every?: string
  /** What the person should know: what was seen, what is only guessed. */
  readonly note: string
}

/** Values proposed from one message; a status page in JSON may hold hundreds of numbers. */
const valuesMax = 12

/** Draft entries for one topic, one for each number found. Empty when the payload holds nothing usable. */
export function draftEntries(heard: Heard, placeIds: readonly string[]): readonly DraftEntry[] {
  const text = payloadText(heard.payload)
  if (text.kind === 'flawed') return []
  const base = { topic: heard.topic, ...everyOf(heard) }
  const bare = text.value.trim()
  if (!/^[[{]/.test(bare)) return [bareDraft(base, bare, placeIds)]
  const document = jsonDocument(bare)
  if (document.kind === 'flawed') return []
  const leaves = leavesOf(document.value, '')
  const time = leaves.find((leaf) => isTime(leaf))
  return leaves
    .filter((leaf) => leaf !== time && isValue(leaf))
    .slice(0, valuesMax)
    .map((leaf) => {
      const guess = guessed(`${heard.topic}/${leaf.pointer}`, placeIds)
      const note = `${shown(leaf.value)} was seen${guess.note}`
      const timed = time === undefined ? {} : { time: time.pointer }
      return { signal: guess.signal, ...base, value: leaf.pointer, ...timed, ...guess.unit, note }
    })
}

type Base = Pick<DraftEntry, 'topic' | 'every'>

function bareDraft(base: Base, text: string, placeIds: readonly string[]): DraftEntry {
  const { signal, unit, note } = guessed(base.topic, placeIds)
  const seen = `${shown(text)} was seen${note}`
  if (isNumeric(text) || twoValuedWords.test(text)) return { signal, ...base, ...unit, note: seen }
  return { signal, ...base, words: true, note: seen }
}

const twoValuedWords = /^(?:true|false|on|off|open|closed)$/i
const isNumeric = (text: string): boolean => text !== '' && Number.isFinite(Number(text))
const shown = (value: unknown): string => String(JSON.stringify(value)).slice(0, 40)

interface Leaf {
  readonly pointer: string
  readonly value: unknown
}

function leavesOf(value: unknown, pointer: string): readonly Leaf[] {
  if (typeof value !== 'object' || value === null) return [{ pointer, value }]
  return Object.entries(value).flatMap(([name, inner]) => leavesOf(inner, `${pointer}/${pointerName(name)}`))
}

const timeWords = /(?:^|[/_])(?:ts|t|time|timestamp|date|datetime|at|when|epoch)(?:_?(?:ms|s|utc))?$/i

const isTime = ({ pointer, value }: Leaf): boolean => timeWords.test(pointer) && momentIn(value) !== null

const isValue = ({ value }: Leaf): boolean =>
  typeof value === 'number' || typeof value === 'boolean' || (typeof value === 'string' && isNumeric(value))

/** Everyday words in topics and fields, and the quantity that they likely mean. Common practice. */
const wordsOfQuantities: readonly (readonly [RegExp, string])[] = [
  [/^(?:do|oxygen|o2)$/, 'dissolved_oxygen'],
  [/^(?:air_?temp(?:erature)?)$/, 'air_temperature'],
  [/^(?:temp|temperature|water_?temp|t_?water)$/, 'water_temperature'],
  [/^ph$/, 'ph'],
  [/^(?:ec|cond|conductivity)$/, 'conductivity'],
  [/^(?:sal|salinity)$/, 'salinity'],
  [/^(?:tan|ammonia|nh[34])$/, 'total_ammonia_nitrogen'],
  [/^(?:nitrite|no2)$/, 'nitrite_nitrogen'],
  [/^(?:nitrate|no3)$/, 'nitrate_nitrogen'],
  [/^co2$/, 'carbon_dioxide'],
  [/^(?:level|depth)$/, 'water_level'],
  [/^(?:flow|flowrate)$/, 'flow'],
  [/^(?:amps?|current)$/, 'current'],
  [/^(?:watts?|power)$/, 'power'],
  [/^(?:volts?|voltage)$/, 'voltage'],
  [/^(?:rh|hum|humidity)$/, 'relative_humidity'],
  [/^(?:pressure|kpa)$/, 'air_pressure'],
  [/^(?:par|ppfd)$/, 'photon_flux'],
  [/^(?:solar|irradiance)$/, 'irradiance'],
  [/^(?:state|running|relay)$/, 'running'],
  [/^(?:ups|status)$/, 'status'],
  [/^(?:battery|soc|charge)$/, 'charge'],
]

interface Guess {
  readonly signal: string
  readonly unit: { readonly unit?: string }
  readonly note: string
}

function guessed(path: string, placeIds: readonly string[]): Guess {
  const levels = path.split('/').filter((level) => level !== '')
  const quantity = quantityIn(levels)
  const place = placeIds.find((id) => levels.some((level) => squeezed(level) === squeezed(id)))
  const doubts = [
    ...(place === undefined ? ['the place'] : []),
    ...(quantity === undefined ? ['the quantity'] : []),
  ]
  return {
    signal: `${place ?? levels.at(-2)?.toLowerCase() ?? 'some-place'}/${quantity?.name ?? 'which_quantity'}`,
    unit: quantity?.kind === 'number' ? { unit: quantity.unit } : {},
    note: doubts.length === 0 ? '; check the unit' : `; say ${doubts.join(' and ')}`,
  }
}

/** The last level says most, then from right to left. */
function quantityIn(levels: readonly string[]): (typeof quantities)[number] | undefined {
  for (const level of [...levels].reverse()) {
    for (const word of [level.toLowerCase(), ...level.toLowerCase().split(/[_\-.\s]/)]) {
      const direct = quantities.find(({ name }) => name === word)
      const name = wordsOfQuantities.find(([form]) => form.test(word))?.[1]
      const found = direct ?? quantities.find((quantity) => quantity.name === name)
      if (found !== undefined) return found
    }
  }
  return undefined
}

const squeezed = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '')

/** Periods that people choose, in seconds: a message comes a little late, so the nearest of these is likelier. */
const usualPeriods = [1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1800, 3600]

function everyOf({ count, firstAt, lastAt }: Heard): { readonly every?: string } {
  if (count < 2) return {}
  const seconds = between(firstAt, lastAt) / 1000 / (count - 1)
  if (!(seconds > 0)) return {}
  const near = usualPeriods.find((period) => Math.abs(period - seconds) <= period * 0.2)
  const told = near ?? Math.max(1, Math.round(seconds))
  return { every: told >= 60 && told % 60 === 0 ? `${told / 60} min` : `${told} s` }
}
