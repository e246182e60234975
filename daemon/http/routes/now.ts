import { now } from '../contract.js'
import { nowOf } from '../now.js'
import type { App, RouteParts } from '../parts.js'
import { RefusalFault } from '../problem.js'

/** What is so, once and live. */
export function addNow(app: App, { door, plan, stage, gate, feed }: RouteParts): void {
  app.get(
    '/api/now',
    {
      schema: { summary: 'Everything that is so now', tags: ['looking'], response: { 200: now } },
      preHandler: async (request) => gate.look(request),
    },
    async () => nowOf(door.snapshot(), plan(), stage()),
  )
  app.get(
    '/api/events',
    {
      schema: {
        summary: 'Live changes as server-sent events',
        description:
          'Event `now` carries everything (schema Now) and comes first; `change` carries what became different (schema ' +
          'Change), at most once a second without alarms; `call` says that the calls changed; `beat` comes every 10 s.',
        tags: ['looking'],
        produces: ['text/event-stream'],
      },
      preHandler: async (request) => gate.look(request),
    },
    async (_request, reply) => {
      const joined = feed.join(() => {
        reply.hijack()
        reply.raw.writeHead(200, {
          'content-type': 'text/event-stream; charset=utf-8',
          'cache-control': 'no-store',
          // Reverse proxies that would hold the stream back until it ends are asked not to (common practice).
          'x-accel-buffering': 'no',
          'x-content-type-options': 'nosniff',
        })
        return reply.raw
      })
      if (joined) return
      throw new RefusalFault(503, 'Too many pages are listening already.', {
        headers: { 'retry-after': '15' },
      })
    },
  )
}
