import { afterEach, describe, expect, it } from 'vitest'
import type { AnswerClaims } from '../../daemon/callout/link.js'
import { answerLinks } from '../../daemon/http/answer-links.js'
import type { App } from '../../daemon/http/parts.js'
import { createServer } from '../../daemon/http/server.js'
import { after, hours } from '../../daemon/units/time.js'
import { nightTime } from '../support/web-farm.js'
import { farmServer, type FarmServer } from './farm-server.js'

let app: App | null = null
afterEach(async () => {
  await app?.close()
  app = null
})

// As strangers see the farm: nobody is let in without a login.
const closedFarm = () => farmServer({ options: { lookWithoutLogin: false, actWithoutLogin: false } })

const claims: AnswerClaims = {
  do: 'acknowledge',
  alarm: 'oxygen-low@tank-1',
  occurrence: 3,
  by: 'second-keeper',
  expires: after(nightTime, hours(24)),
}

const pathOf = (farm: FarmServer, what: AnswerClaims = claims) =>
  new URL(answerLinks(farm.parts.options.key).link('https://water.example.org/', what)).pathname

async function ask(farm: FarmServer, method: 'GET' | 'POST', url: string) {
  app ??= await createServer(farm.parts)
  // What a browser sends with the form of our own page.
  const headers = method === 'POST' ? { 'content-type': 'application/x-www-form-urlencoded' } : {}
  return app.inject({ method, url, headers, ...(method === 'POST' ? { payload: '' } : {}) })
}

describe('a link from a text', () => {
  it('shows what would be acknowledged and changes nothing when something fetches it by itself', async () => {
    const farm = closedFarm()
    const page = await ask(farm, 'GET', pathOf(farm))
    expect(page.statusCode).toBe(200)
    expect(page.headers['content-type']).toContain('text/html')
    for (const said of ['tank 1: oxygen 3.8 mg/L, limit 4.5', 'Since 02:11', 'Stop feeding', '<button']) {
      expect(page.body).toContain(said)
    }
    expect(farm.door.acts).toEqual([])
    expect(page.body).not.toContain('<script')
    expect(String(page.headers['content-security-policy'])).toMatch(/default-src 'none'; style-src 'sha256-/)
    expect(page.headers['cache-control']).toBe('no-store')
  })

  it('acknowledges that occurrence in that name when the button is pressed, without a login', async () => {
    const farm = closedFarm()
    const page = await ask(farm, 'POST', pathOf(farm))
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('Thank you. You have tank 1.')
    const { alarm, occurrence, by } = claims
    expect(farm.door.acts).toEqual([{ do: 'acknowledge', alarm, occurrence, by, via: 'link' }])
  })

  it('tells by whom it is already answered, and asks nothing then', async () => {
    const farm = closedFarm()
    await ask(farm, 'POST', pathOf(farm))
    const page = await ask(farm, 'GET', pathOf(farm))
    expect(page.body).toContain('Acknowledged by second-keeper at 02:14')
    expect(page.body).not.toContain('<button')
  })

  it('does not answer for another occurrence', async () => {
    const farm = closedFarm()
    const old = pathOf(farm, { ...claims, occurrence: 2 })
    expect((await ask(farm, 'GET', old)).body).toContain('This is over')
    const pressed = await ask(farm, 'POST', old)
    expect(pressed.statusCode).toBe(409)
    expect(pressed.body).toContain('nothing is left to acknowledge')
  })

  it('expires, and is refused when cut off, changed, or signed with another key', async () => {
    const farm = closedFarm()
    const path = pathOf(farm)
    const others = [path.slice(0, -1), path.replace('tank', 'tan'), pathOf(closedFarm())]
    for (const other of others) {
      for (const method of ['GET', 'POST'] as const) {
        const answer = await ask(farm, method, other)
        expect(answer.statusCode).toBe(404)
        expect(answer.body).toContain('not one of ours')
      }
    }
    farm.clock.advance(hours(24))
    expect((await ask(farm, 'POST', path)).body).toContain('too old')
    expect(farm.door.acts).toEqual([])
  })

  it('confirms a test and acknowledges nothing by it (AL-29)', async () => {
    const farm = closedFarm()
    const path = pathOf(farm, { do: 'confirm', by: 'first-keeper', expires: after(nightTime, hours(1)) })
    expect((await ask(farm, 'GET', path)).body).toContain('Confirm: it arrived')
    expect(farm.door.acts).toEqual([])
    await ask(farm, 'POST', path)
    expect(farm.door.acts).toEqual([{ do: 'confirm', by: 'first-keeper' }])
  })

  it('shows words of the configuration as words', async () => {
    const farm = closedFarm()
    const { alarms, ...rest } = farm.door.snapshot()
    farm.door.show({
      ...rest,
      alarms: alarms.map((alarm) => ({ ...alarm, where: '<img src=x onerror=alert(1)>' })),
    })
    expect((await ask(farm, 'GET', pathOf(farm))).body).not.toContain('<img')
  })
})
