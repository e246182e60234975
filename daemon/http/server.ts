import fastifySwagger from '@fastify/swagger'
import fastify from 'fastify'
import { jsonSchemaTransform, jsonSchemaTransformObject, validatorCompiler } from 'fastify-type-provider-zod'
import { createHmac } from 'node:crypto'
import { Fault } from '../errors.js'
import { gateOf } from './access/gate.js'
import { signedSessions } from './access/session.js'
import { answerLinks } from './answer-links.js'
import { openFeed } from './feed.js'
import { nowOf } from './now.js'
import { addHeaders, addPage } from './page.js'
import type { App, RouteParts, ServerParts } from './parts.js'
import { problemHandler, problemOf, sendProblem } from './problem.js'
import { addAlarms } from './routes/alarms.js'
import { addAnswerLink } from './routes/answer-link.js'
import { addBook } from './routes/book.js'
import { addCalc } from './routes/calc.js'
import { addHealth } from './routes/health.js'
import { addHow } from './routes/how.js'
import { addNow } from './routes/now.js'
import { addPast } from './routes/past.js'
import { addRecord } from './routes/record.js'
import { addSession } from './routes/session.js'
import { addSignals } from './routes/signals.js'

/** The largest thing anybody sends is a reason of a few lines. */
const bodyMax = 32 * 1024
/** A slow or silent asker must not hold a connection for ever; ms. */
const requestTimeMax = 15_000
const connectionsMax = 200

export interface Server {
  /** Where people reach it: `http://127.0.0.1:8420`. */
  readonly url: string
  close(): Promise<void>
}

/**
 * Opens everything that a browser or a script can ask. Throws a Fault (`BW_LISTEN`) when the address cannot be had.
 */
export async function openServer(parts: ServerParts): Promise<Server> {
  const app = await createServer(parts)
  const { host, port } = parts.options.listen
  try {
    const url = await app.listen({ host, port })
    app.server.maxConnections = connectionsMax
    return { url, close: () => app.close() }
  } catch (cause) {
    await app.close()
    throw listenFault(host, port, cause)
  }
}

/** The same without a socket, for tests (`inject`). */
export async function createServer(parts: ServerParts): Promise<App> {
  const { options, door, clock, log, plan, stage } = parts
  if (options.key.length < 32)
    throw new Fault('BW_HTTP', 'the key of the HTTP side must have at least 32 bytes')
  const sessionKey = createHmac('sha256', options.key).update('sessions').digest()
  const sessions = signedSessions(parts.access, { key: sessionKey, lasts: options.sessionLasts })
  const gate = gateOf({ options, sessions, clock, isPerson: (id) => plan().people.has(id) })
  const feed = openFeed({
    read: () => nowOf(door.snapshot(), plan(), stage()),
    subscribe: (tell) => door.subscribe(tell),
    clock,
    log,
  })
  const routes: RouteParts = { ...parts, sessions, gate, feed, links: answerLinks(options.key) }

  const app: App = fastify({
    logger: false,
    bodyLimit: bodyMax,
    requestTimeout: requestTimeMax,
    routerOptions: { maxParamLength: 1024 },
    forceCloseConnections: true,
    trustProxy: 'loopback',
  })
  app.setValidatorCompiler(validatorCompiler)
  // Answers are checked by types and tests, not while they go out: a slip there must not blank the page in the night.
  app.setSerializerCompiler(() => (data) => JSON.stringify(data))
  app.setErrorHandler(problemHandler(log))
  app.setNotFoundHandler(async (_request, reply) =>
    sendProblem(reply, problemOf(404, 'There is nothing here.')),
  )
  app.addContentTypeParser(
    'application/x-www-form-urlencoded',
    { parseAs: 'string' },
    (_request, _body, done) => done(null, {}),
  )
  app.addHook('onRequest', async (request) => gate.checkAddress(request))
  app.addHook('preClose', async () => feed.close())
  addHeaders(app)
  await addDescription(app, options.publicUrl)
  for (const add of [
    addNow,
    addSignals,
    addAlarms,
    addBook,
    addPast,
    addHow,
    addCalc,
    addRecord,
    addSession,
    addHealth,
    addAnswerLink,
  ]) {
    add(app, routes)
  }
  await addPage(app, options.pageFolder)
  return app
}

/** `/api/openapi.json`: made from the same schemas that check what comes in. */
async function addDescription(app: App, publicUrl: string | null): Promise<void> {
  await app.register(fastifySwagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Bellwater',
        version: '0.1.0',
        description:
          'Values are in canonical units, times in milliseconds since 1970-01-01T00:00:00Z. Errors are problem ' +
          'details (RFC 9457). Every request that changes something carries the header x-bellwater-act: 1.',
      },
      servers: [{ url: publicUrl ?? '/' }],
    },
    stripBasePath: false,
    transform: jsonSchemaTransform,
    transformObject: jsonSchemaTransformObject,
  })
  app.get('/api/openapi.json', { schema: { hide: true } }, async () => app.swagger())
}

function listenFault(host: string, port: number, cause: unknown): Fault {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : ''
  const reasons: Readonly<Record<string, string>> = {
    EADDRINUSE: `port ${port} on ${host} is taken by another program`,
    EACCES: `this user may not listen on port ${port}`,
    EADDRNOTAVAIL: `this machine has no address ${host}`,
  }
  const hint =
    'change web.listen in the configuration, or stop the other program; is Bellwater running already?'
  return new Fault('BW_LISTEN', `the page cannot be served: ${reasons[code] ?? String(cause)}`, hint, {
    cause,
  })
}
