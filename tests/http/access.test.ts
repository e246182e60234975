import { afterEach, beforeAll, describe, expect, it } from 'vitest'
import { hashPassword, nobodysPassword, passwordFits } from '../../daemon/http/access/password.js'
import type { Member, Role } from '../../daemon/http/access/session.js'
import { countTries } from '../../daemon/http/access/tries.js'
import { session } from '../../daemon/http/contract.js'
import { isLoopback, openByDefault } from '../../daemon/http/options.js'
import type { App } from '../../daemon/http/parts.js'
import { createServer } from '../../daemon/http/server.js'
import { days, minutes, seconds, type MonotonicMs } from '../../daemon/units/time.js'
import { actHeaders, farmServer, type FarmServer } from './farm-server.js'

let kept = ''
beforeAll(async () => {
  kept = await hashPassword('larkfield at night')
})

let app: App | null = null
afterEach(async () => {
  await app?.close()
  app = null
})

async function serve(farm: FarmServer): Promise<App> {
  app = await createServer(farm.parts)
  return app
}

const closed = { lookWithoutLogin: false, actWithoutLogin: false }
const member = (id: string, role: Role): Member => ({ id, role, password: kept })
const closedFarm = (members: readonly Member[] = [member('first-keeper', 'keeper')]) =>
  farmServer({ options: { ...closed, publicUrl: 'https://water.example.org' }, members })
const acknowledge = '/api/alarms/equipment-fault%40blower-a/acknowledge'

const logIn = (server: App, person: string, password: string) =>
  server.inject({ method: 'POST', url: '/api/session', payload: { person, password }, headers: actHeaders })

const cookieOf = (answer: { headers: { 'set-cookie'?: string | string[] | undefined } }): string =>
  String(answer.headers['set-cookie']).split(';')[0] ?? ''

describe('who may look and act', () => {
  it('shows nothing of the farm without a login, but is alive', async () => {
    const server = await serve(closedFarm())
    for (const path of ['now', 'alarms', 'calls', 'journal', 'events', 'signals/tank-1/ph']) {
      expect((await server.inject(`/api/${path}`)).statusCode).toBe(401)
    }
    expect((await server.inject('/metrics')).statusCode).toBe(401)
    expect((await server.inject('/healthz')).statusCode).toBe(200)
    const visitor = session.parse((await server.inject('/api/session')).json())
    expect(visitor).toEqual({ person: null, mayLook: false, mayAct: false })
  })

  it('lets a person in by password; the cookie is out of reach of scripts and other sites', async () => {
    const farm = closedFarm()
    const server = await serve(farm)
    const answer = await logIn(server, 'first-keeper', 'larkfield at night')
    expect(answer.statusCode).toBe(200)
    const header = String(answer.headers['set-cookie'])
    for (const part of ['HttpOnly', 'SameSite=Strict', 'Secure', 'Path=/', `Max-Age=${30 * 86_400}`]) {
      expect(header).toContain(part)
    }
    const cookie = cookieOf(answer)
    expect((await server.inject({ url: '/api/now', headers: { cookie } })).statusCode).toBe(200)
    const acted = await server.inject({
      method: 'POST',
      url: acknowledge,
      payload: { by: 'second-keeper' },
      headers: { ...actHeaders, cookie },
    })
    expect(acted.statusCode).toBe(200)
    // Whoever is logged in acts in their own name, whatever the body says.
    expect(farm.door.acts.map(({ by }) => by)).toEqual(['first-keeper'])
  })

  it('lets a guest look, not act', async () => {
    const server = await serve(closedFarm([member('visitor', 'guest')]))
    const cookie = cookieOf(await logIn(server, 'visitor', 'larkfield at night'))
    expect((await server.inject({ url: '/api/now', headers: { cookie } })).statusCode).toBe(200)
    const acted = await server.inject({
      method: 'POST',
      url: acknowledge,
      payload: {},
      headers: { ...actHeaders, cookie },
    })
    expect(acted.statusCode).toBe(403)
  })

  it('keeps a login across a restart, and ends it with time, a changed password, or a changed letter', async () => {
    const members = [{ id: 'first-keeper', role: 'keeper' as Role, password: kept }]
    const farm = closedFarm(members)
    const first = await serve(farm)
    const cookie = cookieOf(await logIn(first, 'first-keeper', 'larkfield at night'))
    await first.close()
    const server = await serve(farm)
    const look = async (sent: string) =>
      (await server.inject({ url: '/api/now', headers: { cookie: sent } })).statusCode
    expect(await look(cookie)).toBe(200)
    const letter = cookie.at(12) === 'A' ? 'B' : 'A'
    expect(await look(cookie.slice(0, 12) + letter + cookie.slice(13))).toBe(401)
    farm.clock.advance(days(31))
    expect(await look(cookie)).toBe(401)
    const renewed = cookieOf(await logIn(server, 'first-keeper', 'larkfield at night'))
    expect(await look(renewed)).toBe(200)
    members.splice(0, 1, { id: 'first-keeper', role: 'keeper', password: await hashPassword('another') })
    expect(await look(renewed)).toBe(401)
  })

  it('makes guessing slow, tells how long, and lets the right password in afterwards', async () => {
    const farm = closedFarm()
    const server = await serve(farm)
    for (let tried = 0; tried < 4; tried += 1) {
      expect((await logIn(server, 'first-keeper', 'wrong')).statusCode).toBe(401)
    }
    const blocked = await logIn(server, 'first-keeper', 'larkfield at night')
    expect(blocked.statusCode).toBe(429)
    expect(blocked.headers['retry-after']).toBe('1')
    farm.clock.advance(seconds(1))
    expect((await logIn(server, 'first-keeper', 'larkfield at night')).statusCode).toBe(200)
  })

  it('takes a login only with the header that other sites cannot send', async () => {
    const server = await serve(closedFarm())
    const payload = { person: 'first-keeper', password: 'larkfield at night' }
    const foreign = { ...actHeaders, origin: 'https://evil.example.org' }
    const answer = await server.inject({ method: 'POST', url: '/api/session', payload, headers: foreign })
    expect(answer.statusCode).toBe(403)
  })
})

