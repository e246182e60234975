import { describe, expect, it } from 'vitest'
import { createServer } from '../../daemon/http/server.js'
import { farmServer } from './farm-server.js'

const get = async (url: string) => {
  const app = await createServer(farmServer().parts)
  const answer = await app.inject({ method: 'GET', url })
  return {
    status: answer.statusCode,
    type: answer.headers['content-type'],
    body: answer.json<Record<string, unknown>>(),
  }
}

describe('computing over HTTP', () => {
  it('gives a value with its inputs, equation, source and range', async () => {
    const { status, body } = await get(
      '/api/calc/oxygen_saturation_concentration?temperature=20degC&salinity=0g/kg&pressure=1atm',
    )
    expect(status).toBe(200)
    // 9.092 mg/L: USGS Office of Water Quality Technical Memorandum 2011.03, table
    expect(body['value']).toBeCloseTo(9.092, 3)
    expect(body).toMatchObject({ unit: 'mg/L', equation: { id: 'DO-1' }, validity: { kind: 'inside' } })
    expect(body['source']).toContain('Benson')
    expect(body['inputs']).toContainEqual({ name: 'temperature', value: 20, unit: 'degC', given: true })
  })

  it('lists everything that can be computed', async () => {
    const { body } = await get('/api/calc')
    const all = body as unknown as { quantity: string; inputs: { name: string }[] }[]
    expect(all.length).toBeGreaterThan(150)
    expect(all.find(({ quantity }) => quantity === 'oxygen_saturation_percent')?.inputs).toBeDefined()
  })

  it.each([
    ['/api/calc/oxygen_saturation_concentratio?temperature=20degC', 'did you mean'],
    ['/api/calc/oxygen_saturation_concentration?temperature=20degC&salinity=0g/kg&pressure=1kg', 'unit'],
    ['/api/calc/oxygen_saturation_concentration?temperature=90degC&salinity=0g/kg&pressure=1atm', '40'],
    [
      '/api/calc/oxygen_saturation_concentration?salinity=0g/kg&pressure=1atm',
      'needs the input "temperature"',
    ],
  ])('refuses %s with what would be right', async (url, says) => {
    const { status, type, body } = await get(url)
    expect(status).toBe(422)
    expect(type).toContain('application/problem+json')
    expect(String(body['detail'])).toContain(says)
  })
})

describe('how a value was computed', () => {
  it('is told with inputs, ages, what was assumed, the equation in words and its range', async () => {
    const { status, body } = await get('/api/signals/tank-1/oxygen_minutes_if_air_stops/how')
    expect(status).toBe(200)
    expect(body).toMatchObject({
      signal: 'tank-1/oxygen_minutes_if_air_stops',
      unit: 'min',
      equation: { id: 'OX-10', formula: expect.stringContaining('dC/dt') as string },
    })
    expect(body['inputs']).toMatchObject([
      { label: 'oxygen', signal: 'tank-1/dissolved_oxygen', unit: 'mg/L', age: 14_000, quality: 'good' },
      { label: 'salinity', assumed: 'fresh water' },
    ])
  })

  it.each([
    ['tank-1/dissolved_oxygen', 'is not computed'],
    ['tank-9/dissolved_oxygen', 'no place or equipment "tank-9"'],
  ])('of %s is refused with the reason', async (signal, says) => {
    const { status, body } = await get(`/api/signals/${signal}/how`)
    expect(status).toBe(404)
    expect(String(body['detail'])).toContain(says)
  })
})
