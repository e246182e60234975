import { parseRfc3339, type EpochMs } from '../../units/time.js'
import type { MessageFormat } from './care.js'
import type { AnswerLine } from './dialogue.js'
import { readIncoming, statusOf, type Incoming } from './incoming.js'
import { fromUcs2, octetsOf } from './octets.js'
import { parametersOf } from './script.js'

/** A text that somebody sent to the modem, whole. */
export interface StoredText {
  readonly from: string
  readonly text: string
  /** When the service centre took it; null when its time stamp is none. */
  readonly at: EpochMs | null
  /** Where its pieces lie in the modem's store. */
  readonly places: readonly number[]
}

export interface StoreReading {
  readonly texts: readonly StoredText[]
  readonly receipts: readonly Extract<Incoming, { kind: 'receipt' }>[]
  /** What nobody can read, receipts, and pieces whose rest never came: to be deleted, or the store fills up. */
  readonly spent: readonly number[]
  /** What could not be read, for the log. */
  readonly unreadable: readonly string[]
}

/** The other pieces of a long text come within minutes; after a day they do not come (our choice). */
const pieceWaitMs = 86_400_000

// <stat> of +CMGL: received, read or not (3GPP TS 27.005, 3.1). Drafts and sent messages are not ours.
const received: ReadonlySet<string> = new Set(['0', '1', 'REC UNREAD', 'REC READ'])

interface Entry {
  readonly place: number
  readonly incoming: Incoming
}

/** Reads the lines of `+CMGL` and joins the pieces of long texts. Pieces that still wait for others stay where they are. */
export function readStore(lines: readonly AnswerLine[], format: MessageFormat, now: EpochMs): StoreReading {
  const entries = lines.flatMap((line) => entryOf(line, format))
  const texts: StoredText[] = []
  const spent: number[] = []
  for (const pieces of joined(entries)) {
    const [first] = pieces
    if (first === undefined) continue
    const { from, at, piece } = first.incoming
    const isWhole = piece === null || pieces.length === piece.of
    if (!isWhole && (at === null || now - at < pieceWaitMs)) continue
    const text = pieces.map(({ incoming }) => incoming.text ?? '').join('')
    const places = pieces.flatMap((one) => one.places)
    if (text === '') spent.push(...places)
    else texts.push({ from, text, at, places })
  }
  const others = entries.filter(({ incoming }) => incoming.kind !== 'text')
  return {
    texts,
    receipts: others.flatMap(({ incoming }) => (incoming.kind === 'receipt' ? [incoming] : [])),
    spent: [...spent, ...others.map(({ place }) => place)],
    unreadable: others.flatMap(({ incoming }) => (incoming.kind === 'unreadable' ? [incoming.why] : [])),
  }
}

function entryOf({ text, body }: AnswerLine, format: MessageFormat): readonly Entry[] {
  const [place, status = '', from = '', , ...stamp] = parametersOf(text)
  const index = Number(place ?? NaN)
  if (!Number.isInteger(index) || !received.has(status)) return []
  if (format === 'unit') return [{ place: index, incoming: readIncoming(body ?? '') }]
  return [{ place: index, incoming: inTextMode({ status, from, stamp: stamp.join(','), body: body ?? '' }) }]
}

/** `+CMGL: 3,"REC UNREAD","002B0034",,"27/01/10,02:14:00+00"`, number and text in hexadecimal UCS-2 (3GPP TS 27.005, 3.4.2). */
function inTextMode({
  from,
  stamp,
  body,
}: {
  status: string
  from: string
  stamp: string
  body: string
}): Incoming {
  const hex = /^([0-9A-F]{4})*$/i
  if (!hex.test(from) || !hex.test(body)) return { kind: 'unreadable', why: 'a text is not written in UCS-2' }
  return {
    kind: 'text',
    from: fromUcs2(octetsOf(from)),
    at: timeOf(stamp),
    text: fromUcs2(octetsOf(body)),
    piece: null,
  }
}

/** `27/01/10,02:14:00+04`: years from 2000, the zone in quarters of an hour (3GPP TS 27.005, 3.1, <scts>). */
function timeOf(stamp: string): EpochMs | null {
  const parts = /^(\d\d)\/(\d\d)\/(\d\d),(\d\d:\d\d:\d\d)([+-])(\d\d)/.exec(stamp)
  if (parts === null) return null
  const [, year, month, day, time, sign, zone] = parts
  const quarters = Number(zone)
  const pad = (value: number): string => String(value).padStart(2, '0')
  const offset = `${sign}${pad(Math.floor(quarters / 4))}:${pad((quarters % 4) * 15)}`
  return parseRfc3339(`20${year}-${month}-${day}T${time}${offset}`)
}

/** `+CDS: 6,12,"+44…",145,"…","…",0` as text mode has it: first octet, reference, number, its type, two times, status (27.005, 3.1). */
export function receiptInTextMode(line: string): Incoming {
  const parameters = parametersOf(line)
  const reference = Number(parameters[1] ?? NaN)
  const code = Number(parameters.at(-1) ?? NaN)
  if (!Number.isInteger(reference) || !Number.isInteger(code)) {
    return { kind: 'unreadable', why: 'a receipt in text mode has no reference or status' }
  }
  const written = parameters[2] ?? ''
  const to = /^([0-9A-F]{4}){3,}$/i.test(written) ? fromUcs2(octetsOf(written)) : written
  return { kind: 'receipt', reference, to, status: statusOf(code), code }
}

interface PieceEntry {
  readonly places: readonly number[]
  readonly incoming: Extract<Incoming, { kind: 'text' }>
}

/** Texts of one message alone, and the pieces of each long one in order, each once. */
function joined(entries: readonly Entry[]): readonly (readonly PieceEntry[])[] {
  const groups = new Map<string, Map<number, PieceEntry>>()
  for (const { place, incoming } of entries) {
    if (incoming.kind !== 'text') continue
    const { from, piece } = incoming
    const key = piece === null ? `alone ${place}` : `${from} ${piece.reference} ${piece.of}`
    const group = groups.get(key) ?? new Map<number, PieceEntry>()
    const number = piece?.number ?? 1
    // The network may bring a piece twice.
    const places = [...(group.get(number)?.places ?? []), place]
    group.set(number, { places, incoming })
    groups.set(key, group)
  }
  return [...groups.values()].map((group) =>
    [...group.entries()].toSorted(([one], [other]) => one - other).map(([, entry]) => entry),
  )
}
