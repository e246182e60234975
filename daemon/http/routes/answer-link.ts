import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import type { AnswerClaims, TokenReading } from '../../callout/link.js'
import type { Act } from '../../journal/act.js'
import type { AlarmNow } from '../../ports/door.js'
import type { EpochMs } from '../../units/time.js'
import { answerPagePolicy, answerPageText, type AnswerPage } from '../answer-page.js'
import type { App, RouteParts } from '../parts.js'

const path = z.object({ token: z.string().min(1).max(1024) })

/**
 * Links from texts. A GET only shows: mail programs and message previews fetch links by themselves, and none of them
 * may acknowledge. No login: the token is the permission, for one occurrence of one alarm.
 */
export function addAnswerLink(app: App, { door, links, clock, plan }: RouteParts): void {
  const show = (reply: FastifyReply, status: number, page: AnswerPage) =>
    reply
      .code(status)
      .type('text/html; charset=utf-8')
      .header('content-security-policy', answerPagePolicy)
      .header('cache-control', 'no-store')
      .send(answerPageText(plan().farm.name, page))
  const schema = { summary: 'Answer link of a text', tags: ['links'], params: path }

  app.get('/a/:token', { schema }, async (request, reply) => {
    const reading = links.read(request.params.token, clock.now())
    if (reading.kind !== 'good') return show(reply, 404, refusalPage(reading))
    const { claims } = reading
    if (claims.do === 'confirm') return show(reply, 200, confirmPage)
    const alarm = door.snapshot().alarms.find(({ id }) => id === claims.alarm)
    return show(
      reply,
      200,
      questionPage(claims, alarm, (at) => clockTime(at, plan().farm.timeZone)),
    )
  })
  app.post('/a/:token', { schema }, async (request, reply) => {
    const reading = links.read(request.params.token, clock.now())
    if (reading.kind !== 'good') return show(reply, 404, refusalPage(reading))
    const { accepted, text } = await door.act(actOf(reading.claims))
    const title = accepted ? 'Thank you' : 'Nothing was changed'
    return show(reply, accepted ? 200 : 409, { title, says: [text], button: null })
  })
}

function actOf(claims: AnswerClaims): Act {
  if (claims.do === 'confirm') return { do: 'confirm', by: claims.by }
  const { alarm, occurrence, by } = claims
  return { do: 'acknowledge', alarm, occurrence, by, via: 'link' }
}

const confirmPage: AnswerPage = {
  title: 'Confirm the test',
  says: ['This was a test of the way to you.', 'Confirm that it arrived; it acknowledges no alarm.'],
  button: 'Confirm: it arrived',
}

type AlarmClaims = Extract<AnswerClaims, { do: 'acknowledge' }>

function questionPage(
  claims: AlarmClaims,
  alarm: AlarmNow | undefined,
  time: (at: EpochMs) => string,
): AnswerPage {
  const title = 'Acknowledge'
  if (alarm === undefined || alarm.occurrence !== claims.occurrence) {
    return { title, says: ['This is over. There is nothing left to acknowledge.'], button: null }
  }
  const { where, says, conditionSince, response, acknowledgedBy, acknowledgedAt, priority } = alarm
  const since = conditionSince === null ? [] : [`Since ${time(conditionSince)}.`]
  const head = `${where}: ${says}`
  if (acknowledgedBy !== null && acknowledgedAt !== null) {
    return {
      title,
      says: [head, `Acknowledged by ${acknowledgedBy} at ${time(acknowledgedAt)}.`],
      button: null,
    }
  }
  const doThis = response === null ? [] : [`What to do: ${response}`]
  return {
    title,
    says: [head, `Priority ${priority}.`, ...since, ...doThis],
    button: 'Acknowledge: I am on it',
  }
}

const refusalPage = (reading: Exclude<TokenReading, { kind: 'good' }>): AnswerPage => ({
  title: 'This link does not answer',
  says:
    reading.kind === 'expired'
      ? ['This link is too old to answer with.', 'Answer by the newest text, or on the page of the farm.']
      : ['This link is not one of ours, or it was cut off on its way.', 'Open the whole link from the text.'],
  button: null,
})

const clockTime = (at: EpochMs, timeZone: string): string =>
  new Intl.DateTimeFormat('en-GB', { timeZone, hour: '2-digit', minute: '2-digit' }).format(at)
