import { fit, type Cut } from './fit.js'
import { septetsPerText } from './gsm7.js'
import { sayTime, voiceOf, type Manner, type Voice } from './manner.js'
import type { AlarmFacts, MessageFacts } from './message-facts.js'
import { subjectOf, timeLeft, wrongOf } from './say-alarm.js'
import {
  alarmsNamedMax,
  alsoOverPiece,
  alsoPiece,
  causePiece,
  currentValuePiece,
  farmPiece,
  labelPiece,
  listPiece,
  placePiece,
  responsePiece,
  triedPiece,
  valuePiece,
} from './short-pieces.js'

type Facts<Kind extends MessageFacts['kind']> = Extract<MessageFacts, { readonly kind: Kind }>

/** The voice and how much room there is. */
interface Way {
  readonly voice: Voice
  readonly septets: number
}

/**
 * The message as one text: at most 160 septets of the GSM alphabet (contract 6, AL-33), worst first. What does not fit is
 * left out whole, the least important first: response, who was tried, long names, trend, all but the first consequences,
 * cause, farm, since when, limit. Priority, place, what, value and the answer's number are always there.
 */
export const shortText = (facts: MessageFacts, manner: Manner): string =>
  textWithin(facts, manner, septetsPerText)

/** The same in the room of `septets`; from 160 up nothing is lost that must be told. */
export function textWithin(facts: MessageFacts, manner: Manner, septets: number): string {
  const way = { voice: voiceOf(manner), septets }
  switch (facts.kind) {
    case 'activation':
      return activation(facts, way)
    case 'follow-up':
      return followUp(facts, way)
    case 'digest':
      return digest(facts, way)
    case 'chattering':
      return chatteringOver(facts, way)
    case 'test':
      return test(facts, way)
    case 'interruption':
      return interruption(facts, way)
    case 'out-of-service-reminder':
      return outOfService(facts, way)
    case 'morning':
      return list({ ...facts, head: way.voice.words.text.morning(facts.alarms.length) }, way)
  }
}

function activation(facts: Facts<'activation'>, { voice, septets }: Way): string {
  const { alarm } = facts
  const { text, priority, trend: ways } = voice.words
  const wrong = wrongOf(alarm, voice)
  const trend = alarm.measured?.trend ?? 'unknown'
  const pieces = [
    { name: 'priority', forms: [`${priority[alarm.priority]} `] },
    { name: 'again', forms: [facts.again ? `${text.again} ` : ''] },
    farmPiece(facts.farm, ' '),
    placePiece(alarm.where),
    labelPiece(wrong.what, (label) => ` ${label}`),
    valuePiece(alarm, voice),
    { name: 'manner', forms: [wrong.manner === '' ? '' : `, ${wrong.manner}`, ''] },
    { name: 'since', forms: [` ${text.since(sayTime(alarm.since, voice))}`, ''] },
    { name: 'trend', forms: [trend === 'unknown' ? '' : `, ${ways[trend]}`, ''] },
    {
      name: 'left',
      forms: [alarm.minutesLeft === null ? '' : `, ${timeLeft(alarm.minutesLeft, voice)}`, ''],
    },
    {
      name: 'chattering',
      forms: facts.chattering
        ? [`, ${text.comesAndGoes}, ${text.mutedWhile}`, `, ${text.comesAndGoes}`, '']
        : [''],
    },
    { name: 'stop', forms: ['.'] },
    alsoPiece(facts.also, voice),
    causePiece(alarm, voice),
    triedPiece(facts.tried, voice),
    responsePiece(alarm.response),
    { name: 'reply', forms: [` ${text.reply(alarm.number)}`] },
  ]
  return fit(pieces, activationCuts(facts.also.length), septets)
}

/** The order in which an activation gives up its parts. */
function activationCuts(also: number): readonly Cut[] {
  const named = Math.min(also, alarmsNamedMax)
  return [
    { name: 'response', downTo: Infinity },
    { name: 'tried', downTo: 1 },
    { name: 'farm', downTo: 1 },
    { name: 'place', downTo: 1 },
    { name: 'cause', downTo: 1 },
    { name: 'trend', downTo: 1 },
    { name: 'also', downTo: named - 1 },
    { name: 'chattering', downTo: 1 },
    { name: 'manner', downTo: 1 },
    { name: 'farm', downTo: 2 },
    { name: 'cause', downTo: 3 },
    { name: 'place', downTo: 2 },
    { name: 'also', downTo: named },
    { name: 'farm', downTo: 3 },
    { name: 'since', downTo: 1 },
    { name: 'chattering', downTo: 2 },
    { name: 'value', downTo: 1 },
    { name: 'left', downTo: 1 },
    { name: 'label', downTo: 1 },
    { name: 'also', downTo: named + 1 },
  ]
}

