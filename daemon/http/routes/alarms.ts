import { z } from 'zod'
import type { Act } from '../../journal/act.js'
import { epochMs, minutes } from '../../units/time.js'
import {
  acknowledgeBody,
  alarmNow,
  alarmPath,
  answer,
  outOfServiceBody,
  shelveBody,
  whyBody,
  type Answer,
} from '../contract.js'
import { nowOf } from '../now.js'
import type { App, RouteParts } from '../parts.js'
import { RefusalFault } from '../problem.js'

/** Takes an act through the watch's door; what the watch refuses is a conflict, told in the watch's words. */
export async function acted(parts: RouteParts, act: Act): Promise<Answer> {
  const { accepted, ...rest } = await parts.door.act(act)
  if (accepted) return { ...rest, accepted }
  throw new RefusalFault(409, rest.text)
}

/** Alarms, and what people do about them. */
export function addAlarms(app: App, parts: RouteParts): void {
  const { door, plan, stage, gate } = parts
  app.get(
    '/api/alarms',
    {
      schema: {
        summary: 'Alarms that are not plainly normal, worst first',
        tags: ['looking'],
        response: { 200: z.array(alarmNow).readonly() },
      },
      preHandler: async (request) => gate.look(request),
    },
    async () => nowOf(door.snapshot(), plan(), stage()).alarms,
  )
  const route = <Body extends z.ZodType>(summary: string, body: Body) => ({
    schema: { summary, tags: ['acting'], params: alarmPath, body, response: { 200: answer } },
    preHandler: async (request: Parameters<typeof gate.act>[0]) => gate.act(request),
  })
  const at = (verb: string) => `/api/alarms/:id/${verb}`

  app.post(at('acknowledge'), route('Say that somebody is on it', acknowledgeBody), async (request) => {
    const { by, occurrence } = request.body
    const alarm = request.params.id
    return acted(parts, { do: 'acknowledge', alarm, occurrence, by: gate.actor(request, by), via: 'page' })
  })
  app.post(at('shelve'), route('Keep it quiet for a while', shelveBody), async (request) => {
    const { by, why, forMinutes, oneShot } = request.body
    return acted(parts, {
      do: 'shelve',
      alarm: request.params.id,
      for: forMinutes === null ? null : minutes(forMinutes),
      oneShot,
      why,
      by: gate.actor(request, by),
    })
  })
  app.post(at('out-of-service'), route('Take it out of service', outOfServiceBody), async (request) => {
    const { by, why, until } = request.body
    return acted(parts, {
      do: 'out-of-service',
      alarm: request.params.id,
      until: until === null ? null : epochMs(until),
      why,
      by: gate.actor(request, by),
    })
  })
  const plain = [
    ['unshelve', 'Let a shelved alarm speak again'],
    ['reset', 'Release a latched alarm'],
    ['return-to-service', 'Put it back into service'],
  ] as const
  for (const [verb, summary] of plain) {
    app.post(at(verb), route(summary, whyBody), async (request) => {
      const { by, why } = request.body
      return acted(parts, { do: verb, alarm: request.params.id, why, by: gate.actor(request, by) })
    })
  }
}
