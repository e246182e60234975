import { afterEach, describe, expect, it } from 'vitest'
import { createServer } from '../../daemon/http/server.js'
import type { App } from '../../daemon/http/parts.js'
import type { CorrectionWish, Past, RecomputeWish } from '../../daemon/ports/past.js'
import { Fault } from '../../daemon/errors.js'
import { correction } from '../contracts/example-batch.js'
import { fakePast } from '../support/fake-watch.js'
import { nightTime } from '../support/web-farm.js'
import { actHeaders, farmServer } from './farm-server.js'

let app: App | null = null
afterEach(async () => {
  await app?.close()
  app = null
})

const recomputation = {
  ...{ id: 7, of: 'tank-1/dissolved_oxygen', from: 1, to: 2, doneUntil: 1, finished: false, changed: 0 },
} as unknown as ReturnType<Past['recompute']>

/** A past that writes down what is asked of it. */
function asked() {
  const wishes: unknown[] = []
  const made = { correction: correction(3), recomputation }
  const noted = <Answer>(one: unknown, answer: Answer): Answer => {
    wishes.push(one)
    return answer
  }
  const past: Past = {
    ...fakePast,
    correct: (one: CorrectionWish) => noted(one, made),
    undo: (id, reason) => noted({ id, ...reason }, made),
    recompute: (one: RecomputeWish) => noted(one, recomputation),
    corrections: () => [correction(3)],
    recomputations: () => [recomputation],
  }
  return { wishes, farm: farmServer({ parts: { past } }) }
}

async function post(
  farm: ReturnType<typeof farmServer>,
  path: string,
  payload: object,
  headers = actHeaders,
) {
  app ??= await createServer(farm.parts)
  return app.inject({ method: 'POST', url: `/api/${path}`, payload, headers })
}

const wish = {
  ...{ signal: 'tank-1/water_temperature', from: '2027-01-01T00:00:00Z', by: 'first-keeper', why: 'meter' },
  points: [{ reads: '68 degF', truth: '21.5 Cel' }],
}

describe('correcting a probe over HTTP', () => {
  it('passes the wish on, values in the canonical unit, and tells what was made of it', async () => {
    const { wishes, farm } = asked()
    const reply = await post(farm, 'corrections', wish)
    expect(reply.statusCode).toBe(200)
    expect(wishes).toEqual([
      {
        ...{ signal: 'tank-1/water_temperature', from: Date.UTC(2027, 0), to: null },
        ...{ points: [{ reads: 20, truth: 21.5 }], by: 'first-keeper', why: 'meter' },
      },
    ])
    expect(reply.json()).toMatchObject({
      text: 'Correction 3 is in force.',
      correction: { id: 3, gain: 1.5, offset: -0.5, unit: 'mg/L' },
      recomputation: { id: 7 },
    })
  })

  it.each<[string, object, string]>([
    [
      'a unit that measures something else',
      { points: [{ reads: '7 mg/L', truth: '8 mg/L' }] },
      'mg/L cannot be converted to Cel',
    ],
    ['no number', { points: [{ reads: 'much', truth: '8 Cel' }] }, '"much" does not begin with a number'],
    ['no reason', { why: ' ' }, 'What was sent does not fit'],
    [
      'three points',
      { points: Array.from({ length: 3 }, () => ({ reads: '1', truth: '2' })) },
      'What was sent does not fit',
    ],
    ['a stranger', { by: 'stranger' }, 'What was sent does not fit'],
  ])('refuses %s', async (_, more, says) => {
    const { wishes, farm } = asked()
    const reply = await post(farm, 'corrections', { ...wish, ...more })
    expect([reply.statusCode, (reply.json() as { detail: string }).detail]).toEqual([
      422,
      expect.stringContaining(says),
    ])
    expect(wishes).toEqual([])
  })

  it('tells a refusal of the past in its words, with what would be right', async () => {
    const past: Past = {
      ...fakePast,
      correct: () => {
        throw new Fault('BW_CALC', 'tank-1/oxygen_saturation is computed', 'correct what it is made from')
      },
    }
    const reply = await post(farmServer({ parts: { past } }), 'corrections', wish)
    expect(reply.statusCode).toBe(422)
    expect(reply.json()).toMatchObject({
      detail: 'tank-1/oxygen_saturation is computed: correct what it is made from.',
    })
  })

  it('takes one back', async () => {
    const { wishes, farm } = asked()
    const reply = await post(farm, 'corrections/3/undo', { by: 'first-keeper', why: 'wrong tank' })
    expect(reply.json()).toMatchObject({ text: 'Correction 3 is taken back.' })
    expect(wishes).toEqual([{ id: 3, by: 'first-keeper', why: 'wrong tank' }])
    expect((await post(farm, 'corrections/x/undo', { why: 'wrong' })).statusCode).toBe(422)
  })

  it('is for those who may act, through our own page or terminal', async () => {
    const { farm, wishes } = asked()
    expect((await post(farm, 'corrections', wish, {} as typeof actHeaders)).statusCode).toBe(403)
    const { parts } = farmServer({ options: { actWithoutLogin: false }, parts: { past: farm.parts.past } })
    await app?.close()
    app = await createServer(parts)
    for (const path of ['corrections', 'corrections/3/undo', 'recomputations'])
      expect(
        (await post(farm, path, path === 'corrections' ? wish : { why: 'w', from: 1 })).statusCode,
      ).toBeGreaterThanOrEqual(401)
    expect(wishes).toEqual([])
  })
})

it('shows the corrections on record and what is being computed anew', async () => {
  const { farm } = asked()
  app = await createServer(farm.parts)
  const corrections = await app.inject('/api/corrections')
  expect(corrections.json()).toMatchObject([
    { id: 3, signal: 'tank-1/dissolved_oxygen', unit: 'mg/L', undone: null },
  ])
  expect((await app.inject('/api/recomputations')).json()).toEqual([recomputation])
})

it('computes a span anew when asked, up to now when no end is given', async () => {
  const { wishes, farm } = asked()
  const reply = await post(farm, 'recomputations', { from: 5, signals: 'tank-1/*', by: 'first-keeper' })
  expect(reply.json()).toEqual(recomputation)
  expect(wishes).toEqual([{ signals: 'tank-1/*', from: 5, to: nightTime, by: 'first-keeper' }])
})

it('gives the course of a signal as it was sent when it is asked for raw', async () => {
  const { farm } = asked()
  const history = {
    ...farm.parts.history,
    samples: async () => [{ at: nightTime, value: 8.3, quality: 'good' as const }],
    rawSamples: async () => [{ at: nightTime, value: 7.9, quality: 'good' as const }],
  }
  app = await createServer({ ...farm.parts, history })
  const valueOf = async (query: string) => {
    const reply = await app?.inject(`/api/signals/tank-1/dissolved_oxygen${query}`)
    return (reply?.json() as { samples: { value: number }[] }).samples[0]?.value
  }
  expect([await valueOf(''), await valueOf('?raw=true')]).toEqual([8.3, 7.9])
})
