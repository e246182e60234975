import { stateWordOf } from '../alarms/memory.js'
import type { AlarmId } from '../alarms/rule.js'
import { nextTry } from '../callout/next-try.js'
import { shortText } from '../callout/short-text.js'
import type { MessageLine } from '../journal/line.js'
import { after, type EpochMs } from '../units/time.js'
import { causeOf, priorityOf } from './causes.js'
import type { DeliveryOutcome } from './event.js'
import { factsOf } from './facts.js'
import { tellTrouble } from './own-trouble.js'
import {
  alarmOf,
  appointFor,
  callingOf,
  dropAttempt,
  keepAttempt,
  keepCalling,
  keepHouse,
  ruleOf,
} from './remembering.js'
import { personUnreached } from './running.js'
import { messageKindOf, type Attempt, type Purpose, type World } from './world.js'

/** The channels of `by` over which this person can be reached, in that order. */
export function reachOf(world: World, person: string, by: readonly string[]): readonly string[] {
  const reach = world.plan.people.get(person)?.reach ?? {}
  return by.filter((channel) => reach[channel] !== undefined)
}

/** Starts a message to one person: the first channel now, the others if it fails (AL-26, AL-43). */
export function send(
  world: World,
  person: string,
  about: Purpose,
  channels: readonly string[] = usualChannels(world, person),
): void {
  const [channel, ...rest] = channels
  if (channel !== undefined) attempt(world, { about, to: person, channel, rest, tried: 1 })
}

/** Outside a ladder: whatever reaches the person, in the order in which it is written down; a path given up comes last (AL-43). */
function usualChannels(world: World, person: string): readonly string[] {
  const channels = Object.keys(world.plan.people.get(person)?.reach ?? {})
  const isDown = (channel: string) => world.troubles.has(`${person}/${channel}`)
  return [...channels.filter((channel) => !isDown(channel)), ...channels.filter(isDown)]
}

function attempt(world: World, what: Pick<Attempt, 'about' | 'to' | 'channel' | 'rest' | 'tried'>): void {
  const id = world.house.nextAttempt
  keepHouse(world, { nextAttempt: id + 1 })
  const { about, to, channel, rest, tried } = what
  keepAttempt(world, { id, about, to, channel, rest, tried, retryAt: null, sentAt: world.now })
  world.effects.push(messageLine(world, id, what))
}

function messageLine(
  world: World,
  id: number,
  what: Pick<Attempt, 'about' | 'to' | 'channel' | 'tried'>,
): MessageLine {
  const { about } = what
  const facts = factsOf(world, about)
  const { farm } = world.plan
  const language = world.plan.people.get(what.to)?.language ?? 'en'
  return {
    at: world.now,
    event: 'message',
    kind: messageKindOf(about),
    to: what.to,
    by: what.channel,
    ...aboutAlarm(world, about),
    ...(about.kind === 'activation' ? { step: about.shown } : {}),
    attempt: what.tried,
    ...(facts.kind === 'activation' && facts.chattering ? { chattering: true as const } : {}),
    text: shortText(facts, { language, showUnits: farm.showUnits, timeZone: farm.timeZone, now: world.now }),
    id,
    facts,
  }
}

function aboutAlarm(world: World, about: Purpose): Partial<MessageLine> {
  switch (about.kind) {
    case 'test':
      return { number: about.number }
    case 'digest':
    case 'interruption':
      return about.alarms.length === 0 ? {} : { alarms: about.alarms }
    case 'activation':
    case 'follow-up':
    case 'chattering':
    case 'reminder': {
      const rule = ruleOf(world, about.alarm)
      if (rule === undefined) return { alarm: about.alarm }
      const cause = causeOf(world, rule)
      const also = 'also' in about ? about.also : []
      const number = alarmOf(world, about.alarm).lastNumber
      return {
        alarm: rule.id,
        occurrence: 'occurrence' in about ? about.occurrence : alarmOf(world, rule.id).occurrences,
        ...(number === null ? {} : { number }),
        ...(also.length === 0 ? {} : { alarms: [rule.id, ...also] }),
        priority: priorityOf(world, rule),
        place: rule.place,
        about: rule.about,
        ...(cause === null ? {} : { cause }),
      }
    }
  }
}