describe('acts that another site asks for', () => {
  const act = (server: App, headers: Record<string, string>) =>
    server.inject({ method: 'POST', url: acknowledge, payload: {}, headers })

  it.each([
    ['without our header', {}],
    ['from another origin', { ...actHeaders, origin: 'https://evil.example.org' }],
    ['from an opaque origin', { ...actHeaders, origin: 'null' }],
    ['that the browser calls cross-site', { ...actHeaders, 'sec-fetch-site': 'cross-site' }],
    ['that the browser calls same-site', { ...actHeaders, 'sec-fetch-site': 'same-site' }],
  ])('are refused %s', async (_how, headers) => {
    const farm = farmServer()
    const server = await serve(farm)
    expect((await act(server, headers)).statusCode).toBe(403)
    expect(farm.door.acts).toEqual([])
  })

  it('are taken from our own page, also through a proxy that keeps the public name to itself', async () => {
    const farm = farmServer({ options: { publicUrl: 'https://water.example.org/farm' } })
    const server = await serve(farm)
    const own = { ...actHeaders, host: '127.0.0.1:8420' }
    expect((await act(server, { ...own, origin: 'http://127.0.0.1:8420' })).statusCode).toBe(200)
    expect((await act(server, { ...own, origin: 'https://water.example.org' })).statusCode).toBe(200)
  })
})

describe('a farm that is open on its own machine', () => {
  it.each(['evil.example.org', 'evil.example.org:8420', 'localhost.evil.example.org'])(
    'is not shown under the name %s: DNS rebinding',
    async (host) => {
      const server = await serve(farmServer())
      expect((await server.inject({ url: '/api/now', headers: { host } })).statusCode).toBe(421)
    },
  )

  it.each(['127.0.0.1:8420', 'localhost:8420', '[::1]:8420', 'water.example.org'])(
    'is shown under the name %s',
    async (host) => {
      const server = await serve(farmServer({ options: { publicUrl: 'https://water.example.org' } }))
      expect((await server.inject({ url: '/api/now', headers: { host } })).statusCode).toBe(200)
    },
  )

  it.each(['forwarded', 'x-forwarded-for', 'via'])(
    'is closed to what came through a proxy (%s)',
    async (name) => {
      const server = await serve(farmServer())
      const headers = { host: '127.0.0.1:8420', [name]: '203.0.113.7' }
      expect((await server.inject({ url: '/api/now', headers })).statusCode).toBe(401)
    },
  )

  it('is closed to another machine', async () => {
    const server = await serve(farmServer())
    const answer = await server.inject({ url: '/api/now', remoteAddress: '192.0.2.7' })
    expect(answer.statusCode).toBe(401)
  })

  it('is open by default only on loopback and without a public address', () => {
    const on = (host: string, publicUrl: string | null = null) =>
      openByDefault({ listen: { host, port: 8420 }, publicUrl })
    expect(on('127.0.0.1')).toBe(true)
    expect(on('::1')).toBe(true)
    expect(on('0.0.0.0')).toBe(false)
    expect(on('127.0.0.1', 'https://water.example.org')).toBe(false)
    expect(isLoopback('::ffff:127.0.0.1')).toBe(true)
    expect(isLoopback('127.0.0.1.example.org')).toBe(false)
  })
})

describe('passwords', () => {
  it('are kept only as a salted hash, and fit in whatever form the letters were typed', async () => {
    const one = await hashPassword('Fr\u00fchling')
    expect(one).not.toContain('Fr')
    expect(one).not.toBe(await hashPassword('Fr\u00fchling'))
    expect(await passwordFits('Fru\u0308hling', one)).toBe(true)
    expect(await passwordFits('Fruhling', one)).toBe(false)
    // Five times the cost that makes guessing dear.
  }, 60_000)

  it.each([
    nobodysPassword,
    '',
    'plain',
    'scrypt$15$8$3$c2FsdA',
    'scrypt$30$8$3$c2FsdA$aGFzaA',
    'scrypt$x$8$3$c2FsdA$aGFzaA',
  ])('fit neither nobody nor a record that cannot be read: "%s"', async (record) =>
    expect(await passwordFits('x', record)).toBe(false),
  )

  it('double the wait with every failure up to the ceiling, and forget it after success', () => {
    const tries = countTries({ free: 2, first: seconds(1), ceiling: minutes(1) })
    const now = 0 as MonotonicMs
    const waits = Array.from({ length: 10 }, () => {
      tries.failed('someone', now)
      return tries.waitOf('someone', now)
    })
    expect(waits).toEqual([0, 0, 1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000])
    expect(tries.waitOf('someone else', now)).toBe(0)
    tries.succeeded('someone')
    expect(tries.waitOf('someone', now)).toBe(0)
  })
})
