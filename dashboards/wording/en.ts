import type { AlarmNow, Priority, Quality, SignalNow } from '../../daemon/http/contract.js'
import { valueText, type ShowUnits } from './shown.js'
import { clockTime, momentText, spanText } from './time.js'
import type { Doubt, Trend, Trouble, Verdict } from './verdict.js'

/** What times and units are told by. */
export interface Manner {
  readonly now: number
  readonly timeZone: string
  readonly units: ShowUnits
}

const many = (count: number, one: string, more = `${one}s`): string => `${count} ${count === 1 ? one : more}`
/** Begins with a capital, unless the word has one of its own already: pH stays pH. */
const sentence = (text: string): string =>
  /^.\p{Lu}/u.test(text) ? text : text.charAt(0).toUpperCase() + text.slice(1)

/** Modes that name an event: they are told by how long ago. The others are states and are told by since when. */
const events = new Set(['stopped', 'lost'])

const doubtWords: Readonly<Record<Doubt['kind'], (count: number) => string>> = {
  stale: (count) => `${many(count, 'signal')} not heard`,
  shelved: (count) => `${many(count, 'alarm')} shelved`,
  suppressed: (count) => `${many(count, 'alarm')} suppressed by design`,
  'out-of-service': (count) => `${many(count, 'alarm')} out of service`,
  equipment: (count) => `${many(count, 'piece', 'pieces')} of equipment not normal`,
  'nothing-watched': () => 'nothing is watched yet',
}

const trendWords: Readonly<Record<Trend, string>> = { falling: 'falling', rising: 'rising', steady: '' }

function troubleText({ alarm, signal, trend }: Trouble, manner: Manner, spoken: boolean): string {
  const over = alarm.active ? '' : ', over now'
  const value = signal?.value ?? null
  if (signal !== null && value !== null && !signal.stale && signal.quality !== 'bad') {
    const course = trendWords[trend]
    const figure = valueText(signal, value, manner.units)
    return `${alarm.where} ${signal.label} ${figure}${course === '' ? '' : `, ${course}`}${over}`
  }
  const since = alarm.conditionSince
  if (since === null) return `${alarm.where} ${alarm.says}${over}`
  const when =
    !spoken && events.has(alarm.says)
      ? ` ${spanText(manner.now - since)} ago`
      : `, since ${momentText(since, manner.now, manner.timeZone)}`
  return `${alarm.where} ${alarm.says}${when}${over}`
}

/** `spoken` keeps ages out: a screen reader would otherwise be told the same news every minute. */
function verdictText(verdict: Verdict, manner: Manner, spoken = false): string {
  const since = (at: number | null) =>
    at === null ? '' : ` since ${momentText(at, manner.now, manner.timeZone)}`
  switch (verdict.kind) {
    case 'well':
      return `All well${since(verdict.since)}.`
    case 'quiet': {
      const doubts = verdict.doubts.map(({ kind, count }) => doubtWords[kind](count)).join(', ')
      return `No alarm${since(verdict.since)}, but ${doubts}.`
    }
    case 'trouble': {
      const parts = verdict.worst.map((trouble) => troubleText(trouble, manner, spoken))
      const more = verdict.more === 0 ? [] : [`${many(verdict.more, 'more alarm')}`]
      return `${sentence([...parts, ...more].join('; '))}.`
    }
    default:
      return verdict satisfies never
  }
}

const modes: Readonly<Record<string, string>> = {
  normal: 'runs as it should',
  unknown: 'not known',
  line_open: 'air line open',
  stuck_on: 'stuck on',
  stuck_open: 'stuck open',
  stuck_closed: 'stuck closed',
  not_restored: 'not restored',
}

/** Kinds of equipment that do not run but are there or gone. */
const supplies = new Set(['mains_supply', 'battery_supply'])

const outcomes: Readonly<Record<string, string>> = {
  accepted: 'taken by the network',
  delivered: 'delivered',
  temporary: 'failed, will be tried again',
  permanent: 'failed',
}

