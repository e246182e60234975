import { join } from 'node:path'
import type { AnswerLinks } from '../http/answer-links.js'
import { longText } from '../callout/long-text.js'
import type { FarmPlan } from '../farm/plan.js'
import type { MessageLine, SwitchLine } from '../journal/line.js'
import type { Channel, Letter, Switch } from '../ports/channel.js'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import type { Publisher } from '../ports/publisher.js'
import type { Settings } from '../settings/schema.js'
import { after, type EpochMs } from '../units/time.js'
import { openChannels, openSwitches } from './channels.js'

/** Makes the calls that the watch asks for, over the channels of the configuration. */
export interface Caller {
  call(message: MessageLine): void
  turn(line: SwitchLine): void
  /** Where outcomes go. */
  report(
    to: (
      attempt: number,
      outcome: 'accepted' | 'delivered' | 'temporary' | 'permanent',
      detail: string,
    ) => void,
  ): void
  /** Sirens and lamps hang on the broker, which opens later than the channels. */
  speak(publisher: Publisher): void
  /** The address that links in messages begin with. */
  knowPage(url: string): void
  close(): Promise<void>
}

export interface CallerRequest {
  readonly settings: Settings
  readonly plan: () => FarmPlan
  readonly links: AnswerLinks
  readonly clock: Clock
  readonly log: Log
}

export function openCaller(request: CallerRequest): Caller {
  const { settings, plan, clock, log } = request
  const outbox = join(settings.store.folder, 'outbox')
  const channels: ReadonlyMap<string, Channel> = openChannels(settings, { outbox, clock, log })
  let switches: ReadonlyMap<string, Switch> = new Map()
  let told: Parameters<Caller['report']>[0] = () => undefined
  let page: string | null = null
  const call = async (message: MessageLine): Promise<void> => {
    const channel = channels.get(message.by) ?? channels.get('outbox')
    const address = plan().people.get(message.to)?.reach[message.by]
    if (channel === undefined || address === undefined) {
      told(message.id, 'permanent', `there is no way "${message.by}" to ${message.to}`)
      return
    }
    const sent = await channel.send(letterOf(message, { address, page, request }))
    told(message.id, sent.kind, sent.detail)
  }
  return {
    call: (message) => {
      call(message).catch((cause: unknown) => {
        log.error({ err: cause, call: message.id }, 'a call could not be made')
        told(message.id, 'temporary', cause instanceof Error ? cause.message : String(cause))
      })
    },
    turn: (line) => {
      const one = switches.get(line.channel)
      if (one === undefined) {
        log.warn({ channel: line.channel }, 'there is nothing to switch by this name')
        return
      }
      one.set(line.on).then(
        (sent) =>
          sent.kind === 'accepted' ||
          log.error({ channel: line.channel, why: sent.detail }, 'could not be switched'),
        (cause: unknown) => log.error({ err: cause, channel: line.channel }, 'could not be switched'),
      )
    },
    report: (to) => void (told = to),
    speak: (publisher) => void (switches = openSwitches(settings, publisher)),
    knowPage: (url) => void (page = url),
    close: async () => {
      for (const one of [...channels.values(), ...switches.values()]) await one.close()
    },
  }
}

interface Addressed {
  readonly address: string
  readonly page: string | null
  readonly request: CallerRequest
}

function letterOf(message: MessageLine, { address, page, request }: Addressed): Letter {
  const { plan, clock, links, settings } = request
  const { farm, people } = plan()
  const person = people.get(message.to)
  const language = person?.language ?? 'en'
  const { subject, body } = longText(message.facts, {
    language,
    showUnits: farm.showUnits,
    timeZone: farm.timeZone,
    now: clock.now(),
  })
  return {
    id: message.id,
    address,
    person: person?.name ?? message.to,
    language,
    text: message.text,
    subject,
    body,
    link:
      page === null
        ? null
        : linkOf(message, page, { links, until: after(clock.now(), settings.web.answer_links) }),
    test: message.kind === 'test',
  }
}

function linkOf(
  message: MessageLine,
  page: string,
  { links, until }: { links: AnswerLinks; until: EpochMs },
): string | null {
  if (message.kind === 'test') return links.link(page, { do: 'confirm', by: message.to, expires: until })
  if (message.kind !== 'activation' || message.alarm === undefined || message.occurrence === undefined)
    return null
  const { alarm, occurrence, to: by } = message
  return links.link(page, { do: 'acknowledge', alarm, occurrence, by, expires: until })
}
