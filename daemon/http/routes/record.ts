import { z } from 'zod'
import type { CallRecord } from '../../ports/history.js'
import { call, journalLine, recordQuery, type Call } from '../contract.js'
import type { App, RouteParts } from '../parts.js'
import { spanOf } from './signals.js'

/** What was recorded: calls and the journal, newest first. */
export function addRecord(app: App, { history, clock, gate }: RouteParts): void {
  const preHandler = async (request: Parameters<typeof gate.look>[0]) => gate.look(request)
  const schema = { tags: ['looking'], querystring: recordQuery }
  app.get(
    '/api/calls',
    {
      schema: { ...schema, summary: 'Calls made, newest first', response: { 200: z.array(call) } },
      preHandler,
    },
    async (request) => {
      const { from, to } = spanOf(request.query, clock.now())
      const calls = await history.calls(from, to, request.query.limit)
      return calls.map(callOf).sort((one, other) => other.at - one.at || other.id - one.id)
    },
  )
  app.get(
    '/api/journal',
    {
      schema: { ...schema, summary: 'The journal, newest first', response: { 200: z.array(journalLine) } },
      preHandler,
    },
    async (request) => {
      const { from, to } = spanOf(request.query, clock.now())
      const lines = await history.journal(from, to, request.query.limit)
      return lines.map((line) => ({ ...line, doc: withoutSecrets(line.doc) })).sort((a, b) => b.seq - a.seq)
    },
  )
}

/** Numbers of phones are private, and a link would let whoever looks answer in another's name. */
const secretKeys = new Set(['address', 'link', 'url', 'token'])

function withoutSecrets(doc: unknown): unknown {
  if (Array.isArray(doc)) return doc.map(withoutSecrets)
  if (typeof doc !== 'object' || doc === null) return doc
  const kept = Object.entries(doc).filter(([key]) => !secretKeys.has(key))
  return Object.fromEntries(kept.map(([key, value]) => [key, withoutSecrets(value)]))
}

const callDoc = z.object({
  text: z.string().nullable().catch(null),
  alarm: z.string().nullable().catch(null),
  number: z.number().int().nullable().catch(null),
})

function callOf({ doc, id, at, channel, to, outcome, outcomeAt, detail }: CallRecord): Call {
  const told = callDoc.safeParse(doc)
  const { text, alarm, number } = told.success ? told.data : { text: null, alarm: null, number: null }
  return { id, at, channel, to, text, alarm, number, outcome, outcomeAt, detail }
}