const namesCuts: readonly Cut[] = [
  { name: 'farm', downTo: 2 },
  { name: 'place', downTo: 2 },
]
const lastCuts: readonly Cut[] = [
  { name: 'farm', downTo: 3 },
  { name: 'value', downTo: 1 },
  { name: 'label', downTo: 1 },
]

function followUp(facts: Facts<'follow-up'>, { voice, septets }: Way): string {
  const { text } = voice.words
  const { value } = wrongOf(facts.alarm, voice)
  const isMeasured = facts.alarm.measured !== null && facts.alarm.measured.value !== null
  const pieces = [
    farmPiece(facts.farm, ' '),
    placePiece(facts.alarm.where),
    labelPiece(subjectOf(facts.alarm, voice), (label) => ` ${text.backToNormal(label)}`),
    { name: 'at', forms: [` ${text.at(sayTime(facts.returnedAt, voice))}`] },
    currentValuePiece(isMeasured ? value : ''),
    { name: 'was', forms: [` (${text.was(facts.alarm.number)})`] },
    { name: 'stop', forms: [facts.also.length === 0 ? '' : '.'] },
    alsoOverPiece(facts.also, voice),
  ]
  return fit(pieces, [...namesCuts, { name: 'also', downTo: Infinity }, ...lastCuts], septets)
}

function chatteringOver(facts: Facts<'chattering'>, { voice, septets }: Way): string {
  const { text } = voice.words
  const { value } = wrongOf(facts.alarm, voice)
  const pieces = [
    farmPiece(facts.farm, ' '),
    placePiece(facts.alarm.where),
    labelPiece(subjectOf(facts.alarm, voice), (label) => ` ${text.chatteringOver(label)}`),
    { name: 'count', forms: [`, ${text.activations(facts.activations)}`] },
    currentValuePiece(value),
    { name: 'was', forms: [` (${text.was(facts.alarm.number)})`] },
  ]
  return fit(pieces, [...namesCuts, ...lastCuts], septets)
}

function outOfService(facts: Facts<'out-of-service-reminder'>, { voice, septets }: Way): string {
  const { text } = voice.words
  const pieces = [
    farmPiece(facts.farm, ' '),
    placePiece(facts.alarm.where),
    labelPiece(subjectOf(facts.alarm, voice), (label) => ` ${text.outOfService(label)}`),
    { name: 'until', forms: [`, ${text.until(sayTime(facts.until, voice))}`] },
    { name: 'by', forms: [` ${text.by(facts.by)}`, ''] },
  ]
  return fit(pieces, [...namesCuts, { name: 'by', downTo: 1 }, ...lastCuts], septets)
}

function test(facts: Facts<'test'>, { voice, septets }: Way): string {
  const { text } = voice.words
  const pieces = [
    { name: 'test', forms: [`${text.test} `] },
    farmPiece(facts.farm, ': '),
    { name: 'says', forms: [`${text.onlyATest}. ${text.pleaseReply(facts.number)}`] },
  ]
  return fit(pieces, namesCuts, septets)
}

function digest(facts: Facts<'digest'>, way: Way): string {
  const { text } = way.voice.words
  const head = facts.closing ? text.floodOver(facts.activations) : text.digest(facts.alarms.length)
  return list({ ...facts, head }, way)
}

function interruption(facts: Facts<'interruption'>, way: Way): string {
  const { text } = way.voice.words
  const times = text.interrupted(sayTime(facts.from, way.voice), sayTime(facts.to, way.voice))
  const open = facts.alarms.length === 0 ? text.nothingOpen : text.stillOpen(facts.alarms.length)
  return list({ ...facts, head: `${times}. ${open}` }, way)
}

/** A head, and as many of its alarms as fit. */
function list(
  says: { readonly farm: string; readonly head: string; readonly alarms: readonly AlarmFacts[] },
  { voice, septets }: Way,
): string {
  const pieces = [
    farmPiece(says.farm, ': '),
    { name: 'head', forms: [says.head] },
    listPiece(says.alarms, voice),
    { name: 'stop', forms: ['.'] },
  ]
  const cuts = [
    { name: 'farm', downTo: 1 },
    { name: 'alarms', downTo: Infinity },
    { name: 'farm', downTo: 3 },
  ]
  return fit(pieces, cuts, septets)
}
