import { afterEach, describe, expect, it } from 'vitest'
import * as contract from '../../daemon/http/contract.js'
import type { App } from '../../daemon/http/parts.js'
import { createServer } from '../../daemon/http/server.js'
import { epochMs } from '../../daemon/units/time.js'
import { nightTime, outage } from '../support/web-farm.js'
import { farmServer, type FarmServer } from './farm-server.js'

let app: App | null = null
afterEach(async () => {
  await app?.close()
  app = null
})

async function serve(farm: FarmServer): Promise<App> {
  app = await createServer(farm.parts)
  return app
}

describe('what a browser or a script can look at', () => {
  it('gives the state as the contract says, with limits and people, and no address of a person', async () => {
    const server = await serve(farmServer())
    const answer = await server.inject('/api/now')
    expect(answer.statusCode).toBe(200)
    const now = contract.now.parse(answer.json())
    expect(now.signals).toHaveLength(outage.signals.length)
    expect(now.limits).toContainEqual({
      signal: 'tank-1/dissolved_oxygen',
      alarm: 'oxygen-low@tank-1',
      priority: 'high',
      beyond: 'below',
      limit: 4.5,
    })
    expect(now.people).toContainEqual({ id: 'first-keeper', name: 'First keeper' })
    expect(answer.body).not.toContain('7700')
  })

  it('names the signal of an alarm that judges a value, and none for one that does not', async () => {
    const server = await serve(farmServer())
    const alarms = contract.alarmNow.array().parse((await server.inject('/api/alarms')).json())
    const signalOf = (id: string) => alarms.find((alarm) => alarm.id === id)?.signal
    expect(signalOf('oxygen-low@tank-1')).toBe('tank-1/dissolved_oxygen')
    expect(signalOf('equipment-fault@blower-a')).toBeNull()
  })

  it('gives a course within the half-open span asked for, with the length from which silence is a gap', async () => {
    const samples = [10, 20, 30].map((minute) => ({
      at: epochMs(nightTime - minute * 60_000),
      value: 5,
      quality: 'good' as const,
    }))
    const server = await serve(farmServer({ recorded: { samples } }))
    const from = new Date(nightTime - 30 * 60_000).toISOString()
    const url = `/api/signals/tank-1/dissolved_oxygen?from=${from}&to=${nightTime - 10 * 60_000}`
    const course = contract.course.parse((await server.inject(url)).json())
    expect(course.samples.map(({ at }) => (nightTime - at) / 60_000)).toEqual([20, 30])
    expect(course.gapAfter).toBe(120_000)
    expect(course.limits).toHaveLength(1)
    const wide = await server.inject('/api/signals/tank-1/dissolved_oxygen?width=100')
    // Thinned to 100 samples of 14.4 min, a silence of two minutes is no gap.
    expect(contract.course.parse(wide.json()).gapAfter).toBe((3 * 86_400_000) / 100)
  })

  it('gives courses of signals that only patterns deliver, and says what is near a name it does not know', async () => {
    const server = await serve(farmServer())
    expect((await server.inject('/api/signals/tank-2/ph')).statusCode).toBe(200)
    const unknown = await server.inject('/api/signals/tank-1/disolved_oxygen')
    expect(unknown.statusCode).toBe(404)
    expect(contract.problem.parse(unknown.json()).detail).toContain('dissolved_oxygen')
  })

  it.each([
    ['a span that runs backwards', 'from=2027-01-10T02:00:00Z&to=2027-01-10T01:00:00Z', 'from'],
    ['a span of ten years', 'from=2017-01-10T02:00:00Z', 'from'],
    ['a time without a zone', 'from=2027-01-10T02:00:00', 'from'],
    ['a width of nothing', 'width=0', 'width'],
  ])('refuses %s as a problem that names the part', async (_what, query, part) => {
    const server = await serve(farmServer())
    const answer = await server.inject(`/api/signals/tank-1/dissolved_oxygen?${query}`)
    expect(answer.statusCode).toBe(422)
    expect(answer.headers['content-type']).toContain('application/problem+json')
    const problem = contract.problem.parse(answer.json())
    expect(problem.errors?.map(({ parameter }) => parameter)).toEqual([part])
  })

  it('shows calls newest first without the address or the link of the letter', async () => {
    const call = (id: number, minute: number) => ({
      id,
      at: epochMs(nightTime - minute * 60_000),
      channel: 'text',
      to: 'first-keeper',
      doc: {
        text: `Blower A stopped. Reply OK ${id}`,
        address: '+44 7700 900101',
        link: 'https://water.example.org/a/secret',
        number: id,
      },
      outcome: 'accepted',
      outcomeAt: epochMs(nightTime),
      detail: null,
    })
    const server = await serve(farmServer({ recorded: { calls: [call(1, 9), call(2, 4)] } }))
    const answer = await server.inject('/api/calls')
    const calls = contract.call.array().parse(answer.json())
    expect(calls.map(({ id, text }) => [id, text])).toEqual([
      [2, 'Blower A stopped. Reply OK 2'],
      [1, 'Blower A stopped. Reply OK 1'],
    ])
    expect(answer.body).not.toMatch(/7700|secret/)
  })

  it('keeps addresses and links out of the journal, however deep', async () => {
    const doc = { message: { text: 'x', facts: [{ address: '+44 7700 900101', link: 'secret' }] } }
    const journal = [{ seq: 1, at: epochMs(nightTime - 1), event: 'message', about: null, doc }]
    const server = await serve(farmServer({ recorded: { journal } }))
    const answer = await server.inject('/api/journal')
    expect(contract.journalLine.array().parse(answer.json())[0]?.doc).toEqual({
      message: { text: 'x', facts: [{}] },
    })
  })

  it('describes itself with every route and the schemas of the contract', async () => {
    const server = await serve(farmServer())
    const description = (await server.inject('/api/openapi.json')).json<{
      openapi: string
      paths: Record<string, unknown>
      components: { schemas: Record<string, unknown> }
    }>()
    expect(description.openapi).toBe('3.1.0')
    expect(Object.keys(description.paths)).toEqual(
      expect.arrayContaining([
        '/api/now',
        '/api/signals/{place}/{quantity}',
        '/api/alarms',
        ...['acknowledge', 'shelve', 'unshelve', 'reset', 'out-of-service', 'return-to-service'].map(
          (verb) => `/api/alarms/{id}/${verb}`,
        ),
        '/api/log',
        '/api/calls',
        '/api/journal',
        '/api/events',
        '/metrics',
        '/healthz',
        '/readyz',
      ]),
    )
    expect(Object.keys(description.components.schemas)).toEqual(
      expect.arrayContaining(['Now', 'Change', 'Course', 'Problem']),
    )
  })

  it('answers what is not there, and what breaks inside, as problems without inner words', async () => {
    const door = farmServer().door
    const broken = { ...door, snapshot: () => missing.value }
    const missing = {
      get value(): never {
        throw new TypeError('the secret inside')
      },
    }
    const server = await serve(farmServer({ parts: { door: broken } }))
    const nothing = await server.inject('/nothing')
    expect(contract.problem.parse(nothing.json()).status).toBe(404)
    const failed = await server.inject('/api/now')
    expect(contract.problem.parse(failed.json()).status).toBe(500)
    expect(failed.body).not.toContain('secret')
  })

  it('is alive always, and ready only when nothing is missing', async () => {
    const missing = ['the broker is away']
    const server = await serve(farmServer({ parts: { unready: () => missing } }))
    expect((await server.inject('/healthz')).statusCode).toBe(200)
    const unready = await server.inject('/readyz')
    expect(unready.statusCode).toBe(503)
    expect(contract.problem.parse(unready.json()).errors).toEqual([{ detail: 'the broker is away' }])
    missing.pop()
    expect((await server.inject('/readyz')).statusCode).toBe(200)
  })

  it('says that the page is not built instead of failing, and serves the rest', async () => {
    const server = await serve(farmServer())
    const answer = await server.inject('/')
    expect(answer.statusCode).toBe(503)
    expect(contract.problem.parse(answer.json()).detail).toContain('npm run build')
  })

  it('lets no script but our own run and no frame hold the page', async () => {
    const server = await serve(farmServer())
    const { headers } = await server.inject('/api/now')
    const policy = String(headers['content-security-policy'])
    expect(policy).toContain("default-src 'none'")
    expect(policy).toContain("frame-ancestors 'none'")
    expect(policy).not.toContain('unsafe-inline')
    expect(headers['x-content-type-options']).toBe('nosniff')
    expect(headers['referrer-policy']).toBe('no-referrer')
  })
})
