import { sayDate, saySpan, sayTime, voiceOf, type Manner, type Voice } from './manner.js'
import type { AlarmFacts, MessageFacts } from './message-facts.js'
import { likelyWords, subjectOf, timeLeft, valueWithLimit, wrongOf } from './say-alarm.js'

/** A message with room: for mail and page. Plain text, lines as long as they are; the subject is one line. */
export interface LongText {
  readonly subject: string
  readonly body: string
}

type Facts<Kind extends MessageFacts['kind']> = Extract<MessageFacts, { readonly kind: Kind }>

/** Paragraphs: lists of lines, parted by a blank line. */
type Paragraphs = readonly (readonly string[])[]

// A subject longer than this is cut off by most mail programs anyway (common practice; RFC 5322 2.1.1 asks for 78 a line).
const subjectMax = 120

/** Everything the facts hold, in the person's language and units, in full spelling: the same as the text, with more room. */
export function longText(facts: MessageFacts, manner: Manner): LongText {
  const voice = voiceOf(manner)
  const { subject, paragraphs } = told(facts, voice)
  const body = [...paragraphs, [voice.words.mail.informs]]
    .map((lines) =>
      lines
        .filter((line) => line !== '')
        .map(oneLine)
        .join('\n'),
    )
    .filter((paragraph) => paragraph !== '')
    .join('\n\n')
  const line = oneLine(subject)
  return { subject: line.length > subjectMax ? `${line.slice(0, subjectMax - 1)}…` : line, body: `${body}\n` }
}

/** Names come from the configuration: a line break in one must not make a header or a paragraph of its own. */
const oneLine = (text: string): string => text.replaceAll(/[\s\p{Cc}]+/gu, ' ').trim()

function told(
  facts: MessageFacts,
  voice: Voice,
): { readonly subject: string; readonly paragraphs: Paragraphs } {
  const { text, mail } = voice.words
  switch (facts.kind) {
    case 'activation':
      return activation(facts, voice)
    case 'follow-up':
      return followUp(facts, voice)
    case 'chattering': {
      const says = `${facts.farm} ${facts.alarm.where}: ${text.chatteringOver(subjectOf(facts.alarm, voice))}`
      return {
        subject: says,
        paragraphs: [[`${says}, ${text.activations(facts.activations)} (${text.was(facts.alarm.number)}).`]],
      }
    }
    case 'test':
      return {
        subject: `${text.test} ${facts.farm}: ${text.onlyATest}`,
        paragraphs: [[mail.testExplained], [mail.answerTest(facts.number)]],
      }
    case 'out-of-service-reminder':
      return outOfService(facts, voice)
    case 'interruption':
      return interruption(facts, voice)
    case 'digest': {
      const head = facts.closing ? text.floodOver(facts.activations) : text.digest(facts.alarms.length)
      return list({ ...facts, head, first: mail.floodExplained }, voice)
    }
    case 'morning':
      return list({ ...facts, head: text.morning(facts.alarms.length), first: '' }, voice)
  }
}

function activation(
  facts: Facts<'activation'>,
  voice: Voice,
): { readonly subject: string; readonly paragraphs: Paragraphs } {
  const { alarm } = facts
  const { words } = voice
  const { mail } = words
  const wrong = wrongOf(alarm, voice)
  const again = facts.again ? ` ${words.text.again}` : ''
  const head = `${words.priority[alarm.priority]}${again} ${facts.farm} ${alarm.where}: ${wrong.what}`
  return {
    subject: joined([head, valueWithLimit(wrong, words)]),
    paragraphs: [
      [head],
      [
        ...measuredLines(alarm, voice),
        labelled(mail.since, since(alarm, voice)),
        alarm.minutesLeft === null ? '' : labelled(mail.timeLeft, timeLeft(alarm.minutesLeft, voice)),
        alarm.likely === null ? '' : labelled(mail.cause, likelyWords(alarm.likely, words)),
        labelled(mail.consequence, alarm.consequence ?? ''),
        labelled(mail.response, alarm.response ?? ''),
      ],
      alsoLines(facts.also, mail.also, voice),
      [
        facts.again ? mail.again : '',
        facts.chattering ? mail.chattering : '',
        facts.step === 0 ? mail.repeated : facts.step > 1 ? mail.step(facts.step) : '',
        labelled(mail.tried, facts.tried.join(', ')),
      ],
      [mail.answer(alarm.number)],
      safetyLines([alarm, ...facts.also], voice),
    ],
  }
}

function followUp(
  facts: Facts<'follow-up'>,
  voice: Voice,
): { readonly subject: string; readonly paragraphs: Paragraphs } {
  const { text, mail } = voice.words
  const wrong = wrongOf(facts.alarm, voice)
  const says = `${facts.farm} ${facts.alarm.where}: ${text.backToNormal(subjectOf(facts.alarm, voice))} ${text.at(sayTime(facts.returnedAt, voice))}`
  const isMeasured = facts.alarm.measured !== null && facts.alarm.measured.value !== null
  const lasted = saySpan((facts.returnedAt - facts.alarm.since) / 60_000, voice)
  const over = facts.also.map(
    (alarm) => `- ${joined([alarm.where, subjectOf(alarm, voice)])} (${alarm.number})`,
  )
  return {
    subject: `${says} (${text.was(facts.alarm.number)})`,
    paragraphs: [
      [says],
      [
        isMeasured ? labelled(mail.measured, wrong.value) : '',
        `${labelled(mail.since, since(facts.alarm, voice))}; ${lasted}`,
      ],
      over.length === 0 ? [] : [text.alsoOver, ...over],
    ],
  }
}