/** The channel tells how a call went. Unknown attempts (answered twice, or from before a loss) are told and no more. */
export function delivered(world: World, id: number, outcome: DeliveryOutcome, detail: string): void {
  const tried = world.attempts.get(id)
  if (tried === undefined || tried.retryAt !== null) return
  world.effects.push({
    at: world.now,
    event: 'delivery',
    to: tried.to,
    by: tried.channel,
    outcome,
    ...alarmIn(tried.about),
    id,
    detail,
  })
  dropAttempt(world, id)
  if (outcome === 'accepted' || outcome === 'delivered') {
    noteCalled(world, tried)
    tellTrouble(world, pathOf(tried), null)
    return
  }
  const next = nextTry(tried.tried, outcome, tried.rest, world.now)
  if (next.kind === 'again') {
    keepAttempt(world, { ...tried, retryAt: next.at })
    appointFor(world, 'retry', String(id), next.at)
    return
  }
  tellTrouble(world, pathOf(tried), detail === '' ? `${tried.channel} to ${tried.to} failed` : detail)
  if (next.kind === 'next-channel') {
    if (stillWanted(world, tried))
      attempt(world, { ...tried, channel: next.channel, rest: next.rest, tried: 1 })
  } else if (tried.about.kind === 'activation') {
    personUnreached(world, tried.about.alarm, tried.about.step, tried.to)
  }
}

/** The wait after a temporary error is over: the same channel again, unless nobody needs it any more. */
export function retryIsDue(world: World, id: number): void {
  const waiting = world.attempts.get(id)
  if (waiting === undefined || waiting.retryAt === null) return
  dropAttempt(world, id)
  if (stillWanted(world, waiting)) attempt(world, { ...waiting, tried: waiting.tried + 1 })
}

export const retryDueOf = (world: World, key: string): EpochMs | null =>
  world.attempts.get(Number(key))?.retryAt ?? null

/** A call for an occurrence that was answered or is over is not made again; all other messages are. */
function stillWanted(world: World, { about }: Pick<Attempt, 'about'>): boolean {
  return about.kind !== 'activation' || world.runs.get(about.alarm)?.occurrence === about.occurrence
}

/** Only accepted messages count as called (AL-42). */
function noteCalled(world: World, { about, to }: Attempt): void {
  if (about.kind === 'activation') for (const id of [about.alarm, ...about.also]) noteOne(world, id, to)
  if (about.kind === 'digest') for (const id of about.alarms) keepCalling(world, id, { inDigest: true })
}

function noteOne(world: World, id: AlarmId, person: string): void {
  const { called, followUpAt } = callingOf(world, id)
  if (called.includes(person)) return
  keepCalling(world, id, { called: [...called, person] })
  const rule = ruleOf(world, id)
  const word = stateWordOf(alarmOf(world, id))
  if (rule === undefined || followUpAt !== null || (word !== 'NORM' && word !== 'RTNUN')) return
  // The call came through after the alarm had returned: this person, too, hears that it is over (AL-42).
  const at = after(world.now, rule.followUpDelay)
  keepCalling(world, id, { followUpAt: at, returnedAt: world.now })
  appointFor(world, 'follow-up', id, at)
}

const pathOf = (tried: Attempt): string => `${tried.to}/${tried.channel}`

const alarmIn = (about: Purpose): { alarm?: string; occurrence?: number } => {
  if (about.kind === 'activation' || about.kind === 'follow-up')
    return { alarm: about.alarm, occurrence: about.occurrence }
  return about.kind === 'chattering' || about.kind === 'reminder' ? { alarm: about.alarm } : {}
}