export const en = {
  language: 'en',
  verdict: verdictText,
  priority: { critical: 'critical', high: 'high', medium: 'medium', low: 'low' } satisfies Record<
    Priority,
    string
  >,
  quality: { good: 'good', uncertain: 'uncertain', bad: 'bad' } satisfies Record<Quality, string>,
  trend: { falling: 'falling', rising: 'rising', steady: 'steady' } satisfies Record<Trend, string>,
  shortLabel: (signal: Pick<SignalNow, 'label'>) => sentence(signal.label),
  sentence,

  log: (farm: string) => `${farm}, the water's log`,
  asOf: (at: number, manner: Manner) => `as of ${clockTime(at, manner.timeZone)}`,
  live: 'live',
  opening: 'Opening the log…',
  lost: (since: number, manner: Manner) =>
    `No connection since ${momentText(since, manner.now, manner.timeZone)}.`,
  lostMeans: 'What follows is the last that was heard, with its age. Trying again by itself.',
  lastKnown: (text: string) => `Last known: ${text}`,
  neverHeard: 'The daemon does not answer.',
  tryNow: 'Try now',
  skip: 'Skip to the tanks',

  practice: 'Practice',
  needsYou: 'Needs somebody',
  since: (at: number, manner: Manner) =>
    `since ${momentText(at, manner.now, manner.timeZone)}, ${spanText(manner.now - at)}`,
  number: (number: number) => `no. ${number}`,
  doThis: 'Do',
  consequence: 'Else',
  cause: 'Likely',
  over: 'Over, but nobody has answered.',
  latched: 'Over, held until it is reset.',
  calling: (step: number, nextAt: number | null, manner: Manner) =>
    `Calling, step ${step}${nextAt === null ? '' : `; next at ${momentText(nextAt, manner.now, manner.timeZone)}`}`,
  acknowledgedBy: (who: string, at: number | null, manner: Manner) =>
    `${who} is on it${at === null ? '' : ` since ${momentText(at, manner.now, manner.timeZone)}`}`,
  acknowledge: 'Acknowledge',
  acknowledgeThis: (alarm: AlarmNow) => `Acknowledge ${alarm.where}, ${alarm.says}`,
  acknowledging: 'Sending…',
  reset: 'Reset',
  resetWhy: 'reset on the page',
  iAm: 'I am',
  nobodyChosen: 'not said',
  notSent: 'Not sent: no connection. Try again.',

  heldBack: 'Held back',
  counts: {
    shelved: 'shelved',
    suppressed: 'suppressed by design',
    outOfService: 'out of service',
    stale: 'not heard',
  },
  heldWhy: (held: NonNullable<AlarmNow['held']>, manner: Manner) => {
    const until = held.until === null ? '' : `, until ${momentText(held.until, manner.now, manner.timeZone)}`
    return `${held.why === '' ? '' : `${held.why}; `}${held.by}${until}`
  },
  states: { SHLVD: 'shelved', DSUPR: 'suppressed by design', OOSRV: 'out of service' } as Readonly<
    Record<string, string>
  >,

  tanks: 'Tanks',
  elsewhere: 'Elsewhere',
  fish: (count: number) => `${count} fish`,
  limit: (beyond: 'above' | 'below', text: string) =>
    `${beyond === 'below' ? 'not below' : 'not above'} ${text}`,
  belowLimit: 'below its limit',
  aboveLimit: 'above its limit',
  insideLimit: 'inside its limit',
  noValue: 'no value yet',
  noneForeseen: 'none foreseen',
  age: (at: number, manner: Manner) => `${spanText(manner.now - at)} ago`,
  notHeard: (at: number | null, manner: Manner) =>
    at === null ? 'never heard' : `not heard for ${spanText(manner.now - at)}`,
  computed: 'computed',
  cannotTell: (why: string) => `cannot be told: ${why}`,
  open: (signal: Pick<SignalNow, 'label' | 'place'>) => `${signal.label}: last 24 hours`,

  equipment: 'Equipment',
  mode: (kind: string, mode: string) =>
    mode === 'normal' && supplies.has(kind) ? 'there' : (modes[mode] ?? mode.replaceAll('_', ' ')),
  confidence: (share: number) => `${Math.round(share * 100)}% sure`,
  serves: (what: string) => `serves ${what}`,

  calls: 'Calls made',
  callsNone: 'Nobody was called in the last 24 hours.',
  callsUnknown: 'The calls could not be read.',
  outcome: (outcome: string | null) => (outcome === null ? 'under way' : (outcomes[outcome] ?? outcome)),
  callsMore: (count: number) => `${count} earlier`,
  onDuty: (names: string) => `On duty: ${names}`,
  nobodyOnDuty: 'Nobody is on duty.',

  day: 'Last 24 hours',
  close: 'Close',
  courseLoading: 'Reading the course…',
  courseFailed: 'The course could not be read.',
  courseEmpty: 'Nothing was recorded in these 24 hours.',
  gap: 'no reading',
  lowest: 'Lowest',
  highest: 'Highest',
  latest: 'Latest',
  gaps: (count: number, longest: number) =>
    count === 0 ? 'no gap' : `${many(count, 'gap')}, the longest ${spanText(longest)}`,
  gapsLabel: 'Gaps',
  how: 'How this was computed',
  howFailed: 'How it was computed could not be read.',
  /** The interval of a value, its ends as they are written; '' when there is none. */
  interval: (low: string | null, high: string | null) => {
    if (low === null && high === null) return ''
    const told =
      low === null ? `below ${high ?? ''}` : high === null ? `above ${low}` : `between ${low} and ${high}`
    return `The truth lies ${told} four times out of five.`
  },
  /** The same beside a value, short. */
  within: (low: string, high: string) => `${low} to ${high}`,
  validFor: 'Holds for',
  source: 'Source:',
  assumed: (what: string) => `taken: ${what}`,
  old: (age: number) => `${spanText(age)} old`,
  atTime: (at: number, manner: Manner) => momentText(at, manner.now, manner.timeZone),

  comeIn: 'Come in',
  comeInWhy: 'This farm shows its water only to its people.',
  person: 'Your id',
  password: 'Password',
  logIn: 'Log in',
  logOut: 'Log out',
  loggedInAs: (who: string) => `Logged in as ${who}`,

  disclaimer:
    'Bellwater informs people. It does not replace an independent low-oxygen alarm, an electrician, a veterinarian or local codes.',
}
