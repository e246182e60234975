import { metricsOf, openMetricsType } from '../metrics.js'
import type { App, RouteParts } from '../parts.js'
import { problemOf, sendProblem } from '../problem.js'

const version = '0.1.0'

/** For those who watch the watch. `/healthz` and `/readyz` tell nothing of the farm and need no login. */
export function addHealth(app: App, { door, gate, unready }: RouteParts): void {
  app.get(
    '/healthz',
    { schema: { summary: 'The process answers', tags: ['health'] } },
    async (_request, reply) => reply.type('text/plain; charset=utf-8').send('ok\n'),
  )
  app.get(
    '/readyz',
    {
      schema: { summary: 'The watch can do its duty: 200, else 503 with what is missing', tags: ['health'] },
    },
    async (_request, reply) => {
      const missing = unready()
      if (missing.length === 0) return reply.type('text/plain; charset=utf-8').send('ready\n')
      return sendProblem(
        reply,
        problemOf(503, 'Not ready.', { errors: missing.map((detail) => ({ detail })) }),
      )
    },
  )
  app.get(
    '/metrics',
    {
      schema: { summary: 'OpenMetrics text 1.0', tags: ['health'] },
      preHandler: async (request) => gate.look(request),
    },
    async (_request, reply) => reply.type(openMetricsType).send(metricsOf(door.snapshot(), version)),
  )
}