function outOfService(
  facts: Facts<'out-of-service-reminder'>,
  voice: Voice,
): { readonly subject: string; readonly paragraphs: Paragraphs } {
  const { text, mail } = voice.words
  const says = `${facts.farm} ${facts.alarm.where}: ${text.outOfService(subjectOf(facts.alarm, voice))}`
  return {
    subject: says,
    paragraphs: [
      [
        `${says}, ${text.until(sayDate(facts.until, voice))} ${text.by(facts.by)}.`,
        mail.outOfServiceExplained,
      ],
    ],
  }
}

function interruption(
  facts: Facts<'interruption'>,
  voice: Voice,
): { readonly subject: string; readonly paragraphs: Paragraphs } {
  const { text, mail } = voice.words
  const times = text.interrupted(sayTime(facts.from, voice), sayTime(facts.to, voice))
  const open = facts.alarms.length === 0 ? `${text.nothingOpen}.` : ''
  return list({ ...facts, head: times, first: `${mail.interruptionExplained} ${open}` }, voice)
}

/** A head, a sentence, and every alarm on a line of its own. */
function list(
  says: {
    readonly farm: string
    readonly head: string
    readonly first: string
    readonly alarms: readonly AlarmFacts[]
  },
  voice: Voice,
): { readonly subject: string; readonly paragraphs: Paragraphs } {
  const { mail } = voice.words
  const subject = `${says.farm}: ${says.head}`
  const [first] = says.alarms
  return {
    subject,
    paragraphs: [
      [subject, says.first],
      alsoLines(says.alarms, mail.alarms, voice),
      first === undefined ? [] : [mail.answer(first.number)],
      safetyLines(says.alarms, voice),
    ],
  }
}

const joined = (parts: readonly string[]): string => parts.filter((part) => part !== '').join(' ')

const labelled = (label: string, text: string): string => (text === '' ? '' : `${label}: ${text}`)

const since = (alarm: AlarmFacts, voice: Voice): string =>
  `${sayDate(alarm.since, voice)} (${voice.manner.timeZone})`

function measuredLines(alarm: AlarmFacts, voice: Voice): readonly string[] {
  const { words } = voice
  const wrong = wrongOf(alarm, voice)
  if (alarm.measured === null) return [labelled(words.mail.state, wrong.what)]
  const { trend } = alarm.measured
  const going = [wrong.manner, trend === 'unknown' ? '' : words.trend[trend]].filter((part) => part !== '')
  return [
    labelled(words.mail.measured, [`${wrong.what} ${wrong.value}`, ...going].join(', ')),
    labelled(words.mail.limit, wrong.against?.limit ?? ''),
  ]
}

function alsoLines(alarms: readonly AlarmFacts[], head: string, voice: Voice): readonly string[] {
  if (alarms.length === 0) return []
  const { words } = voice
  const line = (alarm: AlarmFacts): string => {
    const wrong = wrongOf(alarm, voice)
    const says = joined([wrong.what, valueWithLimit(wrong, words)])
    const from = words.text.since(sayTime(alarm.since, voice))
    return `- ${words.priority[alarm.priority]} ${alarm.where}: ${says} ${from} (${alarm.number})`
  }
  return [`${head}:`, ...alarms.map(line)]
}

// What a person will go and touch: machines, wet places; or what they will start: a generator.
const machineModes = ['stopped', 'blocked', 'dry', 'line_open', 'clogged', 'weak', 'off', 'stuck_on', 'worn']
const wetModes = ['leak', 'overflow', 'backflow', 'aeration_lost', 'circulation_lost']
const supplyQuantities = ['present', 'charge', 'runtime', 'voltage', 'status']
const supplyModes = ['not_restored', 'unstable']
const supplyRules = ['mains-lost', 'battery-low']

/** What must not be forgotten on the way there: electricity near water, a generator's exhaust (product rule; common practice). */
function safetyLines(alarms: readonly AlarmFacts[], voice: Voice): readonly string[] {
  const { safety } = voice.words.mail
  const modesTold = alarms.flatMap(({ mode, likely }) => [mode, likely?.mode]).map((mode) => mode ?? '')
  const isWet = modesTold.some((mode) => machineModes.includes(mode) || wetModes.includes(mode))
  const isPower = alarms.some(
    ({ rule, measured }) =>
      supplyRules.includes(rule) || (measured !== null && supplyQuantities.includes(measured.quantity)),
  )
  return [
    isWet ? safety.water : '',
    isPower || modesTold.some((mode) => supplyModes.includes(mode)) ? safety.generator : '',
  ]
}
