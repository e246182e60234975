import type { StateWord } from '../alarms/memory.js'
import type { JournalLine, Sample } from '../ports/history.js'
import type { EpochMs, Milliseconds } from '../units/time.js'

/** One thing that happened, in words. */
export interface Happening {
  readonly at: EpochMs
  readonly kind: 'failure' | 'alarm' | 'call' | 'delivery' | 'answer' | 'recovery' | 'note'
  readonly says: string
}

/** How low (or high) a signal went, and for how long it lay beyond a limit. */
export interface Extreme {
  readonly signal: string
  readonly at: EpochMs
  readonly value: number
  readonly unit: string
  readonly limit: number | null
  /** Time beyond the limit within the period; gaps are not counted. */
  readonly beyondFor: Milliseconds | null
}

/** The first account of a period: what happened in order, the lows, and how fast each step was. */
export interface Account {
  readonly from: EpochMs
  readonly to: EpochMs
  readonly happenings: readonly Happening[]
  readonly lows: readonly Extreme[]
  /** From the beginning of the first condition. */
  readonly times: {
    readonly conditionAt: EpochMs | null
    readonly alarmAt: EpochMs | null
    readonly firstCallAt: EpochMs | null
    readonly firstAnswerAt: EpochMs | null
    readonly allWellAt: EpochMs | null
  }
}

/** The journal's documents as far as an account reads them. */
interface Doc {
  readonly alarm?: string
  readonly from?: StateWord
  readonly to?: string
  readonly by?: string
  readonly kind?: string
  readonly text?: string
  readonly accepted?: boolean
  readonly outcome?: string
  readonly of?: string
  readonly mode?: string
  readonly evidence?: readonly string[]
  readonly channel?: string
  readonly on?: boolean
  readonly phase?: string
  readonly condition_since?: EpochMs
  readonly priority?: string
  readonly occurrence?: number
  readonly superseded?: boolean
}

/** Tells a period from the journal, oldest first. Lines of a kind that says nothing to people are left out. */
export function happeningsOf(journal: readonly JournalLine[]): Happening[] {
  return journal.flatMap((line) => {
    const told = inWords(line.event, line.doc as Doc)
    return told === null ? [] : [{ at: line.at, ...told }]
  })
}

function inWords(event: string, doc: Doc): Omit<Happening, 'at'> | null {
  switch (event) {
    case 'verdict': {
      const normal = doc.mode === 'normal'
      const evidence = doc.evidence?.join('; ') ?? ''
      return {
        kind: normal ? 'recovery' : 'failure',
        says: `${doc.of ?? ''} ${(doc.mode ?? '').replaceAll('_', ' ')}${evidence === '' ? '' : `: ${evidence}`}`,
      }
    }
    case 'state':
      return stateInWords(doc)
    case 'message':
      return {
        kind: 'call',
        says: `${doc.kind ?? 'message'} to ${doc.to ?? ''} by ${doc.by ?? ''}: ${doc.text ?? ''}`,
      }
    case 'delivery':
      return { kind: 'delivery', says: `${doc.by ?? ''} to ${doc.to ?? ''} ${doc.outcome ?? ''}` }
    case 'answer':
      return {
        kind: 'answer',
        says: `${doc.to ?? ''}: ${doc.accepted === false ? 'refused. ' : ''}${doc.text ?? ''}`,
      }
    case 'switch':
      return { kind: 'call', says: `${doc.channel ?? ''} switched ${doc.on === true ? 'on' : 'off'}` }
    case 'flood':
      return { kind: 'note', says: `alarm flood ${doc.phase === 'begin' ? 'begins' : 'is over'}` }
    case 'change':
      return { kind: 'note', says: `settings changed by ${doc.by ?? ''}` }
    default:
      return null
  }
}

const stateSays: Partial<Record<string, string>> = {
  UNACK: 'alarm',
  ACKED: 'acknowledged',
  RTNUN: 'back to normal, not yet acknowledged',
  NORM: 'normal',
  LATUN: 'back to normal, latched',
  LATAK: 'acknowledged, latched',
  SHLVD: 'shelved',
  DSUPR: 'suppressed by design',
  OOSRV: 'out of service',
}

