import { afterEach, describe, expect, it } from 'vitest'
import { answer, problem } from '../../daemon/http/contract.js'
import type { App } from '../../daemon/http/parts.js'
import { createServer } from '../../daemon/http/server.js'
import { epochMs, minutes } from '../../daemon/units/time.js'
import { nightTime } from '../support/web-farm.js'
import { actHeaders, farmServer, type FarmServer } from './farm-server.js'

let app: App | null = null
afterEach(async () => {
  await app?.close()
  app = null
})

async function post(farm: FarmServer, path: string, payload: object) {
  app ??= await createServer(farm.parts)
  return app.inject({ method: 'POST', url: `/api/${path}`, payload, headers: actHeaders })
}

const blower = 'alarms/equipment-fault%40blower-a'

describe('what people do', () => {
  it('acknowledges with the occurrence seen, in the name chosen, and tells the answer', async () => {
    const farm = farmServer()
    const reply = await post(farm, `${blower}/acknowledge`, { occurrence: 1, by: 'first-keeper' })
    expect(reply.statusCode).toBe(200)
    expect(answer.parse(reply.json()).text).toBe('Thank you. You have Blower A.')
    expect(farm.door.acts).toEqual([
      {
        do: 'acknowledge',
        alarm: 'equipment-fault@blower-a',
        occurrence: 1,
        by: 'first-keeper',
        via: 'page',
      },
    ])
  })

  it('writes "page" when nobody said who acts', async () => {
    const farm = farmServer()
    await post(farm, `${blower}/acknowledge`, {})
    expect(farm.door.acts.map(({ by }) => by)).toEqual(['page'])
  })

  it('refuses a name that is none of the farm, and does nothing', async () => {
    const farm = farmServer()
    const reply = await post(farm, `${blower}/acknowledge`, { by: 'stranger' })
    expect(reply.statusCode).toBe(422)
    expect(problem.parse(reply.json()).errors?.[0]?.pointer).toBe('#/by')
    expect(farm.door.acts).toEqual([])
  })

  it('tells a refusal of the watch as a conflict in its words: an occurrence that is over', async () => {
    const farm = farmServer()
    const reply = await post(farm, 'alarms/oxygen-low%40tank-1/acknowledge', { occurrence: 2 })
    expect(reply.statusCode).toBe(409)
    expect(problem.parse(reply.json()).detail).toContain('nothing is left to acknowledge')
  })

  it('passes every other act through with its reason', async () => {
    const farm = farmServer()
    const why = 'probe out for cleaning'
    const by = 'second-keeper'
    const alarm = 'equipment-fault@blower-a'
    await post(farm, `${blower}/shelve`, { forMinutes: 30, why, by })
    await post(farm, `${blower}/shelve`, { oneShot: true, why, by })
    await post(farm, `${blower}/out-of-service`, { until: '2027-01-11T02:14:05Z', why, by })
    for (const verb of ['unshelve', 'reset', 'return-to-service'])
      await post(farm, `${blower}/${verb}`, { why, by })
    expect(farm.door.acts).toEqual([
      { do: 'shelve', alarm, for: minutes(30), oneShot: false, why, by },
      { do: 'shelve', alarm, for: null, oneShot: true, why, by },
      { do: 'out-of-service', alarm, until: nightTime + 86_400_000, why, by },
      { do: 'unshelve', alarm, why, by },
      { do: 'reset', alarm, why, by },
      { do: 'return-to-service', alarm, why, by },
    ])
  })

  it('refuses a shelf without a reason, with a key that is none, or of no length, naming each fault', async () => {
    const farm = farmServer()
    const reply = await post(farm, `${blower}/shelve`, { forMinutes: -1, why: '  ', minutes: 3 })
    expect(reply.statusCode).toBe(422)
    const pointers = problem.parse(reply.json()).errors?.map(({ pointer }) => pointer)
    expect(pointers).toEqual(expect.arrayContaining(['#/why', '#/forMinutes']))
    expect(pointers).toHaveLength(3)
    expect(farm.door.acts).toEqual([])
  })

  it('refuses a body that is too large or no JSON', async () => {
    const farm = farmServer()
    const large = await post(farm, `${blower}/reset`, { why: 'x'.repeat(40_000) })
    expect(problem.parse(large.json()).status).toBe(413)
    const torn = await app?.inject({
      method: 'POST',
      url: '/api/log',
      payload: '{"place":',
      headers: { ...actHeaders, 'content-type': 'application/json' },
    })
    expect(problem.parse(torn?.json()).status).toBe(400)
  })

  it('enters a test-kit result in the unit it was read in, converted to the canonical one', async () => {
    const farm = farmServer()
    const reply = await post(farm, 'log', {
      place: 'tank-2',
      quantity: 'water_temperature',
      value: 78,
      unit: 'degF',
      at: '2027-01-10T02:00:00Z',
      by: 'first-keeper',
    })
    expect(reply.statusCode).toBe(200)
    expect(farm.door.entered).toEqual([
      {
        signal: 'tank-2/water_temperature',
        value: expect.closeTo(25.5556, 4),
        measuredAt: epochMs(Date.UTC(2027, 0, 10, 2)),
        claimed: 'good',
        retained: false,
        source: 'book',
        by: 'first-keeper',
      },
    ])
  })

  it.each([
    ['an unknown place', { place: 'tank-9' }, '#/place'],
    ['an unknown quantity', { quantity: 'nitrate' }, '#/quantity'],
    ['words', { quantity: 'status' }, '#/quantity'],
    ['a unit of something else', { unit: 'kg' }, '#/unit'],
    ['the future', { at: '2027-01-10T03:00:00Z' }, '#/at'],
  ])('refuses to enter %s', async (_what, part, pointer) => {
    const farm = farmServer()
    const whole = { place: 'tank-1', quantity: 'total_ammonia_nitrogen', value: 0.5, unit: 'mg/L' }
    const reply = await post(farm, 'log', { ...whole, ...part })
    expect(reply.statusCode).toBe(422)
    expect(problem.parse(reply.json()).errors?.map((error) => error.pointer)).toEqual([pointer])
    expect(farm.door.entered).toEqual([])
  })
})