function stateInWords(doc: Doc): Omit<Happening, 'at'> | null {
  if (doc.superseded === true) return null
  const to = doc.to ?? ''
  const recovered = to === 'NORM' || to === 'RTNUN'
  const who = doc.by === undefined ? '' : ` by ${doc.by}`
  const priority = to === 'UNACK' ? ` (${doc.priority ?? ''})` : ''
  return {
    kind: recovered ? 'recovery' : 'alarm',
    says: `${doc.alarm ?? ''} ${stateSays[to] ?? to}${who}${priority}`,
  }
}

/** When each thing was true, known, called and answered, for the first alarm that called in the period. */
export function timesOf(journal: readonly JournalLine[]): Account['times'] {
  const first = (holds: (line: JournalLine, doc: Doc) => boolean): JournalLine | undefined =>
    journal.find((line) => holds(line, line.doc as Doc))
  const alarm = first((line, doc) => line.event === 'state' && doc.to === 'UNACK')
  const call = first((line, doc) => line.event === 'message' && doc.kind === 'activation')
  const answer = first((line, doc) => line.event === 'state' && doc.to === 'ACKED')
  const open = new Set<string>()
  let allWell: EpochMs | null = null
  for (const { event, at, doc } of journal) {
    if (event !== 'state') continue
    const { alarm: id = '', to } = doc as Doc
    if (to === 'UNACK' || to === 'ACKED') open.add(id)
    else if (to === 'NORM' || to === 'RTNUN') open.delete(id)
    allWell = open.size === 0 ? (allWell ?? at) : null
  }
  return {
    conditionAt: alarm === undefined ? null : ((alarm.doc as Doc).condition_since ?? alarm.at),
    alarmAt: alarm?.at ?? null,
    firstCallAt: call?.at ?? null,
    firstAnswerAt: answer?.at ?? null,
    allWellAt: alarm === undefined ? null : allWell,
  }
}

/** A limit by which a signal's course is measured. */
export interface Measured {
  readonly signal: string
  readonly unit: string
  readonly beyond: 'above' | 'below'
  readonly limit: number
}

/** The worst value of a course and the time beyond its limit; null when there is no usable sample. */
export function extremeOf(
  samples: readonly Sample[],
  { signal, unit, beyond, limit }: Measured,
  longestGap: Milliseconds,
): Extreme | null {
  const sign = beyond === 'below' ? 1 : -1
  let worst: { at: EpochMs; value: number } | null = null
  let beyondFor = 0
  let before: { at: EpochMs; value: number } | null = null
  for (const { at, value, quality } of samples) {
    if (typeof value !== 'number' || quality === 'bad') continue
    if (worst === null || sign * value < sign * worst.value) worst = { at, value }
    if (before !== null && at - before.at <= longestGap)
      beyondFor += shareBeyond(before.value, value, { sign, limit }) * (at - before.at)
    before = { at, value }
  }
  return worst === null
    ? null
    : { signal, ...worst, unit, limit, beyondFor: Math.round(beyondFor) as Milliseconds }
}

/** Which share of a straight line between two samples lies beyond the limit. */
function shareBeyond(a: number, b: number, { sign, limit }: { sign: number; limit: number }): number {
  const [from, to] = [sign * (limit - a), sign * (limit - b)]
  if (from <= 0 && to <= 0) return 0
  if (from > 0 && to > 0) return 1
  return Math.max(from, to) / Math.abs(from - to)
}

/** An incident in the journal: from the first alarm until all is well again, apart from the next by this quiet. */
export interface Incident {
  readonly from: EpochMs
  readonly to: EpochMs
  readonly first: string
}

/** Periods in which some alarm was active, those closer than `apart` joined, oldest first. */
export function incidentsOf(journal: readonly JournalLine[], apart: Milliseconds): Incident[] {
  const incidents: { from: EpochMs; to: EpochMs; first: string }[] = []
  const open = new Set<string>()
  for (const { event, at, doc } of journal) {
    if (event !== 'state') continue
    const { alarm = '', to, condition_since: since } = doc as Doc
    if (to === 'UNACK') {
      const last = incidents.at(-1)
      const from = since ?? at
      if (open.size === 0 && (last === undefined || from - last.to > apart))
        incidents.push({ from, to: at, first: alarm })
      open.add(alarm)
    } else if (to === 'NORM' || to === 'RTNUN' || to === 'OOSRV' || to === 'SHLVD') open.delete(alarm)
    const last = incidents.at(-1)
    if (last !== undefined && (open.size > 0 || to === 'NORM' || to === 'RTNUN')) last.to = at
  }
  return incidents
}
